"""The technician tells how the vehicle stands, or that he forgot to change it."""

import pytest
from bench import Bench, small, volts

from voiceassist.language.meanings import Command, Meaning
from voiceassist.session.naming import states
from voiceassist.session.naming import told as told_freely
from voiceassist.session.outputs import ConditionChange
from voiceassist.session.states import State

STEPS = """
one: {measure: voltage at it, accept: at most 13 V, fail: bad}
two: {needs: {key: run, plug: out}, measure: voltage again, accept: at most 13 V, fail: bad}
three: {needs: {key: off}, caution: blades, measure: the third, accept: at most 13 V, fail: bad, then: good}
"""  # noqa: E501
AGAIN, ALL_RIGHT = "If the last reading was taken so", "All right."


def bench(*said: Meaning | str) -> Bench:
    made = small(STEPS)
    made.say(volts("12"), *said)
    return made


def told(name: str, state: str) -> Command:
    return Command("forgot", about=f"{name}/{state}")


def changes(made: Bench) -> list[tuple[str, str, bool]]:
    """Condition, state and whether it holds, of what was told last."""
    return [(o.name, o.state, o.met) for o in made.outputs if isinstance(o, ConditionChange)]


def test_a_state_that_is_told_is_kept_and_need_not_be_asked_for() -> None:
    made = small(STEPS)
    made.say(told("key", "run"))
    assert changes(made) == [("key", "run", True)]
    made.say(volts("12"))
    assert changes(made) == [("plug", "out", False)]


def test_a_state_is_told_in_any_of_the_ways_that_people_tell_it() -> None:
    ways = {choice.name: choice.phrases for choice in states(bench().engine.setup.procedure)}
    assert set(ways["key/off"]) == {
        f"key{between} off"
        for between in (
            *("", " is", " was", " is still", " was still", " still"),
            *(" are", " were", "'s", "'s still"),
        )
    }


def test_a_state_that_is_known_already_is_only_agreed_to() -> None:
    made = bench("done")
    before = made.session
    made.say(told("key", "run"))
    assert changes(made) == []
    assert made.texts() == ALL_RIGHT
    assert made.session.conditions == before.conditions
    assert made.state is State.MEASURE


def test_a_change_that_is_told_while_it_is_asked_for_leaves_the_others_to_be_made() -> None:
    made = bench()
    assert made.changing
    made.say(told("key", "run"))
    assert changes(made)[0] == ("key", "run", True)
    assert ("plug", "out", False) in changes(made)
    assert ("key", "run", False) not in changes(made)


def test_a_state_that_the_step_cannot_use_is_put_right_without_a_word_of_comfort() -> None:
    made = bench("done")
    made.say(told("plug", "in"))
    assert changes(made) == [("plug", "in", True), ("plug", "out", False)]
    assert made.texts().startswith(AGAIN)  # a reading was taken, perhaps so
    assert "go back" in made.texts()
    assert "harm" not in made.texts()  # whether it did any, nobody here can know
    assert made.session.condition("plug") == "in"


def test_a_state_that_does_not_matter_here_is_kept_and_the_step_asked_again() -> None:
    made = bench("done")
    made.say(told("fan", "low"))
    assert changes(made) == [("fan", "low", True)]
    assert AGAIN not in made.texts()
    assert made.session.condition("fan") == "low"
    assert made.state is State.MEASURE


def test_at_a_caution_a_state_is_kept_and_the_caution_still_wants_an_answer() -> None:
    made = bench("done", volts("12"))
    assert made.state is State.CAUTION
    made.say(told("key", "off"))
    assert changes(made) == [("key", "off", True)]
    assert made.state is State.CAUTION
    assert "Keep clear." in made.texts()
    made.say("affirm")
    assert made.texts() == "Third."
    assert changes(made) == []


@pytest.mark.parametrize("named", [True, False])
def test_between_jobs_nothing_can_have_been_forgotten(named: bool) -> None:
    made = bench("done", volts("14"))
    assert made.session.finding == "bad"
    before = made.session.conditions
    made.say(told("key", "off") if named else "forgot")
    assert made.session.conditions == before


def test_who_forgot_something_and_does_not_say_what_is_asked_for_all_of_it_again() -> None:
    made = bench("done")
    made.say("forgot")
    assert changes(made)[:2] == [("key", "", False), ("plug", "", False)]
    assert {change[:2] for change in changes(made)[2:]} == {("key", "run"), ("plug", "out")}
    assert made.texts().startswith(AGAIN)


def test_before_any_reading_there_is_none_to_take_again() -> None:
    made = small(STEPS)
    made.say("forgot")
    assert AGAIN not in made.texts()
    assert "go back" not in made.texts()
    assert changes(made) == []
    assert made.state is State.MEASURE
    worked = small(f"zero: {{do: look at it}}\n{STEPS}")  # work is no reading
    worked.say("done", "forgot")
    assert "go back" not in worked.texts()


HEATED = """
procedure: heated
title: a small procedure
for: an invented vehicle
conditions:
  coolant: {cold: {do: let the engine cool, ask: is the engine cold, not: the engine was not cold}}
  bridge: {out: take the bridge out, in: bridge the two pins}
  plug: {in: plug it in, out: unplug it}
at-rest: {bridge: out}
"""
BRIDGED = """
one: {needs: {bridge: out, plug: in}, measure: voltage, accept: at most 13 V, fail: bad, then: good}
"""


def test_a_state_is_told_in_the_words_of_the_question_about_it() -> None:
    procedure = small(BRIDGED, head=HEATED).engine.setup.procedure
    ways = {choice.name: choice.phrases for choice in told_freely(procedure)}
    assert "engine cold" in ways["coolant/cold"]


def test_a_bridge_that_nobody_has_put_in_need_not_be_taken_out() -> None:
    assert changes(small(BRIDGED, head=HEATED)) == [("plug", "in", False)]

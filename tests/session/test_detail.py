"""Brief for an expert, teaching for a trainee, and questions that work at every step."""

import pytest
from bench import HEAD, HOUSE, SHORT, Bench, small, volts

from voiceassist.session.actions.enter import enter
from voiceassist.session.events import Returned, TimeUp
from voiceassist.session.outputs import Ask
from voiceassist.session.session import Detail
from voiceassist.session.states import State

STEPS = """
one:
  measure: voltage on the pin
  accept: 11.5 V to 12.5 V
  how: hold the probe on the metal
  why: nothing works without it
  low: bad
  high: bad
again: {measure: voltage on the pin, unit: V, then: good}
"""


def prompt(bench: Bench) -> str:
    return " ".join(o.text for o in bench.outputs if isinstance(o, Ask))


def test_an_expert_hears_the_name_alone() -> None:
    assert prompt(small(STEPS, detail=Detail.BRIEF)) == "One."


@pytest.mark.parametrize("said", ["repeat", "next"])
def test_an_expert_who_asks_what_to_do_is_told_all_of_it(said: str) -> None:
    text = prompt(small(STEPS, detail=Detail.BRIEF).after(said))
    assert "voltage on the pin" in text
    assert "Hold the probe on the metal." in text


def test_a_trainee_hears_how_and_why() -> None:
    text = prompt(small(STEPS, detail=Detail.TEACHING))
    assert "Hold the probe on the metal." in text
    assert "Why: nothing works without it." in text


def test_one_can_have_it_said_in_fewer_words_or_more_down_to_a_name_and_up_to_the_reason() -> None:
    bench = small(STEPS)
    said = {
        said: [bench.after(said).texts() for _ in range(3)] for said in ("less", "more", "less")
    }
    little, usual, much = (
        "I will say less.",
        "I will say it in the usual words.",
        "I will explain more.",
    )
    assert said["more"] == [usual, much, much]
    assert said["less"] == [usual, little, little]


def test_how_to_answer_a_caution_is_told_every_time_and_soon_in_short() -> None:
    names = ("blades", "orange", "edge")
    steps = [f"{n}: {{caution: {n}, measure: voltage on it, unit: V}}" for n in names]
    head = HEAD.replace("signal: CAUTION", "signal: WARNING")
    bench = small("\n".join([*steps, "last: {do: rest, then: good}"]), head=head)
    asked = []
    for _ in names:
        asked.append(prompt(bench))
        bench.say("affirm", volts("1"))
    assert len(asked[0]) > len(asked[1]) > 0
    assert asked[2] == asked[1]


WATCHED = """
one: {measure: voltage on the pin, accept: 8 V to 9 V, steady: 0.4 V, fail: bad, then: two}
two: {measure: voltage behind it, accept: 8 V to 9 V, steady: 0.4 V, fail: bad, then: good}
"""


def test_what_to_say_of_a_value_that_moves_is_told_once() -> None:
    bench = small(WATCHED)
    assert "Watch it for a moment: if it moves, say between which values." in prompt(bench)
    assert "behind it. Watch it for a moment." in prompt(bench.after(volts("8.4")))


def test_where_a_test_point_is_is_told_once_and_again_when_asked() -> None:
    bench = small(STEPS)
    assert "the red wire" in prompt(bench)
    bench.say(volts("12.0"))
    assert "the red wire" not in prompt(bench)
    assert "the red wire" in bench.after("how").texts()


def test_explain_tells_how_why_and_what_each_result_would_mean() -> None:
    text = small(STEPS, detail=Detail.BRIEF).after("explain").texts()
    for part in ("Hold", "Why: nothing", "If too low, or too high: it is bad."):
        assert part in text


def test_a_fuse_is_told_with_its_colour() -> None:
    """15 A is blue: ISO 8820-3 blade fuses, as widely printed."""
    bench = small("one: {do: change the fuse, fuse: 15 A, then: good}")
    assert "A 15 A fuse is blue" in bench.texts()


QUESTIONS = ("why", "explain", "how", "limit", "where", "read-back", "how-far", "repeat", "help")
EVERYTHING = (HOUSE / "tests" / "data" / "roof-fan.yaml").read_text(encoding="utf-8")


def library(name: str) -> str | None:
    return (HOUSE / "tests" / "data" / f"{name}.yaml").read_text(encoding="utf-8")


@pytest.mark.parametrize("question", QUESTIONS)
def test_every_question_works_at_every_step_and_moves_nothing(question: str) -> None:
    bench = Bench(EVERYTHING, library=library)
    begun, procedure = bench.session, bench.engine.setup.procedure
    for step in (*procedure.steps, *procedure.repairs):
        bench.session = before = enter(bench.engine.setup, begun, step).session
        bench.say(question)
        assert bench.texts(), step
        assert (bench.step, bench.state, bench.session.ledger) == (step, before.state, ())


# --- waiting ---

WAIT = "one: {wait: the modules to sleep, for: 20 min}\ntwo: {do: look, then: good}"


def test_a_waiting_step_tells_how_long_and_goes_on_when_the_time_is_over() -> None:
    bench = small(WAIT)
    assert "Wait 20 minutes for the modules to sleep." in bench.texts()
    assert bench.outputs[-1].to_json()["wait_s"] == 1200
    bench.give(TimeUp())
    assert bench.step == "two"
    assert "Time is up." in bench.texts()


def test_done_does_not_cut_the_waiting_short() -> None:
    bench = small(WAIT)
    bench.hear(SHORT["done"], at_s=300.0)
    assert bench.state is State.WAIT
    assert "About 15 minutes" in bench.texts()


def test_a_timer_that_ran_out_while_the_program_was_away_is_over() -> None:
    bench = small(WAIT)
    bench.give(Returned(1300.0))
    assert bench.step == "two"


def test_a_timer_goes_on_while_a_question_is_asked() -> None:
    bench = small(WAIT).after("finish")
    assert bench.outputs[-1].to_json()["wait_s"] == 1200

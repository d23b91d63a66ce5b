"""The technician cuts in, or does not answer."""

import pytest
from bench import Bench, small, volts

from voiceassist.session.events import Interrupted, NoReply, TimeUp
from voiceassist.session.outputs import CautionSpoken, Listen
from voiceassist.session.states import State

MEASURE = """
one:
  caution: {caution}
  measure: voltage on the pin
  accept: 4 V to 6 V
  then: good
  fail: bad
"""


def cautions(outputs: tuple[object, ...]) -> list[str]:
    return [o.name for o in outputs if isinstance(o, CautionSpoken)]


def taken(bench: Bench) -> list[str]:
    return [result.shown for result in bench.session.ledger]


def state_of(bench: Bench) -> State:
    return bench.state


# --- cautions cut off ---


def test_a_reading_does_not_count_before_the_cut_off_caution_was_told_again() -> None:
    bench = small(MEASURE.format(caution="edge"))
    assert bench.give(Interrupted(("edge",)))[:-1] == ()
    bench.say(volts("5"))
    assert taken(bench) == []
    assert bench.texts().startswith("That does not count yet")
    assert "the edge is sharp" in bench.texts()
    assert "voltage on the pin" in bench.texts()
    bench.say(volts("5"))
    assert taken(bench) == ["5 V"]


def test_an_affirm_does_not_acknowledge_a_caution_that_was_not_heard() -> None:
    bench = small(MEASURE.format(caution="blades"))
    bench.give(Interrupted(("blades",)))
    bench.say("affirm")
    assert state_of(bench) is State.CAUTION
    assert cautions(bench.outputs) == ["blades"]
    bench.say("affirm")
    assert state_of(bench) is State.MEASURE


def test_a_caution_cut_off_again_is_told_again() -> None:
    bench = small(MEASURE.format(caution="edge"))
    for _ in range(3):
        bench.give(Interrupted(("edge",)))
        bench.say(volts("5"))
        assert cautions(bench.outputs) == ["edge"]
        assert taken(bench) == []


def test_what_was_heard_whole_holds_nothing_back() -> None:
    bench = small(MEASURE.format(caution="edge"))
    bench.give(Interrupted())
    bench.say(volts("5"))
    assert taken(bench) == ["5 V"]


def test_asking_to_say_it_again_tells_the_caution() -> None:
    bench = small(MEASURE.format(caution="edge"))
    bench.give(Interrupted(("edge",)))
    bench.say("repeat", volts("5"))
    assert taken(bench) == ["5 V"]


@pytest.mark.parametrize("said", ["why", "limit", "louder", "where", "help", "read-back"])
def test_questions_are_answered_and_the_caution_still_holds_the_step_back(said: str) -> None:
    bench = small(MEASURE.format(caution="edge"))
    bench.give(Interrupted(("edge",)))
    bench.say(said)
    assert "does not count" not in bench.texts()
    bench.say(volts("5"))
    assert taken(bench) == []


def test_the_job_can_be_closed_without_hearing_the_caution() -> None:
    bench = small(MEASURE.format(caution="blades"))
    bench.give(Interrupted(("blades",)))
    bench.say("finish", "affirm")
    assert state_of(bench) is State.CLOSED


def test_a_pause_does_not_make_a_cut_off_caution_heard() -> None:
    bench = small(MEASURE.format(caution="edge"))
    bench.give(Interrupted(("edge",)))
    bench.say("note")
    bench.say("why")  # the words of the note
    assert "the edge is sharp" in bench.texts()  # back at the step, cautions first
    bench.say(volts("5"))
    assert taken(bench) == ["5 V"]


def test_a_timer_that_ends_tells_the_cut_off_caution_before_it_goes_on() -> None:
    bench = small(
        """
        one: {caution: edge, wait: the box to cool, for: 30 s}
        two: {measure: voltage on the pin, accept: 4 V to 6 V, then: good, fail: bad}
        """
    )
    bench.give(Interrupted(("edge",)))
    bench.give(TimeUp(40.0))
    assert cautions(bench.outputs) == ["edge"]
    assert bench.outputs[0].event == "caution"
    assert bench.step == "two"


# --- no reply ---


def prompt_s(outputs: tuple[object, ...]) -> int:
    (listen,) = [o for o in outputs if isinstance(o, Listen)]
    return listen.prompt_s


def test_silence_is_answered_once_with_what_is_awaited() -> None:
    bench = small(MEASURE.format(caution="edge"))
    assert prompt_s(bench.outputs) == 30
    bench.give(NoReply(31.0))
    assert bench.texts() == "Whenever you are ready. Measure the voltage on the pin."
    assert prompt_s(bench.outputs) == 0


def test_noise_that_is_not_understood_does_not_bring_another_prompt() -> None:
    bench = small(MEASURE.format(caution="edge"))
    bench.give(NoReply(31.0))
    bench.hear(words="rattle")
    assert prompt_s(bench.outputs) == 0
    bench.say("why")
    assert prompt_s(bench.outputs) == 30


@pytest.mark.parametrize(
    ("caution", "expected"),
    [
        ("blades", "Whenever you are ready. Say affirm when understood."),
        ("edge", "Whenever you are ready. Turn the key to run. Measure the voltage on the pin."),
    ],
)
def test_what_is_awaited_is_told_in_short(caution: str, expected: str) -> None:
    bench = small(
        f"""
        one: {{needs: {{key: run}}, caution: {caution}, measure: voltage on the pin, unit: V,
              then: good}}
        """
    )
    bench.give(NoReply(31.0))
    assert bench.texts() == expected


def test_a_caution_that_was_cut_off_comes_with_the_prompt() -> None:
    bench = small(MEASURE.format(caution="edge"))
    bench.give(Interrupted(("edge",)))
    bench.give(NoReply(31.0))
    assert cautions(bench.outputs) == ["edge"]


def test_a_step_may_take_its_own_time_or_all_the_time() -> None:
    step = "one: {{measure: voltage, unit: V, then: good, prompt-after: {}}}"
    assert prompt_s(small(step.format("2 min")).outputs) == 120
    assert prompt_s(small(step.format("never")).outputs) == 0
    assert prompt_s(small(step.format("45 s"), prompt_after_s=0).outputs) == 45


def test_nobody_is_awaited_while_standing_by_or_while_a_timer_runs() -> None:
    bench = small(MEASURE.format(caution="edge"))
    assert prompt_s(bench.say("stand-by")) == 0
    bench.give(NoReply(31.0))
    assert bench.texts() == ""
    assert state_of(bench) is State.STAND_BY
    bench.certain = False
    bench.say("why", volts("5"))
    assert bench.texts() == ""
    bench.say("go-ahead")
    assert state_of(bench) is State.MEASURE
    waiting = small("one: {wait: the box to cool, for: 30 s, then: good}")
    assert prompt_s(waiting.outputs) == 0

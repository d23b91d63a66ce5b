"""A correction goes to the step it is meant for, and every correction names its step."""

from dataclasses import replace

import pytest
from bench import FINDINGS, HEAD, Bench, small, volts
from lines import Lines

from voiceassist.language.meanings import Answer, Command, Correction
from voiceassist.session.events import Heard
from voiceassist.session.expect import expectation
from voiceassist.session.states import State

PAIR = """
slow: {measure: voltage on the wire, accept: 8 V to 9 V, fail: bad}
fast: {measure: voltage on the wire again, accept: 2 V to 3 V, fail: bad}
near: {measure: voltage beside it, accept: 2 V to 3 V, fail: bad, then: good}
"""


def counting(bench: Bench) -> dict[str, str]:
    return {r.step: r.shown for r in bench.session.ledger if not r.superseded}


def test_a_stammer_put_right_is_the_value_of_the_step_at_hand(typed: Bench) -> None:
    typed.to("command-fast").hear(words="two uh five")
    typed.say(Correction(volts("2.5")))
    assert counting(typed)["command-slow"] == "8.4 V"
    assert counting(typed)["command-fast"] == "2.5 V"
    assert "Command fast: 2.5 V." in typed.texts()


def test_after_the_vehicle_was_changed_a_correction_is_for_the_step_at_hand(typed: Bench) -> None:
    typed.to("feed").say(Correction(volts("12.4")))
    assert counting(typed) == {"battery": "12.6 V", "feed": "12.4 V"}
    assert "Feed: 12.4 V." in typed.texts()


def test_right_after_a_value_a_correction_goes_where_it_would_pass() -> None:
    bench = small(PAIR).after(volts("8.4"), Correction(volts("8.6")))
    assert counting(bench) == {"slow": "8.6 V"}
    assert "Slow corrected: 8.6 V." in bench.texts()
    bench.say(Correction(volts("2.5")))
    assert counting(bench) == {"slow": "8.6 V", "fast": "2.5 V"}


def test_a_correction_that_was_misheard_and_dropped_is_made_again_for_the_same_step() -> None:
    bench = small(PAIR, certain=False).after(volts("8.4"))
    bench.give(Heard("", (Correction(volts("8.1")),), doubtful=True))
    assert bench.state is State.CONFIRM
    bench.say("negative", Correction(volts("8.6")), "affirm reading")
    assert counting(bench) == {"slow": "8.6 V"}
    assert bench.step == "fast"


@pytest.mark.parametrize(
    ("answer", "counts"),
    [
        ("fast", {"slow": "8.4 V", "fast": "2.6 V"}),
        ("near", {"slow": "8.4 V", "fast": "2.5 V", "near": "2.6 V"}),
    ],
)
def test_a_correction_that_fits_both_steps_is_asked_about(
    answer: str, counts: dict[str, str]
) -> None:
    bench = small(PAIR).after(volts("8.4"), volts("2.5"), Correction(volts("2.6")))
    assert bench.state is State.WHOSE
    assert "Is 2.6 V for this one, or for the last one?" in bench.texts()
    assert counting(bench.after(Answer(answer))) == counts


def test_a_value_given_when_asked_whether_the_last_was_read_wrong_is_asked_about() -> None:
    bench = small(PAIR).after(volts("8.4"), volts("2.5"))
    bench.give(Heard("sorry, misread it", (), guess=Command("mistake")))
    bench.say(volts("2.6"))
    assert bench.state is State.WHOSE
    assert counting(bench.after(Answer("fast"))) == {"slow": "8.4 V", "fast": "2.6 V"}


def test_a_value_given_when_asked_what_else_was_meant_is_that_of_the_step_at_hand() -> None:
    bench = small(PAIR).after(volts("8.4"), volts("2.5"))
    bench.give(Heard("i can't say", (), guess=Command("not-sure")))
    assert counting(bench.after(volts("2.6")))["near"] == "2.6 V"


def test_a_correction_that_fits_both_steps_can_be_dropped() -> None:
    before = small(PAIR).after(volts("8.4"), volts("2.5")).session
    bench = small(PAIR).after(volts("8.4"), volts("2.5"), Correction(volts("2.6")), "negative")
    assert bench.session == before


def test_a_correction_that_was_dropped_is_asked_about_again() -> None:
    """Words that were not understood while it was asked whose it is, take nothing from that."""
    bench = small(PAIR, certain=False).after(volts("8.4"), volts("2.5"))
    bench.hear(Correction(volts("2.6")), Correction(volts("2.8")))
    bench.give(Heard("", (Answer("fast"),), doubtful=True))
    bench.say(Answer("fast"), "negative", Correction(volts("2.6")))
    assert bench.state is State.WHOSE


#: The first is only kept: any value passes there.
KEPT = """
first: {measure: voltage on the wire, unit: V}
second: {measure: voltage on the wire again, accept: 12 V to 13 V, fail: bad, then: good}
"""


def test_a_value_that_was_only_kept_is_not_overwritten_without_asking() -> None:
    bench = small(KEPT).after(volts("12.5"), Correction(volts("11.2")))
    assert bench.state is State.WHOSE
    assert counting(bench) == {"first": "12.5 V"}


def test_a_question_asked_meanwhile_does_not_hide_what_may_be_corrected() -> None:
    bench = small(PAIR).after(volts("8.4"), volts("2.5"), "read-back", Correction(volts("2.6")))
    assert bench.state is State.WHOSE


def test_a_failing_correction_names_its_step_before_it_is_taken() -> None:
    bench = small(PAIR, certain=False).after(volts("8.4"), "revise", Answer("slow"), volts("5.0"))
    assert "Slow, 5.0 V? That would be too low." in bench.texts()
    assert "Slow corrected: 5.0 V." in bench.after("affirm reading").texts()


def test_an_unclear_correction_at_a_step_without_a_value_is_for_that_step(typed: Bench) -> None:
    typed.to("feed").hear(Correction(volts("12.4")), Correction(volts("124")))
    typed.say(volts("12.4"))
    assert counting(typed) == {"battery": "12.6 V", "feed": "12.4 V"}


def test_a_correction_that_would_turn_an_earlier_verdict_is_asked_about() -> None:
    """A stammer at the step at hand must not make a failed step before it pass, unasked."""
    steps = PAIR.replace("accept: 8 V to 9 V, fail: bad", "accept: 8 V to 9 V, fail: fast")
    bench = small(steps).after(volts("1.0"), Correction(volts("8.5")))
    assert bench.state is State.WHOSE
    assert counting(bench) == {"slow": "1.0 V"}
    bench.say(Answer("slow"))
    assert counting(bench) == {"slow": "8.5 V"}


DROPS = """
steps:
  running-feed: {measure: voltage on the pin, accept: at most 0.5 V, fail: bad}
  running-earth: {measure: voltage behind it, accept: at most 0.5 V, fail: bad, then: good}
"""


@pytest.mark.parametrize(
    ("said", "step"),
    [("running earth", "running-earth"), ("earth", "running-earth"), ("this one", "running-earth"),
     ("feed", "running-feed"), ("the last one", "running-feed"),
     ("the one before", "running-feed"), ("last one", "running-feed")],
)  # fmt: skip
def test_which_of_two_steps_is_meant_is_told_by_one_word_or_as_this_and_the_last(
    said: str, step: str
) -> None:
    bench = Lines(text=f"{HEAD}{DROPS}{FINDINGS}")
    bench.type("point three volts")
    bench.type("no wait, point oh three volts")
    assert bench.state is State.WHOSE
    bench.type(said)
    assert bench.counting[step] == "0.03 V"


def test_beside_an_offer_the_answer_of_the_step_is_still_listened_for() -> None:
    bench = small(PAIR)
    before = expectation(bench.engine.setup, bench.session)
    bench.give(Heard("nothing there", guess=Command("finish")))
    assert bench.state is State.MEANT
    now = expectation(bench.engine.setup, bench.session)
    assert now == replace(before, awaited=(*before.awaited, "affirm", "negative"))


def test_after_two_offers_it_is_only_said_how_to_get_help() -> None:
    bench = small(PAIR).after(volts("8.4"))
    step = bench.step
    told = []
    for _ in range(4):
        bench.give(Heard("nothing there", guess=Command("finish")))
        told.append("Did you mean finish" in bench.texts())
        assert bench.texts()
    assert told == [True, True, False, True]
    assert bench.after("negative").step == step


def test_a_question_that_waits_is_asked_again_when_an_offer_was_not_meant() -> None:
    bench = small(PAIR).after(volts("8.4"), volts("2.5"), Correction(volts("2.6")))
    asked = bench.texts()
    bench.give(Heard("nothing there", guess=Command("finish")))
    offered = bench.state
    assert asked in bench.after("negative").texts()
    assert (offered, bench.state) == (State.MEANT, State.WHOSE)


def test_where_it_is_asked_whose_a_value_is_another_step_is_none() -> None:
    bench = small(PAIR).after(volts("8.4"), volts("2.5"), Correction(volts("2.6")))
    asked = bench.session
    bench.say(Answer("slow"))
    assert bench.texts() == "That does not fit here. Is 2.6 V for this one, or for the last one?"
    assert bench.session == asked

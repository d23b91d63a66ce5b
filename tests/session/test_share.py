"""What a session makes rare, whatever it sounds like."""

from decimal import Decimal

import pytest
from bench import Bench, small, volts

from voiceassist.language.meanings import Answer, Command, Correction, Meaning, Reading
from voiceassist.measure.units import unit
from voiceassist.session.events import Heard
from voiceassist.session.long_numbers import is_longer_than_shown
from voiceassist.session.share import answers, share
from voiceassist.session.states import State

#: Two readings, and a question.
STEPS = """
slow: {measure: voltage on the wire, accept: 8 V to 9 V, fail: bad}
fast: {measure: voltage on the wire again, accept: 2 V to 3 V, fail: bad}
turns: {ask: does it turn freely, accept: yes, answers: {yes: last, no: bad}}
last: {measure: voltage beside it, accept: 2 V to 3 V, fail: bad, then: good}
"""


def left(bench: Bench, *meanings: Meaning) -> float:
    return share(bench.engine.setup, bench.session, meanings)


def doubted(bench: Bench, *meanings: Meaning) -> Bench:
    bench.give(Heard("", meanings, doubtful=True))
    return bench


def test_a_reading_that_the_step_can_have_is_as_likely_as_it_sounds() -> None:
    bench = small(STEPS)
    for likely in (volts("8.4"), volts("2.5"), Command("repeat"), Answer("affirm")):
        assert left(bench, likely) == 1.0


def test_a_reading_that_cannot_be_is_rare() -> None:
    """No low supply of a vehicle has thousands of volts."""
    assert left(small(STEPS), volts("8400")) < 0.1


def test_good_digits_in_another_unit_than_the_step_wants_are_rare() -> None:
    """A fault hardly ever shows the very digits that are good: "millivolts" was misheard."""
    bench = small(STEPS)
    millivolts = unit("mV")
    assert left(bench, Reading(Decimal("8.4"), millivolts)) < 0.1
    assert left(bench, Reading(Decimal("8400"), millivolts)) == 1.0
    assert left(bench, Reading(Decimal("3.4"), millivolts)) == 1.0


def test_a_correction_to_what_stands_already_is_rare() -> None:
    bench = small(STEPS).after(volts("8.4"))
    assert left(bench, Correction(Reading(Decimal("8.40"), unit("V")))) < 0.1
    assert left(bench, Correction(volts("8.6"))) == 1.0
    assert left(bench, Correction(volts("8.4"), "fast")) == 1.0


def test_a_correction_to_what_cannot_be_is_rare() -> None:
    bench = small(STEPS).after(volts("8.4"))
    assert left(bench, Correction(volts("8400"))) < 0.1
    assert left(bench, Correction(volts("18"))) == 1.0


def test_asked_which_of_two_values_it_was_one_seldom_says_a_third() -> None:
    bench = doubted(small(STEPS, certain=False), volts("8.4"), volts("3.4"))
    assert bench.state is State.WHICH
    assert left(bench, volts("8.4")) == left(bench, volts("3.40")) == 1.0
    assert left(bench, volts("8.1")) < 0.1


@pytest.mark.parametrize(
    ("value", "longer"),
    [("12.45", False), ("12.458", True), ("0.0458", False), ("120000", False), ("12345", True)],
)
def test_hand_meters_show_four_digits(value: str, longer: bool) -> None:
    """Counts of 2000 to 6000 are usual; common practice, no source."""
    assert is_longer_than_shown(small(STEPS).session, volts(value)) is longer


def test_a_longer_number_is_asked_about_until_one_was_confirmed() -> None:
    bench = small(STEPS, certain=False).after(volts("8.4132"))
    assert bench.state is State.CONFIRM
    bench.say("affirm reading")
    assert bench.step == "fast"
    assert bench.after(volts("2.5371")).step == "turns"


def test_heard_beyond_doubt_it_is_asked_about_all_the_same() -> None:
    bench = small(STEPS, certain=False)
    bench.give(Heard("", (volts("8.4132"),), sure=True, vetted=True))
    assert bench.state is State.CONFIRM


def test_typed_it_is_taken() -> None:
    assert small(STEPS).after(volts("8.4132")).step == "fast"


def at_the_question() -> Bench:
    return small(STEPS, certain=False).after(volts("8.4"), volts("2.5"))


def test_an_answer_of_the_question_answers_it_and_nothing_else_does() -> None:
    bench = at_the_question()
    setup = bench.engine.setup
    assert answers(setup, bench.session, (Answer("affirm"),))
    assert not answers(setup, bench.session, (Answer("done"),))
    assert not answers(setup, bench.session, (Command("repeat"),))
    assert not answers(setup, small(STEPS).session, (Answer("affirm"),))


def test_asked_whether_it_was_yes_or_no_yes_is_yes() -> None:
    bench = doubted(at_the_question(), Answer("affirm"), Answer("negative"))
    assert bench.state is State.WHICH
    bench.say("affirm")
    assert bench.step == "last"


def test_and_no_is_no_which_is_confirmed_where_it_would_end_in_a_finding() -> None:
    bench = doubted(at_the_question(), Answer("negative"), Answer("affirm"))
    bench.say("negative")
    assert bench.state is State.CONFIRM
    assert bench.session.pending == (Answer("negative"),)
    assert bench.after("affirm reading").session.finding == "bad"


def test_the_good_answer_is_taken_when_it_was_the_likeliest_twice() -> None:
    bench = doubted(at_the_question(), Answer("affirm"), Answer("negative"))
    assert doubted(bench, Answer("affirm")).state is not State.WHICH


def test_the_bad_one_is_asked_about_by_itself() -> None:
    bench = doubted(at_the_question(), Answer("negative"), Answer("affirm"))
    assert doubted(bench, Answer("negative")).state is State.CONFIRM


def test_a_doubtful_no_does_not_drop_a_question_about_two_values() -> None:
    bench = doubted(small(STEPS, certain=False), volts("8.4"), volts("3.4"))
    assert doubted(bench, Answer("negative")).state is State.WHICH

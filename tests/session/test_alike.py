"""Where a number that sounds alike would lead elsewhere, even a passing one is asked about."""

import pytest
from bench import Bench, amps, small

from voiceassist.session.events import Begin
from voiceassist.session.session import Session
from voiceassist.session.states import State

FUSE = "one: {measure: it, accept: at most 20 A, fail: bad, then: good}"
PLAIN = "one: {measure: it, accept: at most 5 A, fail: bad, then: good}"


def heard(steps: str, value: str) -> Bench:
    return small(steps, certain=False).after(amps(value))


@pytest.mark.parametrize("value", ["13", "15.5", "19"])
def test_fifteen_is_asked_about_digit_by_digit_where_fifty_would_fail(value: str) -> None:
    bench = heard(FUSE, value)
    assert bench.state is State.CONFIRM
    assert "digit by digit" in bench.texts()
    bench.say(amps(value))  # the same twice is believed
    assert bench.session.ledger[-1].passed


def test_a_number_that_sounds_like_no_other_goes_on_without_a_question() -> None:
    assert heard(FUSE, "12").state is State.AFTER
    assert heard(PLAIN, "4").state is State.AFTER


def test_a_typed_number_is_never_asked_about() -> None:
    bench = small(FUSE).after(amps("15"))
    assert bench.state is State.AFTER
    assert "digit by digit" not in bench.texts()


MORE = "{measure: it, accept: at most 20 A, fail: bad, then: good}"
LESSON = "Say numbers like this digit by digit from the start, and I need not ask."


def test_the_first_question_about_such_a_number_teaches_to_say_its_digits_and_no_other() -> None:
    bench = heard(f"{FUSE.replace('then: good', 'then: two')}\ntwo: {MORE}", "15")
    assert bench.texts().endswith(LESSON)
    bench.say("repeat")
    assert LESSON not in bench.texts()
    assert "digit by digit" in bench.texts()
    bench.say(amps("15"))
    bench.say(amps("16"))
    assert (bench.step, bench.state) == ("two", State.CONFIRM)
    assert LESSON not in bench.texts()


def test_the_lesson_stays_learnt_when_the_number_is_dropped_or_gone_back_on() -> None:
    bench = heard(FUSE, "15")
    bench.say("negative")
    bench.say(amps("15"))
    assert bench.state is State.CONFIRM
    assert LESSON not in bench.texts()


def test_it_is_taught_with_a_choice_of_two_such_numbers_too() -> None:
    bench = small(FUSE, certain=False)
    bench.hear(amps("15"), amps("50"))
    assert bench.state is State.WHICH
    assert bench.texts().endswith(LESSON)


def test_a_question_for_another_reason_teaches_nothing() -> None:
    bench = heard(FUSE, "21")
    assert bench.state is State.CONFIRM
    assert LESSON not in bench.texts()


def test_who_was_told_in_an_earlier_session_is_not_told_again() -> None:
    bench = small(FUSE, certain=False)
    bench.session = Session()
    bench.give(Begin((("technician", "Ada"),), taught=True))
    bench.say(amps("15"))
    assert bench.state is State.CONFIRM
    assert LESSON not in bench.texts()

"""Where a number that sounds alike would lead elsewhere, even a passing one is asked about."""

import pytest
from bench import Bench, amps, small

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
    assert small(FUSE).after(amps("15")).state is State.AFTER

"""A phrase is taken at once when nothing that could follow would change it."""

import languages
import pytest

from voiceassist.app.ears.is_complete import is_complete
from voiceassist.language.expectation import Expectation
from voiceassist.measure.units import unit

LANGUAGE = languages.shipped()
VOLTS = Expectation(quantities=("voltage",), unit=unit("V"))
CAUTION = Expectation(awaited=("affirm",))
CONFIRM = Expectation(
    quantities=("voltage",), unit=unit("V"), awaited=("affirm-reading", "negative")
)


@pytest.mark.parametrize(
    ("words", "expected", "whole"),
    [
        ("twelve point six volts", VOLTS, True),
        ("three hundred fifty millivolts", VOLTS, True),
        # A digit or a unit may follow: cut short, 12.65 would be 12.6.
        ("twelve point six", VOLTS, False),
        ("twelve", VOLTS, False),
        ("twelve point", VOLTS, False),
        ("done", VOLTS, True),
        ("why", VOLTS, True),
        ("skip", VOLTS, True),  # "skip this step" is the same
        ("no", VOLTS, False),  # "no, nine point eight" is a correction
        ("affirm", CAUTION, True),
        ("affirm", CONFIRM, False),  # "affirm reading" is what is waited for
        ("affirm reading", CONFIRM, True),
        ("negative", CONFIRM, False),
        ("nonsense", VOLTS, False),
    ],
)
def test_what_can_be_taken_at_once(words: str, expected: Expectation, *, whole: bool) -> None:
    assert is_complete(words, LANGUAGE.compose(expected)) is whole


def test_behind_a_name_it_is_the_same() -> None:
    grammar = LANGUAGE.compose(VOLTS).called("helper")
    assert is_complete("helper twelve point six volts", grammar)
    assert not is_complete("helper twelve point six", grammar)
    assert not is_complete("helper", grammar)

"""Numbers that sound alike."""

import languages
import pytest

from voiceassist.app.build import alikes
from voiceassist.doubt.alike import others_alike
from voiceassist.language.expectation import Expectation
from voiceassist.measure.units import unit

ENGLISH = languages.shipped()
VOLTS = ENGLISH.compose(Expectation(("voltage",), unit("V")))
KNOWN = alikes(ENGLISH)


@pytest.mark.parametrize(
    ("words", "other"),
    [
        ("fifteen volts", "fifty volts"),
        ("fifty volts", "fifteen volts"),
        ("thirteen point two", "thirty point two"),
        ("three hundred forty millivolts", "three hundred fourteen millivolts"),
        ("one hundred and eighteen", "one hundred and eighty"),
        ("correction nineteen", "correction ninety"),
    ],
)
def test_a_teen_has_its_ten_and_a_ten_its_teen(words: str, other: str) -> None:
    assert others_alike(words, VOLTS, KNOWN) == (VOLTS.parse(other).meanings,)


@pytest.mark.parametrize(
    "words",
    [
        "one five volts",  # said in digits
        "five zero",
        "fifteen one five",  # said with its digits
        "fifty five",  # nobody says "fifteen five"
        "twelve point six volts",
        "twenty volts",
        "say again",
        "over range",
    ],
)
def test_what_sounds_like_no_other_phrase_has_none(words: str) -> None:
    assert others_alike(words, VOLTS, KNOWN) == ()

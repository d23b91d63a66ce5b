"""A unit that one language has, every language has: said, and understood again."""

import re
from decimal import Decimal

import pytest

from voiceassist.language.expectation import Expectation
from voiceassist.language.language import Language
from voiceassist.language.meanings import Reading
from voiceassist.measure.units import QUANTITIES, unit
from voiceassist.resources import grammar_files

NAMES = ("en", "ko")
SYMBOLS = sorted(
    {
        symbol
        for name in NAMES
        for symbol in re.findall(r"\{unit ([^}]+)\}", grammar_files(name)["units.jsgf"])
    }
)


@pytest.fixture(scope="module", params=NAMES)
def language(request: pytest.FixtureRequest) -> Language:
    return Language.load(grammar_files(request.param))


@pytest.mark.parametrize("symbol", SYMBOLS)
def test_a_unit_is_said_and_understood(language: Language, symbol: str) -> None:
    reading = Reading(Decimal(3), unit(symbol))
    grammar = language.compose(Expectation((unit(symbol).quantity,), unit(symbol)))
    found = grammar.parse(language.say(reading)).meanings
    assert reading in found


def test_there_is_a_unit_for_every_quantity_that_can_be_spoken() -> None:
    assert {unit(symbol).quantity for symbol in SYMBOLS} == set(QUANTITIES)

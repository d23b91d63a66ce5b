"""Languages and step grammars that the tests of this room share."""

import pytest

from voiceassist.language.expectation import Expectation
from voiceassist.language.language import Language
from voiceassist.language.step import StepGrammar
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import unit
from voiceassist.resources import grammar_files


@pytest.fixture(scope="session")
def english() -> Language:
    return Language.load(grammar_files("en"))


@pytest.fixture(scope="session")
def korean() -> Language:
    return Language.load(grammar_files("ko"))


@pytest.fixture(scope="session", params=["en", "ko"])
def language(request: pytest.FixtureRequest) -> Language:
    return Language.load(grammar_files(request.param))


@pytest.fixture(scope="session")
def anything(english: Language) -> StepGrammar:
    return english.compose(Expectation.anything())


@pytest.fixture(scope="session")
def voltage(english: Language) -> StepGrammar:
    """A step that measures a battery: 0 to 20 volts are plausible."""
    return english.compose(
        Expectation(("voltage",), unit("V"), Quantity.parse("0 V"), Quantity.parse("20 V"))
    )

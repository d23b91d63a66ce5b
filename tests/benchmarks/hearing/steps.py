"""The steps at which the phrases are spoken, with the grammars the assistant itself would use."""

from collections.abc import Mapping
from decimal import Decimal
from functools import cache

from voiceassist.language.expectation import Choice, Expectation
from voiceassist.language.language import Language, StepGrammar
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import unit
from voiceassist.resources import grammar_files


def _measuring(quantity: str, symbol: str, highest: str) -> Expectation:
    own = unit(symbol)
    lowest = Quantity(Decimal(0), own)
    return Expectation((quantity,), own, lowest, Quantity(Decimal(highest), own))


STEPS: Mapping[str, Expectation] = {
    "voltage": _measuring("voltage", "V", "30"),
    "drop": _measuring("voltage", "mV", "500"),
    "current": _measuring("current", "A", "40"),
    "resistance": _measuring("resistance", "Ω", "100000"),
    "lamp": Expectation(lamp=True),
    "question": Expectation(
        choices=(
            Choice("free", ("turns freely", "it turns freely")),
            Choice("drags", ("it drags", "stiff", "hard to turn")),
            Choice("noisy", ("bearing noise", "noisy")),
            Choice("seized", ("seized", "does not turn")),
        )
    ),
    "caution": Expectation(),
    "job": Expectation(identifier="repair-order"),
}

#: The steps that take a reading.
MEASURING = ("voltage", "drop", "current", "resistance")


@cache
def english() -> Language:
    """The shipped English grammars."""
    return Language.load(grammar_files("en"))


@cache
def grammar(step: str) -> StepGrammar:
    """The grammar of a step of ``STEPS``."""
    return english().compose(STEPS[step])


def is_heard(words: str, step: str) -> bool:
    """Whether ``words`` are a whole phrase of what a listener searches at ``step``."""
    searched = grammar(step)
    state = searched.start()
    for word in words.split():
        state = searched.advance(state, word)
    return searched.accepts(state)


def means_something(words: str) -> bool:
    """Whether ``words`` are a phrase of the grammar at any of the steps; loose talk is none."""
    return any(grammar(step).parse_strictly(words).meanings for step in STEPS)

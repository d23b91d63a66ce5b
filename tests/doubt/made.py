"""Small pieces that the tests of this room are made of."""

from decimal import Decimal
from itertools import pairwise

from hypothesis import strategies as st

from voiceassist.doubt.belief import Belief
from voiceassist.doubt.costs import Costs
from voiceassist.doubt.evidence import ClipFacts, Guess, Key
from voiceassist.language.expectation import Expectation
from voiceassist.language.meanings import Answer, Command, Reading
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import unit

VOLTAGE = Expectation(
    ("voltage",), unit("V"), Quantity(Decimal(0), unit("V")), Quantity(Decimal(30), unit("V"))
)
QUIET, LOUD = ClipFacts(45.0, 2.0), ClipFacts(3.0, 2.0)
NAMES = ("finch", "wren")


def volts(value: str) -> Key:
    return (Reading(Decimal(value), unit("V")),)


KEYS: tuple[Key, ...] = (
    volts("8.4"),
    volts("13.5"),
    volts("30.5"),
    (Reading(Decimal("8.4")),),
    (Command("repeat"),),
    (Answer("affirm"),),
)


def said(key: Key, score: float) -> Guess:
    return Guess("words", key, score)


@st.composite
def costs(draw: st.DrawFn) -> Costs:
    value = round(draw(st.floats(0.5, 500)), 4)
    factor = draw(st.integers(1, 10))
    return Costs(
        value,
        round(value * factor, 4),
        round(draw(st.floats(0.01, 1)), 4),
        round(draw(st.floats(0.01, 1)), 4),
    )


@st.composite
def beliefs(draw: st.DrawFn) -> Belief:
    count = draw(st.integers(1, 4))
    cuts = sorted(draw(st.lists(st.floats(0, 1), min_size=count, max_size=count)))
    none, *shares = (high - low for low, high in pairwise([0.0, *cuts, 1.0]))
    return Belief(tuple(zip(KEYS, sorted(shares, reverse=True), strict=False)), none)

"""Small pieces that the tests of this room are made of."""

from decimal import Decimal
from itertools import pairwise

from hypothesis import strategies as st

from voiceassist.doubt.calibration import Belief, Calibration, Line
from voiceassist.doubt.costs import Costs
from voiceassist.doubt.evidence import Evidence, Guess, Key, Sound
from voiceassist.language.expectation import Expectation
from voiceassist.language.meanings import Answer, Command, Reading
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import unit

VOLTAGE = Expectation(
    ("voltage",), unit("V"), Quantity(Decimal(0), unit("V")), Quantity(Decimal(30), unit("V"))
)
QUIET, LOUD = Sound(45.0, 2.0), Sound(3.0, 2.0)
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


def plain(*names: str) -> Calibration:
    """Weights that one could have guessed."""
    return Calibration(
        listeners=names,
        behind=dict.fromkeys(names, Line(1.5, 1.2, 1.0)),
        unlisted=dict.fromkeys(names, 0.5),
        outside=dict.fromkeys(names, Line(0.2, 0.2, 0.1)),
        silent=dict.fromkeys(names, 1.0),
        none=Line(-4.0, -3.0, -2.0),
        crowd=Line(0.5, 0.5, 0.5),
        unexplained=Line(0.5, 0.5, 0.2),
        agreement=Line(2.0, 1.5, 1.0),
        prior=0.5,
    )


numbers = st.floats(-5, 5).map(lambda value: round(value, 4))
positive = st.floats(0, 5).map(lambda value: round(value, 4))
lines = st.builds(Line, numbers, numbers, numbers)
#: Evidence can only speak for what it speaks for, in quiet and in noise.
rising = st.builds(Line, positive, positive, positive)


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
def calibrations(draw: st.DrawFn, names: tuple[str, ...] = NAMES) -> Calibration:
    def each(weight: st.SearchStrategy[Line]) -> dict[str, Line]:
        return {name: draw(weight) for name in names}

    return Calibration(
        listeners=names,
        behind=each(rising),
        unlisted={name: draw(positive) for name in names},
        outside=each(rising),
        silent={name: draw(numbers) for name in names},
        none=draw(lines),
        crowd=draw(lines),
        unexplained=draw(rising),
        agreement=draw(rising),
        prior=draw(positive),
        costs=draw(costs()),
        fitted_on="12 phrases, voices finch and wren",
    )


@st.composite
def evidence(draw: st.DrawFn, name: str, least: int = 0) -> Evidence:
    heard = draw(st.lists(st.sampled_from(KEYS), min_size=least, max_size=6))
    scores = sorted((draw(st.floats(-300, 20)) for _ in heard), reverse=True)
    guesses = tuple(said(key, score) for key, score in zip(heard, scores, strict=True))
    return Evidence(name, guesses, draw(st.none() | st.floats(-300, 20)))


@st.composite
def beliefs(draw: st.DrawFn) -> Belief:
    count = draw(st.integers(1, 4))
    cuts = sorted(draw(st.lists(st.floats(0, 1), min_size=count, max_size=count)))
    none, *shares = (high - low for low, high in pairwise([0.0, *cuts, 1.0]))
    return Belief(tuple(zip(KEYS, sorted(shares, reverse=True), strict=False)), none)

"""Where a reading lies against its limit, as fractions of a bar's length. Pure."""

import re
from dataclasses import dataclass
from decimal import Decimal

from voiceassist.errors import MeasureError
from voiceassist.measure.quantity import Quantity
from voiceassist.record.lines import VerdictLine

_ONE = Decimal(1)
#: Room on either side of a limit with two ends, in widths of the limit.
_ROOM = Decimal("0.75")
#: A reading farther out than so many widths is shown by an arrow at the end of the bar.
_FAR = Decimal(3)
#: Free room left outside the outermost value, as a share of the bar.
_EDGE = Decimal("0.06")
_NUMBER = re.compile(r"[+\-−]?\d+(?:\.\d+)?\s?[^\s,;]+")


@dataclass(frozen=True, slots=True)
class Bar:
    """A reading on a line from 0 (left) to 1 (right).

    Parts:
        low, high: ends of the limit; None for an open one.
        guard_low, guard_high: between these the reading passes; from there to the end of the
            limit this meter cannot tell. None when the meter's doubt is not known.
        value, until: the reading; two places for one that wanders. 1 for over range.
        beyond: "left" or "right" when it lies outside the bar, empty otherwise.
    """

    low: Decimal | None
    high: Decimal | None
    guard_low: Decimal | None
    guard_high: Decimal | None
    value: Decimal
    until: Decimal
    beyond: str = ""

    def __post_init__(self) -> None:
        places = (self.low, self.high, self.guard_low, self.guard_high, self.value, self.until)
        if any(place is not None and not 0 <= place <= 1 for place in places):
            raise ValueError("a place on a bar lies from 0 to 1")
        if self.low is None and self.high is None:
            raise ValueError("a bar needs an end of the limit")


def bar_of(verdict: VerdictLine, shown: str) -> Bar | None:
    """The bar of a reading ``shown`` with its "verdict" line; None when there is nothing to draw.

    A limit with ends, and a reading that is no number, is over range: beyond the right end.
    """
    low, high = _base(verdict.low), _base(verdict.high)
    if low is None and high is None:
        return None
    guards = _base(verdict.guard_low), _base(verdict.guard_high)
    values = sorted(_numbers(shown))[:2]
    left, right = _ends(low, high, values)
    places = (*_places((low, high), left, right), *_places(guards, left, right))
    if not values:
        return Bar(*places, _ONE, _ONE, "right")
    first, last = values[0], values[-1]
    beyond = "left" if first < left else "right" if last > right else ""
    return Bar(*places, _on(first, left, right), _on(last, left, right), beyond)


def _base(written: object) -> Decimal | None:
    try:
        return Quantity.parse(str(written)).in_base if written else None
    except MeasureError:
        return None


def _numbers(shown: str) -> list[Decimal]:
    found = (_base(piece) for piece in _NUMBER.findall(shown))
    return [value for value in found if value is not None]


def _ends(
    low: Decimal | None, high: Decimal | None, values: list[Decimal]
) -> tuple[Decimal, Decimal]:
    """What the left and right end of the bar stand for, so that limit and near readings fit."""
    width = _width(low, high, values)
    near_low, near_high = _near(low, high, width)
    left, right = near_low, near_high
    for value in values:
        left = min(left, value) if value >= near_low - _FAR * width else left
        right = max(right, value) if value <= near_high + _FAR * width else right
    edge = (right - left) * _EDGE
    return left - edge, right + edge


def _near(low: Decimal | None, high: Decimal | None, width: Decimal) -> tuple[Decimal, Decimal]:
    if low is not None and high is not None:
        return low - _ROOM * width, high + _ROOM * width
    if high is not None:
        return min(Decimal(0), high), high + _ROOM * width
    assert low is not None  # one of the two is there
    return low - _ROOM * width, low + width


def _width(low: Decimal | None, high: Decimal | None, values: list[Decimal]) -> Decimal:
    """How wide the limit is; of an open one, the size of its end, else of the reading."""
    if low is not None and high is not None and high > low:
        return high - low
    sizes = [abs(each) for each in (high, low, *values) if each]
    return sizes[0] if sizes else _ONE


def _places(
    ends: tuple[Decimal | None, Decimal | None], left: Decimal, right: Decimal
) -> tuple[Decimal | None, Decimal | None]:
    low, high = (None if end is None else _on(end, left, right) for end in ends)
    return low, high


def _on(value: Decimal, left: Decimal, right: Decimal) -> Decimal:
    share = (value - left) / (right - left)
    return min(_ONE, max(Decimal(0), share)).quantize(Decimal("0.0001"))

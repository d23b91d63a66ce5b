"""Where the readings of one test point lie, and which lie apart. Pure: decimals in and out.

Quartiles: linear interpolation between closest ranks, type 7 of Hyndman and Fan (1996), which
``statistics.quantiles`` calls "inclusive". Outliers: beyond one and a half times the
interquartile range from the quartiles (Tukey 1977).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from statistics import quantiles

#: Tukey's inner fences.
FENCE = Decimal("1.5")


@dataclass(frozen=True, slots=True)
class ValueSpread:
    """How values lie; all in the unit they came in.

    Parts:
        count: how many there are, at least one.
        least, lower, median, upper, most: minimum, quartiles and maximum.
    """

    count: int
    least: Decimal
    lower: Decimal
    median: Decimal
    upper: Decimal
    most: Decimal

    @property
    def interquartile(self) -> Decimal:
        """Width of the middle half."""
        return self.upper - self.lower

    @property
    def fences(self) -> tuple[Decimal, Decimal]:
        """Values below the first or above the second lie apart."""
        reach = FENCE * self.interquartile
        return self.lower - reach, self.upper + reach

    def lies_apart(self, value: Decimal) -> bool:
        """It is an outlier."""
        low, high = self.fences
        return not low <= value <= high


def spread(values: Sequence[Decimal]) -> ValueSpread:
    """How ``values`` lie.

    Raises:
        ValueError: there are none.
    """
    if not values:
        raise ValueError("no values have no spread")
    ordered = sorted(values)
    lower, median, upper = (
        quantiles(ordered, n=4, method="inclusive") if len(ordered) > 1 else ordered * 3
    )
    return ValueSpread(len(ordered), ordered[0], lower, median, upper, ordered[-1])

"""Shares with their intervals."""

import math
from dataclasses import dataclass

from scipy.stats import chi2

#: Of the normal distribution, for 95 %.
_Z = 1.959963984540054


@dataclass(frozen=True, slots=True)
class Share:
    """So many of so many."""

    count: int
    of: int

    @property
    def interval(self) -> tuple[float, float]:
        """Where the true share lies with 95 %, after Wilson (1927)."""
        if not self.of:
            return 0.0, 1.0
        share, squared = self.count / self.of, _Z**2 / self.of
        middle = share + squared / 2
        reach = _Z * math.sqrt(share * (1 - share) / self.of + squared / (4 * self.of))
        return (middle - reach) / (1 + squared), (middle + reach) / (1 + squared)

    def __str__(self) -> str:
        """In percent, with the interval: 98.3 (97.5-98.9)."""
        if not self.of:
            return "-"
        low, high = (100 * max(end, 0.0) for end in self.interval)
        share = 100 * self.count / self.of
        return f"{_short(share)} ({_short(low)}-{_short(high)})"


def an_hour(count: int, hours: float) -> tuple[float, float]:
    """Where the true rate lies with 95 %: the exact interval of a Poisson count (Garwood 1936)."""
    low = chi2.ppf(0.025, 2 * count) / 2 if count else 0.0
    high = chi2.ppf(0.975, 2 * count + 2) / 2
    return float(low) / hours, float(high) / hours


def _short(percent: float) -> str:
    return f"{percent:.2f}" if percent < 1 else f"{percent:.1f}"

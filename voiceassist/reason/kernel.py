"""How wide the kernel is by which a few vehicles stand for all of their cause."""

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]

#: Silverman's factor, and how many deviations a quartile range is of a normal distribution.
_FACTOR, _QUARTILES = 1.06, 1.34
#: No spread is taken for less than this part of the largest number at a place.
_LEAST_SPREAD, _LEAST = 1e-3, 1e-6


def spreads(numbers: Numbers) -> Numbers:
    """The width of the kernel of each cause at one place, from ``numbers`` by cause and vehicle.

    Silverman 1986, section 3.4.2: 1.06 σ n^(-1/5), σ the smaller of the standard deviation and
    the quartile range of a normal distribution.
    """
    there = numbers[~np.isnan(numbers)]
    least = max(float(np.abs(there).max(initial=0.0)), _LEAST) * _LEAST_SPREAD
    return np.array([max(least, _width(row[~np.isnan(row)])) for row in numbers])


def _width(numbers: Numbers) -> float:
    if len(numbers) == 1 or not len(numbers):
        return 0.0
    deviation = float(numbers.std())
    quartiles = float(np.subtract(*np.percentile(numbers, (75, 25)))) / _QUARTILES
    width = min(deviation, quartiles) or deviation
    return float(_FACTOR * width * len(numbers) ** -0.2)

"""A table of what each test would show with each cause, on many vehicles."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from voiceassist.prove.vehicle import States

Numbers = NDArray[np.float64]
Words = NDArray[np.int8]

#: Silverman's factor, and how many deviations a quartile range is of a normal distribution.
_FACTOR, _QUARTILES = 1.06, 1.34
#: No spread is taken for less than this part of the largest number at a place.
_LEAST_SPREAD, _LEAST = 1e-3, 1e-6


@dataclass(frozen=True, slots=True)
class Place:
    """A test as it is made: the step, and the states of the conditions that the circuit follows."""

    step: str
    states: States


@dataclass(frozen=True, slots=True)
class Sight:
    """What is seen: a number in base units, or a word ("bright", "affirm", "over")."""

    number: float | None = None
    word: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Samples:
    """What every vehicle shows at every place.

    Parts:
        causes: names of the faults, and GOOD for a vehicle with none.
        likely: of each cause, before anything is read; they add up to 1.
        places: the tests.
        words: what can be seen that is no number; the first stands for a number.
        numbers: by place, cause and vehicle; not a number where a word is seen.
        seen: by place, cause and vehicle; index in ``words``.
        spreads: by place and cause, how far apart its vehicles lie: the width of their kernel.
        codes: by place, what its vehicles show there: indices in ``words``.
    """

    causes: tuple[str, ...]
    likely: tuple[float, ...]
    places: tuple[Place, ...]
    words: tuple[str, ...]
    numbers: Numbers
    seen: Words
    spreads: Numbers = field(init=False)
    codes: tuple[tuple[int, ...], ...] = field(init=False)

    def __post_init__(self) -> None:
        shape = (len(self.places), len(self.causes), self.vehicles)
        if self.numbers.shape != shape or self.seen.shape != shape:
            raise ValueError(f"the table is {self.numbers.shape}, and should be {shape}")
        if len(self.likely) != len(self.causes):
            raise ValueError("each cause wants one likelihood")
        object.__setattr__(self, "spreads", np.array([spreads(each) for each in self.numbers]))
        codes = tuple(tuple(np.unique(each).tolist()) for each in self.seen)
        object.__setattr__(self, "codes", codes)

    @property
    def vehicles(self) -> int:
        """How many of each cause."""
        return int(self.numbers.shape[2]) if self.numbers.ndim == 3 else 0

    def at(self, step: str, states: States) -> int | None:
        """The number of the place where ``step`` is made in ``states``; None when it is not."""
        place = Place(step, states)
        return self.places.index(place) if place in self.places else None

    def with_more(self, more: "Samples") -> "Samples":
        """The table with the places of ``more``, which has the same vehicles, at its end."""
        if more.causes != self.causes or more.vehicles != self.vehicles:
            raise ValueError("the tables are of other vehicles")
        words = tuple(dict.fromkeys((*self.words, *more.words)))
        codes = np.array([words.index(word) for word in more.words], np.int8)
        return Samples(
            self.causes,
            self.likely,
            (*self.places, *more.places),
            words,
            np.concatenate([self.numbers, more.numbers]),
            np.concatenate([self.seen, codes[more.seen]]),
        )


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

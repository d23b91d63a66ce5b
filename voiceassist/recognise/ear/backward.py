"""For each moment and state, the sum of all that can still follow, from the last moment back."""

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voiceassist.recognise.ear.automaton import Automaton
from voiceassist.recognise.ear.shape import BLANK

Doubles = NDArray[np.float64]
#: In single precision for loose talk, in double for a grammar.
Numbers = NDArray[np.floating[Any]]
#: The sums of all states after a blank, and after the state's letter.
Sums = tuple[Numbers, Numbers]
#: From the chances of the signs at a moment and the sums after it to those before it.
Step = Callable[[Numbers, Numbers, Numbers], Sums]
Row = tuple[memoryview, memoryview]
#: The largest sum of a moment as it is kept. Sums are kept in single precision, which halves a
#: search's memory; set so high, one may be 1e68 times smaller than the largest and is not lost.
KEPT = 1e30
#: So many sums are kept at a time: 6 MB of them, and twice that while others are summed again. Ways
#: of saying have 40 000 states, and some seconds of sound would take 30 to 80 MB.
_CELLS, _LEAST_AT_ONCE = 700_000, 16


@dataclass(frozen=True, slots=True)
class Later:
    """For each moment and state, the sum of all that can still follow.

    Each moment has a scale of its own, on which the largest number in it is ``KEPT``. Of a long
    sound only the moments before ``_at_once`` are kept whole; the others are summed again, a
    part at a time, when the search comes to them.

    Parts:
        chances: shape (moments, signs), of the signs, on the scales of the sums.
        begun: the sum at the beginning, where state 0 is, as exact as the sums.
        log_total: logarithm of the sum of all phrases, on the scale of the likeliest signs.
        first: the sums at the beginning, and after each of the first moments.
        later: sums that others are worked out from, by the moment that they come after.
        step: from the sums after a moment to those before it.
    """

    chances: Numbers
    begun: float
    log_total: float
    first: list[Row]
    later: Mapping[int, Sums]
    step: Step

    def rows(self) -> Iterator[Row]:
        """The sums at the beginning, and after each moment."""
        yield from self.first
        moment = len(self.first) - 1
        for end in sorted(self.later):
            sums = self.later[end]
            rows = [_row(*sums)]
            for before in range(end - 1, moment, -1):
                sums = self.step(self.chances[before], *sums)
                rows.append(_row(*sums))
            yield from reversed(rows)
            moment = end


def _row(blank: Numbers, letter: Numbers) -> Row:
    one, other = ((sums * KEPT).astype(np.float32).data for sums in (blank, letter))
    return one, other  # few of their numbers are looked at


def within(automaton: Automaton) -> Step:
    """A step back in ``automaton``."""
    ways = automaton.backward
    begun = np.zeros(len(automaton.entered) + 1)  # the last is no state; nothing follows from it

    def step(chance: Numbers, blank: Numbers, letter: Numbers) -> Sums:
        np.multiply(chance.take(automaton.signs), letter, out=begun[:-1])
        others = begun.take(ways.first)
        others[ways.forks] = np.add.reduceat(begun.take(ways.ways), ways.begin)
        others *= automaton.onward
        others += chance[BLANK] * blank
        after_blank = others.copy()
        after_blank[ways.doubled] += begun.take(ways.same) * automaton.onward.take(ways.doubled)
        others += begun[:-1]
        return after_blank, others

    return step


def summed_backward(chances: Numbers, last: Numbers, step: Step) -> Later | None:
    """The sums after each moment; None when nothing fits into the moments.

    Args:
        chances: shape (moments, signs), of the signs.
        last: for each state what ending there is worth.
        step: from the sums after a moment to those before it.
    """
    moments, at_once = len(chances), max(_LEAST_AT_ONCE, _CELLS // len(last))
    blank = letter = last
    scaled = np.empty_like(chances)
    first: list[Row] = []
    later: dict[int, Sums] = {}
    log_total = 0.0
    for moment in range(moments - 1, -1, -1):
        if moment < at_once:
            first.append(_row(blank, letter))
        elif moment + 1 == moments or (moment + 1) % at_once == 0:
            later[moment + 1] = blank, letter
        blank, letter = step(chances[moment], blank, letter)
        scale = max(blank.max(), letter.max())
        if scale <= 0:
            return None
        blank /= scale
        letter /= scale
        scaled[moment] = chances[moment] / scale
        log_total += math.log(scale)
    start = float(blank[0])
    if start <= 0:
        return None
    first.append(_row(blank, letter))
    return Later(scaled, start * KEPT, log_total + math.log(start), first[::-1], later, step)

"""For each moment and state, the sum of all that can still follow, from the last moment back."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voiceassist.recognise.ear.automaton import Automaton
from voiceassist.recognise.ear.shape import BLANK

Doubles = NDArray[np.float64]
Sums = tuple[Doubles, Doubles]
Rows = list[tuple[memoryview, memoryview]]
#: The largest sum of a moment as it is kept. Sums are kept in single precision, which halves a
#: search's memory; set so high, one may be 1e68 times smaller than the largest and is not lost.
KEPT = 1e30
#: So many sums are kept at a time: 8 MB of them. Ways of saying have 32 000 states, and some
#: seconds of sound would take 30 to 80 MB.
_CELLS, _LEAST_AT_ONCE = 1_000_000, 16


@dataclass(frozen=True, slots=True)
class Later:
    """For each moment and state, the sum of all that can still follow.

    Each moment has a scale of its own, on which the largest number in it is ``KEPT``. Of a long
    sound only the moments before ``_at_once`` are kept whole; the others are summed again, a
    part at a time, when the search comes to them.

    Parts:
        chances: shape (moments, signs), of the signs, on the scales of the sums.
        begun: the sum after a blank at the beginning, in double precision.
        log_total: logarithm of the sum of all phrases, on the scale of the likeliest signs.
        first: the sums after a blank and after each state's letter, for the first moments.
        later: sums that others are worked out from, by the moment that they come after.
    """

    chances: Doubles
    begun: float
    log_total: float
    first: Rows
    later: Mapping[int, Sums]

    def rows(self, automaton: Automaton) -> Iterator[tuple[memoryview, memoryview]]:
        """The sums after each moment but the start, after a blank and after the letter."""
        yield from self.first
        begun = np.zeros(len(automaton.entered) + 1)
        moment = len(self.first)
        for end in sorted(self.later):
            sums = self.later[end]
            rows = [_row(*sums)]
            for before in range(end - 1, moment, -1):
                sums = _before(self.chances[before], *sums, automaton, begun)
                rows.append(_row(*sums))
            yield from reversed(rows)
            moment = end


def _at_once(automaton: Automaton) -> int:
    """How many moments are kept whole."""
    return max(_LEAST_AT_ONCE, _CELLS // len(automaton.entered))


def _row(blank: Doubles, letter: Doubles) -> tuple[memoryview, memoryview]:
    one, other = ((sums * KEPT).astype(np.float32).data for sums in (blank, letter))
    return one, other  # few of their numbers are looked at


def _before(
    chance: Doubles, blank: Doubles, letter: Doubles, automaton: Automaton, begun: Doubles
) -> Sums:
    """The sums a moment earlier, from those of a moment; ``begun`` is room to work in."""
    ways = automaton.backward
    np.multiply(chance.take(automaton.signs), letter, out=begun[:-1])
    others = begun.take(ways.first)
    others[ways.forks] = np.add.reduceat(begun.take(ways.ways), ways.begin)
    others *= automaton.onward
    others += chance[BLANK] * blank
    after_blank = others.copy()
    after_blank[ways.doubled] += begun.take(ways.same) * automaton.onward.take(ways.doubled)
    others += begun[:-1]
    return after_blank, others


def summed_backward(chances: Doubles, automaton: Automaton) -> Later | None:
    """The sums after each moment; None when no phrase fits into the moments."""
    moments, at_once = len(chances), _at_once(automaton)
    blank = letter = automaton.whole
    scaled = np.empty_like(chances)
    begun = np.zeros(len(automaton.entered) + 1)  # the last is no state; nothing follows from it
    first: Rows = []
    later: dict[int, Sums] = {}
    log_total = 0.0
    for moment in range(moments - 1, -1, -1):
        if moment < at_once:
            first.append(_row(blank, letter))
        elif moment + 1 == moments or (moment + 1) % at_once == 0:
            later[moment + 1] = blank, letter
        blank, letter = _before(chances[moment], blank, letter, automaton, begun)
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
    return Later(scaled, start * KEPT, log_total + math.log(start), first[::-1], later)

"""The likeliest words of loose talk, for which no grammar is.

Word by word, as their rows have them, with the sum over all alignments of their letters. First the
sums run backward over the tree of words, as if each word stood alone: so the search forward knows
at each moment what can still follow, and goes on only with beginnings that have a future.
"""

from collections import defaultdict
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from voiceassist.recognise.ear.backward import Later, Numbers, Step, Sums, summed_backward
from voiceassist.recognise.ear.lexicon import BETWEEN, SPACE, START, Lexicon
from voiceassist.recognise.ear.search import Beam
from voiceassist.recognise.ear.shape import BLANK, SIGNS
from voiceassist.recognise.ear.word_rows import BEGIN, END, LONGEST

#: The network is surer of its letters than it should be: the power that its chances are put to.
_SURENESS = 0.5
#: A sign less likely than this at a moment, after that, is not looked at.
_LEAST_SIGN = 1e-3
BEAM = Beam(share=1e-4, width=24)
#: So many wordings are told.
_TOLD = 8


def wordings(
    logs: NDArray[np.floating], lexicon: Lexicon, beam: Beam = BEAM
) -> tuple[tuple[str, float], ...]:
    """The likeliest words, each with its share of what was found, the likeliest first.

    Args:
        logs: shape (moments, signs), natural logarithms of the probability of each sign.
        lexicon: the words.
        beam: how far to search.
    """
    flat = np.exp((logs - logs.max(axis=1, keepdims=True)) * _SURENESS).astype(np.float32)
    last = lexicon.ways.whole.copy()
    last[SPACE] = 1
    after = summed_backward(flat, last, _among(lexicon))
    if after is None:
        return ()
    found = _Search(lexicon, beam).along(after, flat > _LEAST_SIGN)
    total = sum(found.values())
    best = sorted(found.items(), key=lambda each: -each[1])[:_TOLD]
    return tuple((words, share / total) for words, share in best if share > 0)


def _among(lexicon: Lexicon) -> Step:
    """A step back among the words of ``lexicon``, each of which may follow any other."""
    ways, on = lexicon.ways, lexicon.ways.on
    begun = np.zeros(len(ways.signs) + 1, np.float32)  # the last is no state: nothing follows

    def step(chance: Numbers, blank: Numbers, letter: Numbers) -> Sums:
        np.multiply(chance.take(ways.signs), letter, out=begun[:-1])
        others = begun.take(on.first)
        others[on.forks] = np.add.reduceat(begun.take(on.ways) * ways.price, on.begin)
        others += ways.whole * begun[SPACE]
        others += chance[BLANK] * blank
        after_letter = others + begun[:-1]
        others[on.doubled] += begun.take(on.same) * ways.same_price
        return others, after_letter

    return step


#: Shares that a beginning has: after a blank, and after its letter.
_Shares = dict[int, list[float]]


class _Search:
    """Beginnings of wordings by number: each a state, the words before it, and whence it came.

    ``worth`` is what the last word of each is worth where it has just ended, else 1.
    """

    def __init__(self, lexicon: Lexicon, beam: Beam) -> None:
        self._lexicon, self._beam = lexicon, beam
        self._states, self._from, self._worth = [START], [-1], [1.0]
        self._before: list[tuple[int, ...]] = [(lexicon.rows.words.index(BEGIN),) * (LONGEST - 1)]
        self._numbers: dict[tuple[int, int], int] = {}

    def along(self, after: Later, looked_at: NDArray[np.bool_]) -> dict[str, float]:
        """Words with their shares, from the first moment to the last."""
        shares: _Shares = {0: [1.0, 0.0]}
        moments = zip(after.chances.tolist(), looked_at, pairwise(after.rows()), strict=True)
        for row, looked, (before, (blank, letter)) in moments:
            signs = [(int(s), row[s]) for s in np.flatnonzero(looked) if s != BLANK]
            least = self._least(shares, *before)
            shares = self._gone_on(shares, signs, row, letter, least)
            shares = self._kept(shares, blank, letter)
        return self._told(shares)

    def _least(self, shares: _Shares, blank: memoryview, letter: memoryview) -> float:
        """What a share must be worth to go on."""
        worth = (
            b * blank[self._states[n]] + a * letter[self._states[n]] for n, (b, a) in shares.items()
        )
        return self._beam.share * float(max(worth, default=0.0)) / 10

    def _gone_on(
        self,
        shares: _Shares,
        signs: list[tuple[int, float]],
        row: list[float],
        letter: memoryview,
        least: float,
    ) -> _Shares:
        found: _Shares = {}
        entered = self._lexicon.signs
        for number, (blank, last) in shares.items():
            sign, both = entered[self._states[number]], blank + last
            here = found.setdefault(number, [0.0, 0.0])
            here[0] += both * row[BLANK]
            here[1] += last * row[sign] if sign else 0.0
            for each, chance in signs:
                share = (blank if each == sign else both) * chance
                for on, worth in self._onward(number, each, share, letter, least):
                    found.setdefault(on, [0.0, 0.0])[1] += worth
        return found

    def _onward(
        self, number: int, sign: int, share: float, letter: memoryview, least: float
    ) -> list[tuple[int, float]]:
        """Where one more sign leads, each with its share, if that is enough."""
        if sign == BETWEEN:
            word = self._lexicon.word[self._states[number]]
            if word is None:
                return []
            on = self._numbers.get((number, SPACE))
            if on is None:
                worth = self._lexicon.chance(self._before[number], word)
                on = self._longer(number, SPACE, (*self._before[number][1:], word), worth)
            share *= self._worth[on]
            return [(on, share)] if share * letter[SPACE] >= least else []
        return [
            (self._longer(number, state, self._before[number], 1.0), share * price)
            for state, price in self._lexicon.onward(self._states[number], sign)
            if share * price * letter[state] >= least
        ]

    def _longer(self, number: int, state: int, before: tuple[int, ...], worth: float) -> int:
        """The number of a beginning that goes on to ``state``."""
        known = self._numbers.get((number, state))
        if known is None:
            known = self._numbers[number, state] = len(self._states)
            self._states.append(state)
            self._from.append(number)
            self._worth.append(worth)
            self._before.append(before)
        return known

    def _kept(self, shares: _Shares, blank: memoryview, letter: memoryview) -> _Shares:
        """Those worth following, on the scale of the best."""
        states = self._states
        worth = {
            n: float(b * blank[states[n]] + a * letter[states[n]]) for n, (b, a) in shares.items()
        }
        best = max(worth.values(), default=0.0)
        if best <= 0:
            return {}
        kept = sorted(worth, key=worth.__getitem__)[-self._beam.width :]
        least = self._beam.share * best
        return {n: [each / best for each in shares[n]] for n in kept if worth[n] >= least}

    def _told(self, shares: _Shares) -> dict[str, float]:
        """The words of each beginning that may end here."""
        found: dict[str, float] = defaultdict(float)
        end = self._lexicon.rows.words.index(END)
        for number, both in shares.items():
            word, before, worth = (
                self._lexicon.word[self._states[number]],
                self._before[number],
                1.0,
            )
            if self._states[number] != SPACE:
                if word is None:
                    continue
                worth = self._lexicon.chance(before, word)
                before = (*before[1:], word)
            found[self._spelled(number)] += sum(both) * worth * self._lexicon.chance(before, end)
        return found

    def _spelled(self, number: int) -> str:
        letters = []
        while number > 0:
            letters.append(SIGNS[self._lexicon.signs[self._states[number]]])
            number = self._from[number]
        return "".join(reversed(letters)).strip()

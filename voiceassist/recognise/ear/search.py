"""The sum over all that a grammar allows: how likely each phrase is, given the sound.

A phrase is written by every alignment of its letters with the sound, a letter lasting for one
moment or more, with or without a blank behind it; the blank is a must between two letters alike.
Its probability is the sum of these alignments: the forward algorithm of connectionist temporal
classification (Graves et al. 2006). Run backward over the automaton, the same recursion gives, for
each state and moment, the sum of all that can still follow. With that known, a search forward over
the phrases themselves follows only beginnings that have a share worth speaking of, and what it
gives up is known too: nothing is guessed at.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from voiceassist.recognise.ear.automaton import Automaton
from voiceassist.recognise.ear.shape import BLANK, SIGNS

Doubles = NDArray[np.float64]
#: The largest sum of a moment as it is kept. Sums are kept in single precision, which halves a
#: search's memory; set so high, one may be 1e68 times smaller than the largest and is not lost.
_KEPT = 1e30
#: So many sums are kept at a time: 8 MB of them. Ways of saying have 32 000 states, and some
#: seconds of sound would take 30 to 80 MB.
_CELLS, _LEAST_AT_ONCE = 1_000_000, 16


@dataclass(frozen=True, slots=True)
class Beam:
    """What is worth following.

    Parts:
        share: of the whole sum; a beginning with less is given up.
        width: beginnings followed at a time, at most.
    """

    share: float = 1e-5
    width: int = 64


_BEAM = Beam()


@dataclass(frozen=True, slots=True)
class SearchResult:
    """What a search found.

    Parts:
        phrases: word strings with the natural logarithm of their probability given the sound,
            best first.
        total: the same of the sum of all phrases of the grammar; minus infinity when none fits.
        free: the same of the likeliest single alignment of any letters.
        letters: how many letters that one writes.
        spelled: the words that it writes.
    """

    phrases: tuple[tuple[str, float], ...]
    total: float
    free: float
    letters: int
    spelled: str = ""

    @property
    def rest(self) -> float:
        """The logarithm of the probability of all phrases that are not listed."""
        listed = sum(math.exp(score - self.total) for _, score in self.phrases)
        return self.total + math.log(1 - listed) if listed < 1 else -math.inf


def search(logs: Doubles, automaton: Automaton, beam: Beam = _BEAM) -> SearchResult:
    """The likeliest phrases of a grammar.

    Args:
        logs: shape (moments, signs), natural logarithms of the probability of each sign.
        automaton: of the grammar.
        beam: how far to search.
    """
    best = logs.max(axis=1, keepdims=True)
    free = float(best.sum())
    signs = logs.argmax(axis=1)
    written = [sign for sign, _ in groupby(signs.tolist()) if sign != BLANK]
    letters = len(written)
    spelled = " ".join("".join(SIGNS[sign] for sign in written).split())
    after = _summed_backward(np.exp(logs - best), automaton)
    if after is None:
        return SearchResult((), -math.inf, free, letters, spelled)
    total = free + after.log_total
    shares: dict[str, float] = {}
    for way, share in _followed(after, automaton, beam):
        words = automaton.spelled(way)
        shares[words] = shares.get(words, 0.0) + share
    phrases = sorted(shares.items(), key=lambda phrase: -phrase[1])
    return SearchResult(
        tuple((words, total + math.log(share)) for words, share in phrases if share > 0),
        total,
        free,
        letters,
        spelled,
    )


def log_total(logs: Doubles, automaton: Automaton) -> float:
    """The logarithm of the probability of all phrases together; minus infinity when none fits."""
    best = logs.max(axis=1, keepdims=True)
    after = _summed_backward(np.exp(logs - best), automaton)
    return -math.inf if after is None else float(best.sum()) + after.log_total


def either(one: SearchResult, other: SearchResult) -> SearchResult:
    """What two searches of the same sound found, as one search of both grammars would."""
    scores: dict[str, float] = {}
    for words, score in (*one.phrases, *other.phrases):
        scores[words] = float(np.logaddexp(scores[words], score)) if words in scores else score
    return replace(
        one,
        phrases=tuple(sorted(scores.items(), key=lambda phrase: -phrase[1])),
        total=float(np.logaddexp(one.total, other.total)),
    )


_Sums = tuple[Doubles, Doubles]
_Rows = list[tuple[memoryview, memoryview]]


@dataclass(frozen=True, slots=True)
class _After:
    """For each moment and state, the sum of all that can still follow.

    Each moment has a scale of its own, on which the largest number in it is ``_KEPT``. Of a long
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
    first: _Rows
    later: Mapping[int, _Sums]

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
    one, other = ((sums * _KEPT).astype(np.float32).data for sums in (blank, letter))
    return one, other  # few of their numbers are looked at


def _before(
    chance: Doubles, blank: Doubles, letter: Doubles, automaton: Automaton, begun: Doubles
) -> _Sums:
    """The sums a moment earlier, from those of a moment; ``begun`` is room to work in."""
    ways = automaton.backward
    np.multiply(chance[automaton.signs], letter, out=begun[:-1])
    others = np.add.reduceat(begun[ways.others], ways.first)
    others *= automaton.onward
    others += chance[BLANK] * blank
    return others + begun[ways.same] * automaton.onward, others + begun[:-1]


def _summed_backward(chances: Doubles, automaton: Automaton) -> _After | None:
    """The sums after each moment; None when no phrase fits into the moments."""
    moments, at_once = len(chances), _at_once(automaton)
    blank = letter = automaton.whole
    scaled = np.empty_like(chances)
    begun = np.zeros(len(automaton.entered) + 1)  # the last is no state; nothing follows from it
    first: _Rows = []
    later: dict[int, _Sums] = {}
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
    return _After(scaled, start * _KEPT, log_total + math.log(start), first[::-1], later)


#: The number of the start among all beginnings.
_START = 0


class _Beginnings:
    """Beginnings of phrases, by number: each a state, and the beginning it went on from."""

    def __init__(self) -> None:
        self.states = [0]
        self._before = [_START]
        self._numbers: dict[tuple[int, int], int] = {}

    def longer(self, number: int, state: int) -> int:
        """The number of a beginning that goes on to ``state``."""
        key = number, state
        known = self._numbers.get(key)
        if known is None:
            known = self._numbers[key] = len(self.states)
            self.states.append(state)
            self._before.append(number)
        return known

    def way(self, number: int) -> list[int]:
        """The states on the way to one."""
        states = []
        while number != _START:
            states.append(self.states[number])
            number = self._before[number]
        return states[::-1]


#: Shares of the sum that a beginning has, less what may follow: after a blank, after its letter.
_Shares = dict[int, list[float]]


def _followed(after: _After, automaton: Automaton, beam: Beam) -> list[tuple[list[int], float]]:
    """Each phrase that was followed to its end: its states, and its share of the whole sum."""
    known = _Beginnings()
    shares: _Shares = {_START: [1 / after.begun, 0.0]}
    for row, (blank, letter) in zip(after.chances, after.rows(automaton), strict=True):
        shares = _gone_on(shares, row.tolist(), letter, known, automaton, beam.share)
        worth = {
            number: after_blank * blank[known.states[number]] + last * letter[known.states[number]]
            for number, (after_blank, last) in shares.items()
        }
        kept = sorted((n for n, each in worth.items() if each >= beam.share), key=worth.__getitem__)
        shares = {number: shares[number] for number in kept[-beam.width :]}
    return [
        (known.way(number), sum(both) * _KEPT * automaton.ends[known.states[number]])
        for number, both in shares.items()
        if automaton.ends[known.states[number]]
    ]


def _gone_on(
    shares: _Shares,
    chances: Sequence[float],
    letter: memoryview,
    known: _Beginnings,
    automaton: Automaton,
    least: float,
) -> _Shares:
    """The shares a moment later; ``chances`` and ``letter`` are those of this moment."""
    signs, ways, goes_on = automaton.entered, automaton.ways, automaton.goes_on
    found: _Shares = {}
    for number, (blank, last) in shares.items():
        state = known.states[number]
        sign, both = signs[state], blank + last
        here = found.setdefault(number, [0.0, 0.0])
        here[0] += both * chances[BLANK]
        here[1] += last * chances[sign]
        for on in ways[state]:
            share = (blank if signs[on] == sign else both) * chances[signs[on]] * goes_on[state]
            if share * letter[on] >= least:
                found.setdefault(known.longer(number, on), [0.0, 0.0])[1] += share
    return found

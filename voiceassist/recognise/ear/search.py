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
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from voiceassist.recognise.ear.automaton import Automaton
from voiceassist.recognise.ear.shape import BLANK, SIGNS

Doubles = NDArray[np.float64]
Floats = NDArray[np.float32]
#: The largest sum of a moment as it is kept. Sums are kept in single precision, which halves a
#: search's memory; set so high, one may be 1e68 times smaller than the largest and is not lost.
_KEPT = 1e30


@dataclass(frozen=True, slots=True)
class Beam:
    """What is worth following.

    Parts:
        share: of the whole sum; a beginning with less is given up.
        width: beginnings followed at a time, at most.
    """

    share: float = 1e-5
    width: int = 64


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


def search(logs: Doubles, automaton: Automaton, beam: Beam) -> SearchResult:
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


@dataclass(frozen=True, slots=True)
class _After:
    """For each moment and state, the sum of all that can still follow.

    Each moment has a scale of its own, on which the largest number in it is ``_KEPT``.

    Parts:
        chances: shape (moments, signs), of the signs, on the scales of the sums.
        blank, letter: shape (moments + 1, states), after a blank and after the state's letter.
        begun: that of blank at the beginning, in double precision.
        log_total: logarithm of the sum of all phrases, on the scale of the likeliest signs.
    """

    chances: Doubles
    blank: Floats
    letter: Floats
    begun: float
    log_total: float


def _summed_backward(chances: Doubles, automaton: Automaton) -> _After | None:
    """The sums after each moment; None when no phrase fits into the moments."""
    ways = automaton.backward
    moments, states = len(chances), len(automaton.entered)
    kept_blank, kept_letter = (np.empty((moments + 1, states), np.float32) for _ in range(2))
    kept_blank[-1] = kept_letter[-1] = automaton.whole * _KEPT
    blank = letter = automaton.whole
    scaled = np.empty_like(chances)
    begun = np.zeros(states + 1)  # the last is no state, and nothing follows from it
    log_total = 0.0
    for moment in range(moments - 1, -1, -1):
        chance = chances[moment]
        np.multiply(chance[automaton.signs], letter, out=begun[:-1])
        others = np.add.reduceat(begun[ways.others], ways.first)
        others *= automaton.onward
        others += chance[BLANK] * blank
        blank = others + begun[ways.same] * automaton.onward
        letter = others + begun[:-1]
        scale = max(blank.max(), letter.max())
        if scale <= 0:
            return None
        blank /= scale
        letter /= scale
        np.multiply(blank, _KEPT, out=kept_blank[moment], casting="same_kind")
        np.multiply(letter, _KEPT, out=kept_letter[moment], casting="same_kind")
        scaled[moment] = chance / scale
        log_total += math.log(scale)
    if blank[0] <= 0:
        return None
    begun_with = float(blank[0])
    return _After(
        scaled, kept_blank, kept_letter, begun_with * _KEPT, log_total + math.log(begun_with)
    )


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
    for moment, chances in enumerate(after.chances.tolist()):
        letter = memoryview(after.letter[moment + 1])  # few of its numbers are looked at
        shares = _gone_on(shares, chances, letter, known, automaton, beam.share)
        blank = memoryview(after.blank[moment + 1])
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

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
from itertools import groupby, islice

import numpy as np

from voiceassist.recognise.ear.automaton import Automaton
from voiceassist.recognise.ear.backward import KEPT, Doubles, Later, summed_backward, within
from voiceassist.recognise.ear.shape import BLANK, SIGNS


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
    after = summed_backward(np.exp(logs - best), automaton.whole, within(automaton))
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
    after = summed_backward(np.exp(logs - best), automaton.whole, within(automaton))
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


def _followed(after: Later, automaton: Automaton, beam: Beam) -> list[tuple[list[int], float]]:
    """Each phrase that was followed to its end: its states, and its share of the whole sum."""
    known = _Beginnings()
    shares: _Shares = {_START: [1 / after.begun, 0.0]}
    for row, (blank, letter) in zip(after.chances, islice(after.rows(), 1, None), strict=True):
        shares = _gone_on(shares, row.tolist(), letter, known, automaton, beam.share)
        worth = {
            number: after_blank * blank[known.states[number]] + last * letter[known.states[number]]
            for number, (after_blank, last) in shares.items()
        }
        kept = sorted((n for n, each in worth.items() if each >= beam.share), key=worth.__getitem__)
        shares = {number: shares[number] for number in kept[-beam.width :]}
    return [
        (known.way(number), sum(both) * KEPT * automaton.ends[known.states[number]])
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

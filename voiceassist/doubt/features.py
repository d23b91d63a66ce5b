"""The numbers that a calibration weighs: how far each understanding lies behind the best one."""

import math
from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass

from voiceassist.doubt.evidence import Evidence, Guess, Key, Sound
from voiceassist.doubt.same import settled
from voiceassist.language.expectation import Expectation

#: Differences of log scores beyond this say no more.
_FARTHEST = 100.0
#: The same for "none of these".
_FARTHEST_OUTSIDE = 30.0
#: Quiet enough: above this the noise makes no difference.
QUIET_DB = 30.0
#: Quiet that is left around a phrase, and what a word takes (flite slt and rms, rather slow).
_AROUND_S, _WORD_S = 0.9, 0.4
_MOST_UNEXPLAINED_S = 3.0
NOTHING_EXPECTED = Expectation()

#: What understandings that count as one have in common, at a step.
Same = Callable[[Key, Expectation], Hashable]
_Scores = Mapping[Hashable, float]


@dataclass(frozen=True, slots=True)
class Features:
    """Of one clip.

    Parts:
        keys: the understandings, those of any listener; what comes to the same stands once.
        behind: for each listener, how far each of ``keys`` lies behind its best: the square root
            of the difference of log scores, 0 or more. What it did not list lies with its last.
        unlisted: for each listener, 1 for each of ``keys`` that it did not list, else 0.
        outside: for each listener, how much better "none of these" scores than its best guess;
            0 when it cannot tell or has no guess.
        silent: for each listener, 1 when nothing it heard means anything here, else 0.
        agreement: for each of ``keys``, how many further listeners have it as their best when
            one has.
        crowd: natural logarithm of one more than the number of ``keys``; the more are listed, the
            less it proves to be among them.
        unexplained: seconds of the clip beyond what its best guess takes to say; other talk that
            holds a word of the grammar is longer than that word.
        noise: 0 in quiet to 1 where speech is no louder than the noise.
    """

    keys: tuple[Key, ...]
    behind: Mapping[str, tuple[float, ...]]
    unlisted: Mapping[str, tuple[float, ...]]
    outside: Mapping[str, float]
    silent: Mapping[str, float]
    agreement: tuple[float, ...]
    crowd: float
    unexplained: float
    noise: float


def features(
    evidence: Sequence[Evidence],
    sound: Sound,
    expectation: Expectation = NOTHING_EXPECTED,
    same: Same = settled,
) -> Features:
    """The features of what was heard at a step; the step's own unit is taken for a bare number.

    Understandings for which ``same`` gives the same are one.

    A listener that took a second look is judged by that one, except for "none of these".

    Square roots, because in noise a large difference of scores proves less than it claims: on
    the sounds the calibration is fitted on they predict better than the differences themselves.
    """
    found = _distinct(evidence, expectation, same)
    first = {each.listener: _by_meaning(each.guesses, expectation, same) for each in evidence}
    scores = {
        each.listener: _by_meaning(each.weighed or each.guesses, expectation, same)
        for each in evidence
    }
    best = [max(each, key=each.__getitem__) for each in scores.values() if each]
    return Features(
        keys=tuple(found.values()),
        behind={name: _behind(each, tuple(found)) for name, each in scores.items()},
        unlisted={
            name: tuple(float(bool(each) and key not in each) for key in found)
            for name, each in scores.items()
        },
        outside={each.listener: _outside(each, first[each.listener]) for each in evidence},
        silent={name: float(not each) for name, each in first.items()},
        agreement=tuple(max(best.count(key) - 1.0, 0.0) for key in found),
        crowd=math.log1p(len(found)),
        unexplained=_unexplained(evidence, sound.seconds),
        noise=1 - min(max(sound.snr_db, 0.0), QUIET_DB) / QUIET_DB,
    )


def _distinct(
    evidence: Sequence[Evidence], expectation: Expectation, same: Same
) -> dict[Hashable, Key]:
    """Each understanding as it first came, by what it comes to."""
    found: dict[Hashable, Key] = {}
    for each in evidence:
        for guess in each.guesses:
            found.setdefault(same(guess.meanings, expectation), guess.meanings)
    return found


def _by_meaning(guesses: Sequence[Guess], expectation: Expectation, same: Same) -> _Scores:
    """Log scores of the understandings; word strings that come to the same are summed."""
    grouped: dict[Hashable, list[float]] = {}
    for guess in guesses:
        grouped.setdefault(same(guess.meanings, expectation), []).append(guess.score)
    return {key: log_sum(scores) for key, scores in grouped.items()}


def _behind(scores: _Scores, found: Sequence[Hashable]) -> tuple[float, ...]:
    if not scores:
        return tuple(0.0 for _ in found)
    best, last = max(scores.values()), min(scores.values())
    gaps = (best - scores.get(key, last) for key in found)
    return tuple(math.sqrt(min(gap, _FARTHEST)) for gap in gaps)


def _outside(evidence: Evidence, scores: _Scores) -> float:
    if not scores or evidence.none_of_these is None:
        return 0.0
    gap = evidence.none_of_these - max(scores.values())
    return max(-_FARTHEST_OUTSIDE, min(gap, _FARTHEST_OUTSIDE))


def _unexplained(evidence: Sequence[Evidence], seconds: float) -> float:
    """By the longest of the listeners' best guesses."""
    words = (len(each.guesses[0].words.split()) for each in evidence if each.guesses)
    takes = _AROUND_S + _WORD_S * max(words, default=0)
    return min(max(seconds - takes, 0.0), _MOST_UNEXPLAINED_S)


def log_sum(logs: Sequence[float]) -> float:
    """Logarithm of the sum of what ``logs`` are the logarithms of."""
    top = max(logs)
    return top + math.log(sum(math.exp(each - top) for each in logs))

"""Which procedures the words of a complaint fit, and how well. Words in, names out.

A word that few procedures have tells more than one that many have, by the inverse document
frequency (Spärck Jones 1972); words that tell nothing are left out.
"""

import math
import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

from voiceassist.app.catalogue import Listed

_WORD = re.compile(r"[a-z0-9]+")
_SHORT = {
    "doesn't": "does not", "don't": "do not", "won't": "will not", "isn't": "is not",
    "can't": "can not", "didn't": "did not", "aren't": "are not", "it's": "it is",
}  # fmt: skip
#: Words that most complaints have.
_PLAIN = frozenset(
    _WORD.findall(
        "a an the it is are was be my our his her this that of in on at to for with from by or and"
        " but so if when then there here has have had do does did will can they he she we you i"
        " one ones just only also very really still always sometimes vehicle car van truck"
        " customer says said saying about up out not no any some something thing right"
        " properly anymore"
    )
)
_ENDS = ("ings", "ing", "ed", "es", "s")
_LEAST_STEM = 3
#: A word of the subject tells less than one of title and complaints.
_OF_SUBJECT = 0.6
#: From this share of what the words tell, a procedure fits, and another one if it fits so nearly
#: as well. Common practice, no source.
_FITS, _NEARLY = 0.34, 0.8
#: So many places are tried to part two complaints.
_PARTINGS = 4


@dataclass(frozen=True, slots=True)
class Fit:
    """What a complaint fits.

    Parts:
        said: its words.
        names: the procedures, the best first; none where nothing fits.
    """

    said: str
    names: tuple[str, ...] = ()

    @property
    def clear(self) -> bool:
        """One alone fits."""
        return len(self.names) == 1


class Fitting:
    """Knows the words of every procedure.

    Args:
        listed: the procedures.
    """

    def __init__(self, listed: Sequence[Listed]) -> None:
        self.listed = {each.name: each for each in listed}

    def fit(self, said: str, among: Iterable[str] = ()) -> Fit:
        """The procedures that ``said`` fits; among those named, if any are."""
        tokens = dict.fromkeys(stems(said))
        names = [*among] or [*self.listed]
        scores = {name: self._score(name, tokens) for name in names} if tokens else {}
        best = max(scores.values(), default=0.0)
        if best < _FITS:
            return Fit(said)
        near = [name for name, score in scores.items() if score >= _NEARLY * best]
        return Fit(said, tuple(sorted(near, key=lambda name: -scores[name])))

    def complaints(self, said: str) -> tuple[Fit, ...]:
        """The one or two complaints in ``said``, each with what it fits."""
        whole = self.fit(said)
        for number, found in enumerate(re.finditer(r"\band\b|,|\balso\b", said)):
            halves = [self.fit(said[: found.start()]), self.fit(said[found.end() :])]
            apart = all(half.names for half in halves) and not set(halves[0].names) & set(
                halves[1].names
            )
            if apart and number < _PARTINGS:
                return tuple(halves)
        return (whole,)

    def _score(self, name: str, tokens: Iterable[str]) -> float:
        """How much of what the words tell is told of this procedure, from 0 to 1."""
        title, subject = self._words[name]
        told = sum(
            self._weight(token) * (1 if token in title else _OF_SUBJECT)
            for token in tokens
            if token in title or token in subject
        )
        return told / sum(self._weight(token) for token in tokens)

    def _weight(self, token: str) -> float:
        return math.log((len(self.listed) + 1) / (self._often[token] + 0.5))

    @cached_property
    def _words(self) -> dict[str, tuple[frozenset[str], frozenset[str]]]:
        return {
            name: (
                frozenset(stems(" ".join((name, each.title, *each.complaints)))),
                frozenset(stems(each.subject)),
            )
            for name, each in self.listed.items()
        }

    @cached_property
    def _often(self) -> Counter[str]:
        return Counter(word for own in self._words.values() for word in own[0] | own[1])


def stems(text: str) -> list[str]:
    """The words of ``text`` that tell something, without their ends."""
    text = text.lower().replace("’", "'")
    for short, whole in _SHORT.items():
        text = text.replace(short, whole)
    return [_stem(word) for word in _WORD.findall(text) if word not in _PLAIN]


def _stem(word: str) -> str:
    for end in _ENDS:
        if word.endswith(end) and len(word) - len(end) >= _LEAST_STEM:
            word = word.removesuffix(end)
            break
    return word[:-1] if len(word) > _LEAST_STEM and word[-1] in {"e", word[-2]} else word

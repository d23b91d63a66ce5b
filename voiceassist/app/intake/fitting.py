"""Which procedures the words of a complaint fit, and how well. Words in, names out.

A word that few procedures have tells more than one that many have, by the inverse document
frequency (Spärck Jones 1972); words that tell nothing are left out. What other regions call a
thing is read as the procedures call it, by ``words.toml``. How well one phrase of a procedure is
told counts too, by the overlap of Tversky (1977), so that a long title is no better than a short
one.
"""

import math
import re
import tomllib
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from importlib.resources import files

from voiceassist.app.catalogue import Listed

_WORD = re.compile(r"[a-z0-9]+")
_SAME = re.compile(r"[\s-]+")
_SHORT = {
    "doesn't": "does not", "don't": "do not", "won't": "will not", "isn't": "is not",
    "dont": "do not", "doesnt": "does not", "wont": "will not",
    "can't": "can not", "didn't": "did not", "aren't": "are not", "it's": "it is",
}  # fmt: skip
#: Words that most complaints have.
_PLAIN = frozenset(
    _WORD.findall(
        "a an the it is are was be my our his her this that of in on at to for with from by or and"
        " but so if when then there here has have had do does did will can they he she we you i"
        " one ones just only also very really still always sometimes vehicle car van truck"
        " customer says said saying about up out not no any some something thing right"
        " properly anymore now all mate hello hi hiya hey please um uh er erm okay ok sorry well"
        " like every each second moment put fit ish think reckon thats m ve"
    )
)
_ENDS = ("ings", "ing", "ed", "es", "s")
_LEAST_STEM = 3
#: A word of the subject tells less than one of title and complaints.
_OF_SUBJECT = 0.6
#: How much of the score is the overlap with the phrase that is most like it, and how much what
#: that phrase tells and the words do not takes from it.
_BY_PHRASE, _UNTOLD = 0.5, 0.3
#: From the first a procedure may be offered, from the second it is begun where no other one fits
#: so nearly as well. Common practice, no source.
_FITS, _SURE, _NEARLY = 0.2, 0.42, 0.75
#: What is known of the words is surely about something from this share of all that they tell, and
#: from this share of what a word tells that one procedure alone has: "dead" alone is not.
_KNOWN, _LEAST_WORTH = 0.55, 0.6
#: So many places are tried to part two complaints.
_PARTINGS = 4


@dataclass(frozen=True, slots=True)
class Fit:
    """What a complaint fits.

    Parts:
        said: its words.
        names: the procedures, the best first; none where nothing fits.
        sure: they fit so well that the words are surely about one of them.
    """

    said: str
    names: tuple[str, ...] = ()
    sure: bool = False

    @property
    def clear(self) -> bool:
        """One alone fits, and well."""
        return self.sure and len(self.names) == 1


class Fitting:
    """Knows the words of every procedure.

    Args:
        listed: the procedures.
    """

    def __init__(self, listed: Sequence[Listed]) -> None:
        self.listed = {each.name: each for each in listed}

    def fit(self, said: str, among: Iterable[str] = ()) -> Fit:
        """The procedures that ``said`` fits; among those named, if any are."""
        return self._fit(said, dict.fromkeys(stems(said)), among)

    def is_foreign(self, said: str) -> bool:
        """Whether a word of ``said`` is of no procedure."""
        return any(not self._often[token] for token in stems(said))

    def tells_more(self, said: str, again: str, name: str) -> bool:
        """Whether ``said`` is about more than ``again``, by which procedure ``name`` was found."""
        own = self._words[name][0] | set(stems(again))
        told = set(stems(said))
        left = {token: None for token in told - own if self._often[token]}
        return not told & own or self._fit(said, left).sure

    def _fit(self, said: str, tokens: Mapping[str, None], among: Iterable[str] = ()) -> Fit:
        names = [*among] or [*self.listed]
        scores = {name: self._score(name, tokens) for name in names} if tokens else {}
        best = max(scores.values(), default=0.0)
        if best < _FITS:
            return Fit(said)
        near = [name for name, score in scores.items() if score >= _NEARLY * best]
        ordered = sorted(near, key=lambda name: -scores[name])
        known = self._worth(token for token in tokens if self._often[token])
        least = _LEAST_WORTH * self._weight("")
        sure = best >= _SURE and known >= max(least, _KNOWN * self._worth(tokens))
        return Fit(said, tuple(ordered), sure)

    def complaints(self, said: str) -> tuple[Fit, ...]:
        """The one or two complaints in ``said``, each with what it fits."""
        whole = self.fit(said)
        for number, found in enumerate(re.finditer(r"\band\b|,|\balso\b", said)):
            halves = [self.fit(said[: found.start()]), self.fit(said[found.end() :])]
            apart = all(half.clear for half in halves) and not set(halves[0].names) & set(
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
        whole = self._worth(tokens)
        alike = max(self._alike(phrase, tokens, whole) for phrase in self._phrases[name])
        return (1 - _BY_PHRASE) * told / whole + _BY_PHRASE * alike

    def _alike(self, phrase: frozenset[str], tokens: Iterable[str], whole: float) -> float:
        both = self._worth(token for token in tokens if token in phrase)
        return both / ((1 - _UNTOLD) * whole + _UNTOLD * self._worth(phrase))

    def _worth(self, tokens: Iterable[str]) -> float:
        return sum(self._weight(token) for token in tokens)

    def _weight(self, token: str) -> float:
        """What it tells; a word that no procedure has may be what is wrong, and tells most."""
        return math.log((len(self.listed) + 1) / (max(1, self._often[token]) + 0.5))

    @cached_property
    def _phrases(self) -> dict[str, tuple[frozenset[str], ...]]:
        return {
            name: tuple(frozenset(stems(each)) for each in (listed.title, *listed.complaints))
            for name, listed in self.listed.items()
        }

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
    """The words of ``text`` that tell something, as the procedures call them, without ends."""
    text = _SAME.sub(" ", text.lower().replace("’", "'"))
    text = re.sub(r"(?<!it)'s\b", "", text)
    pattern, called = _called()
    text = pattern.sub(lambda found: called[found[1]], text)
    for short, whole in _SHORT.items():
        text = text.replace(short, whole)
    return [_stem(word) for word in _WORD.findall(text) if word not in _PLAIN]


@cache
def _called() -> tuple[re.Pattern[str], dict[str, str]]:
    """What else things are called, the longest first, and how the procedures call each."""
    text = files("voiceassist.app.intake").joinpath("words.toml").read_text(encoding="utf-8")
    same: dict[str, list[str]] = tomllib.loads(text)["same"]
    called = {_SAME.sub(" ", other): own for own, others in same.items() for other in others}
    longest = sorted(called, key=len, reverse=True)
    return re.compile(rf"\b({'|'.join(map(re.escape, longest))})s?\b"), called


def _stem(word: str) -> str:
    for end in _ENDS:
        if word.endswith(end) and len(word) - len(end) >= _LEAST_STEM:
            word = word.removesuffix(end)
            break
    return word[:-1] if len(word) > _LEAST_STEM and word[-1] in {"e", word[-2]} else word

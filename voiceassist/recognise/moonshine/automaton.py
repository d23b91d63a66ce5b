"""A step's grammar as an automaton over the decoder's tokens.

The words that can come next are asked of the grammar one state at a time (rather than read
from its JSGF text): its stepping has the rules resolved already, and a search visits only a few
of its states, so nothing is worked out that no sound asks for.

A phrase may be spelled with any case, a hyphen or a space between words, a hyphen inside a word,
and one punctuation mark after a word. Figures are no spelling of a number.
"""

from collections.abc import Hashable, Iterable, Iterator
from dataclasses import dataclass, field
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from voiceassist.recognise.graph import Steps
from voiceassist.recognise.moonshine.tokens import Tokens, folded

Words = tuple[str, ...]

_HYPHEN = "-"
_MARKS = (".", ",", "?", "!", ";", ":", "...")


class _Where(IntEnum):
    """What came last; a joint is a hyphen, or a space that is a token of its own."""

    NOTHING = 0
    LETTERS = 1
    JOINT = 2
    MARK = 3


@dataclass(eq=False, slots=True)
class _Letters:
    """A place inside the words that can come next: the letters so far.

    Parts:
        on: the place after one more letter.
        word: the word spelled so far; empty when these letters are none.
        after: the grammar's state behind that word.
    """

    on: "dict[str, _Letters]" = field(default_factory=dict)
    word: str = ""
    after: Hashable = None


#: Token, place behind it, and the word it completes.
_Arc = tuple[int, int, str]
#: Letters so far, the grammar's state before the word they belong to, and what came last.
_Place = tuple[_Letters, Hashable, _Where]


@dataclass(frozen=True, slots=True)
class Arcs:
    """The ways on from a place.

    Parts:
        tokens: shape (n,), the token of each.
        places: shape (n,), the place behind each.
        words: the word that each completes; empty for none.
        ends: the word that the end of the text completes, empty for none; None when the text
            cannot end here.
    """

    tokens: NDArray[np.intp]
    places: tuple[int, ...]
    words: tuple[str, ...]
    ends: str | None


@dataclass(eq=False, slots=True)
class Automaton:
    """Places in the spellings of a grammar's phrases; 0 is before the first token.

    Places and their arcs are worked out when first asked for, and kept.
    """

    grammar: Steps = field(repr=False)
    tokens: Tokens = field(repr=False)
    _roots: dict[Hashable, _Letters] = field(default_factory=dict, repr=False)
    _numbers: dict[_Place, int] = field(default_factory=dict, repr=False)
    _places: list[_Place] = field(default_factory=list, repr=False)
    _arcs: dict[int, Arcs] = field(default_factory=dict, repr=False)

    def __post_init__(self) -> None:
        start = self.grammar.start()
        self._number(self._root(start), start, _Where.NOTHING)

    def arcs(self, place: int) -> Arcs:
        """The ways on from ``place``."""
        known = self._arcs.get(place)
        if known is None:
            known = self._arcs[place] = self._found(*self._places[place])
        return known

    def _found(self, letters: _Letters, state: Hashable, where: _Where) -> Arcs:
        match where:
            case _Where.NOTHING:
                return _arcs(self._starting(state), None)
            case _Where.MARK:
                return _arcs(self._starting(state), "" if self.grammar.accepts(state) else None)
            case _Where.JOINT:
                return _arcs(self._inner(letters, state), None)
        found = [*self._inner(letters, state), *self._hyphen(letters, state, "")]
        if not letters.word:
            return _arcs(found, None)
        word, after = letters.word, letters.after
        found += self._starting(after, word)
        found += self._hyphen(self._root(after), after, word)
        found += self._mark(after, word)
        return _arcs(found, word if self.grammar.accepts(after) else None)

    def _starting(self, state: Hashable, word: str = "") -> Iterator[_Arc]:
        root = self._root(state)
        for text, letters in _below(root):
            for token in self.tokens.starting.get(text, ()):
                yield token, self._number(letters, state, _Where.LETTERS), word
        for token in self.tokens.starting.get("", ()) if root.on else ():
            yield token, self._number(root, state, _Where.JOINT), word

    def _inner(self, start: _Letters, state: Hashable) -> Iterator[_Arc]:
        for text, letters in _below(start):
            for token in self.tokens.inner.get(text, ()):
                yield token, self._number(letters, state, _Where.LETTERS), ""

    def _hyphen(self, letters: _Letters, state: Hashable, word: str) -> Iterator[_Arc]:
        if letters.on:
            for token in self.tokens.inner[_HYPHEN]:
                yield token, self._number(letters, state, _Where.JOINT), word

    def _mark(self, state: Hashable, word: str) -> Iterator[_Arc]:
        place = self._number(self._root(state), state, _Where.MARK)
        for mark in _MARKS:
            for token in self.tokens.inner.get(mark, ()):
                yield token, place, word

    def _root(self, state: Hashable) -> _Letters:
        root = self._roots.get(state)
        if root is None:
            root = self._roots[state] = _Letters()
            for word in sorted(self.grammar.next_words(state)):
                letters = root
                for letter in folded(word).replace(_HYPHEN, ""):
                    letters = letters.on.setdefault(letter, _Letters())
                letters.word, letters.after = word, self.grammar.advance(state, word)
        return root

    def _number(self, letters: _Letters, state: Hashable, where: _Where) -> int:
        key = letters, state, where
        number = self._numbers.get(key)
        if number is None:
            number = self._numbers[key] = len(self._places)
            self._places.append(key)
        return number


def _below(start: _Letters) -> Iterator[tuple[str, _Letters]]:
    """Every place that one letter or more leads to, with these letters."""
    waiting = [("", start)]
    while waiting:
        text, letters = waiting.pop()
        for letter, after in letters.on.items():
            yield text + letter, after
            waiting.append((text + letter, after))


def _arcs(found: Iterable[_Arc], ends: str | None) -> Arcs:
    arcs = tuple(found)
    tokens = np.array([token for token, _, _ in arcs], dtype=np.intp)
    return Arcs(tokens, tuple(a[1] for a in arcs), tuple(a[2] for a in arcs), ends)

"""A step's grammar as a deterministic automaton of letters, in arrays.

Words that lead to the same continuations share their states, so the number of states grows with
the words of a grammar and not with its phrases. Every state is entered by one sign only, as the
sum over alignments wants it.
"""

from array import array
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache, cached_property
from itertools import accumulate, chain, islice

import numpy as np
from numpy.typing import NDArray

from voiceassist.recognise.ear.shape import BLANK, NUMBERS, SIGNS
from voiceassist.recognise.graph import WordGraph

_SPACE = " "
#: What may follow inside a word, and the state of the word graph behind it.
_Rest = tuple[str, int]
_Place = frozenset[_Rest]


@dataclass(frozen=True, slots=True)
class Backward:
    """The ways on from each state, for sums that run backward.

    Most states are in the middle of a word, with one way on, which need not be summed.

    Parts:
        first: shape (states,), where the first way of each leads that does not repeat the letter;
            where there is none, the number of states, for one from which nothing follows.
        forks: the states with more than one.
        ways, begin: where all of theirs lead, ordered by state, and where those of each begin.
        doubled, same: the states with a way that repeats the letter, and where it leads.
    """

    first: NDArray[np.intp]
    forks: NDArray[np.intp]
    ways: NDArray[np.intp]
    begin: NDArray[np.intp]
    doubled: NDArray[np.intp]
    same: NDArray[np.intp]


class Successors(Sequence["array[int]"]):
    """Of each state, the states that one more letter leads to, in two arrays.

    Args:
        flat: all of them, one state's after another's.
        first: where those of each state begin, and where the last ones end.
    """

    __slots__ = ("_first", "_flat")

    def __init__(self, flat: "array[int]", first: "array[int]") -> None:
        self._flat, self._first = flat, first

    @classmethod
    def of(cls, ways: "Sequence[Sequence[int]]") -> "Successors":
        """``ways`` as this keeps them."""
        if isinstance(ways, Successors):
            return ways
        first = array("i", accumulate(map(len, ways), initial=0))
        return cls(array("i", chain.from_iterable(ways)), first)

    def __len__(self) -> int:
        return len(self._first) - 1

    def __getitem__(self, state: int) -> "array[int]":  # type: ignore[override]
        return self._flat[self._first[state] : self._first[state + 1]]


@dataclass(frozen=True)
class Automaton:
    """Every spelling of a grammar's phrases. State 0 is before the first letter.

    A phrase weighs what its last state's end does, times what each state passed on the way does.

    Parts:
        entered: the sign that enters each state; ``BLANK`` for state 0.
        ends: for each state what ending there weighs; 0 where no phrase is whole.
        ways: of each state, the states that one more letter leads to.
        words: words that are written otherwise, by how they are written.
        goes_on: for each state what going on from there weighs; empty for 1 everywhere.
    """

    entered: Sequence[int]
    ends: Sequence[float]
    ways: Sequence[Sequence[int]] = field(repr=False)
    words: Mapping[str, str] = field(repr=False)
    goes_on: Sequence[float] = field(default=(), repr=False)

    def __post_init__(self) -> None:
        # There may be tens of thousands of states: kept as bytes and arrays, as few as can be.
        goes_on = self.goes_on or (1.0,) * len(self.entered)
        object.__setattr__(self, "entered", bytes(self.entered))
        object.__setattr__(self, "ends", array("d", self.ends))
        object.__setattr__(self, "ways", Successors.of(self.ways))
        object.__setattr__(self, "goes_on", array("d", goes_on))

    # What a search needs besides; a part of a larger automaton is never searched by itself.

    @cached_property
    def signs(self) -> NDArray[np.intp]:
        """``entered`` as an array, shape (states,)."""
        return np.array(list(self.entered), np.intp)

    @cached_property
    def whole(self) -> NDArray[np.float64]:
        """``ends`` as an array, shape (states,)."""
        return np.array(self.ends, np.float64)

    @cached_property
    def onward(self) -> NDArray[np.float64]:
        """``goes_on`` as an array, shape (states,)."""
        return np.array(self.goes_on, np.float64)

    @cached_property
    def backward(self) -> Backward:
        """The ways in arrays."""
        return backward(self.entered, self.ways)

    def spelled(self, states: Sequence[int]) -> str:
        """The words that are written on the way through ``states``."""
        text = "".join(SIGNS[self.entered[state]] for state in states)
        for written, word in self.words.items():
            text = f" {text} ".replace(f" {written} ", f" {word} ").strip()
        return text


def automaton_of(graph: WordGraph) -> Automaton:
    """The letters of ``graph``, whose words are written with the letters a to z."""
    classes = _classes(graph)
    words = {
        number: tuple(
            (way, classes[behind]) for word, behind in arcs.items() for way in spellings(word)
        )
        for number, arcs in zip(classes, graph.arcs, strict=True)
    }
    ends = {classes[state] for state in graph.ends}
    start: tuple[str, _Place] = "", frozenset(words[classes[0]])
    numbers = {start: 0}
    waiting, ways = [start], []
    for _, place in waiting:
        here = []
        for key in _onward(place, words):
            if key not in numbers:
                numbers[key] = len(waiting)
                waiting.append(key)
            here.append(numbers[key])
        ways.append(tuple(here))
    return Automaton(
        entered=tuple(NUMBERS.get(sign, BLANK) for sign, _ in waiting),
        ends=tuple(
            float(any(not rest and behind in ends for rest, behind in place))
            for _, place in waiting
        ),
        ways=tuple(ways),
        words={way: word for word in graph.words() for way in spellings(word) if way != word},
    )


def choice_of(parts: Sequence[tuple[Automaton, float]]) -> Automaton:
    """One that has all phrases of ``parts``, each part said as often as the number beside it.

    Within a part each letter that can come next is as likely as another, or as the end there. A
    phrase that several parts have weighs what it does in all of them.
    """
    entered, ends, goes_on = [BLANK], [0.0], [1.0]
    ways: list[Sequence[int]] = [()]
    words: dict[str, str] = {}
    starts: list[int] = []
    for part, share in parts:
        shift = len(entered) - 1  # its first state falls together with that of all
        turns = [
            1 / max(len(on) + (end > 0), 1) for on, end in zip(part.ways, part.ends, strict=True)
        ]
        # What the first letters weigh is not told at the start, which all share, but at the ends.
        starts += [state + shift for state in part.ways[0]]
        entered += part.entered[1:]
        ends += [end * turn * share * turns[0] for end, turn in zip(part.ends, turns, strict=True)][
            1:
        ]
        goes_on += turns[1:]
        ways += [[state + shift for state in on] for on in islice(part.ways, 1, None)]
        words.update(part.words)
    ways[0] = starts
    return Automaton(tuple(entered), tuple(ends), tuple(ways), words, tuple(goes_on))


def beginnings(automaton: Automaton) -> Automaton:
    """One that has the beginnings of phrases that end with a word and are no phrases themselves."""
    space = NUMBERS[_SPACE]
    ends = tuple(
        float(not end and any(automaton.entered[on] == space for on in ways))
        for end, ways in zip(automaton.ends, automaton.ways, strict=True)
    )
    return replace(automaton, ends=ends)


def backward(entered: Sequence[int], ways: Sequence[Sequence[int]]) -> Backward:
    """The ways on from states, each of which is entered by one sign."""
    first, forks, flat, begin = list[int](), list[int](), list[int](), list[int]()
    doubled, same = list[int](), list[int]()
    for state, (sign, on) in enumerate(zip(entered, ways, strict=True)):
        others = [each for each in on if entered[each] != sign]
        first.append(others[0] if others else len(ways))
        if len(others) > 1:
            forks.append(state)
            begin.append(len(flat))
            flat += others
        if len(others) < len(on):  # one sign leads to one state
            doubled.append(state)
            same.append(next(each for each in on if entered[each] == sign))
    return Backward(
        *(np.array(each, np.intp) for each in (first, forks, flat, begin, doubled, same))
    )


@cache
def spellings(word: str) -> tuple[str, ...]:
    """``word`` as the network may write it: "x-ray" as "x ray" or "xray"."""
    plain = word.replace("’", "'")
    return tuple(dict.fromkeys(plain.replace("-", between) for between in (_SPACE, "")))


def _onward(place: _Place, words: Mapping[int, tuple[_Rest, ...]]) -> list[tuple[str, _Place]]:
    """Each sign that can come next, with the place behind it, in the order of the signs."""
    if len(place) == 1:
        ((rest, behind),) = place
        if rest:  # most places are in the middle of one word
            return [(rest[0], frozenset(((rest[1:], behind),)))]
    found: dict[str, set[_Rest]] = {}
    for rest, behind in place:
        if rest:
            found.setdefault(rest[0], set()).add((rest[1:], behind))
        elif words[behind]:
            found.setdefault(_SPACE, set()).update(words[behind])
    return [(sign, frozenset(found[sign])) for sign in sorted(found)]


def _classes(graph: WordGraph) -> list[int]:
    """For each state a number that it shares with those from which the same can follow."""
    classes = [int(state in graph.ends) for state in range(len(graph.arcs))]
    count = 0
    while count < len(set(classes)):
        count = len(set(classes))
        known: dict[Hashable, int] = {}
        classes = [
            known.setdefault(
                (mine, frozenset((word, classes[behind]) for word, behind in arcs.items())),
                len(known),
            )
            for mine, arcs in zip(classes, graph.arcs, strict=True)
        ]
    return classes

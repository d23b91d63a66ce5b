"""A step's grammar as a plain graph of words: to be sent to another process, and searched there."""

from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Protocol, runtime_checkable

from voiceassist.errors import RecogniseError
from voiceassist.recognise.base import ListenerGrammar

#: A step of 17 spelled characters, the largest there is, has fewer than a thousand.
MOST_STATES = 50_000


class Steps(Protocol):
    """Phrases that are built word by word."""

    def start(self) -> Any:  # noqa: ANN401 - states are the grammar's own
        """Before the first word."""
        ...

    def advance(self, state: Any, word: str) -> Any:  # noqa: ANN401
        """After one more word."""
        ...

    def next_words(self, state: Any) -> frozenset[str]:  # noqa: ANN401
        """The words that can come next."""
        ...

    def accepts(self, state: Any) -> bool:  # noqa: ANN401
        """True when the words so far are a whole phrase."""
        ...


@runtime_checkable
class Stepping(ListenerGrammar, Steps, Protocol):
    """A grammar whose phrases can be built word by word (``language.StepGrammar`` is one)."""


@runtime_checkable
class Talking(Protocol):
    """A grammar with other ways of saying beside it (``language.StepGrammar`` is one)."""

    def talk(self) -> Sequence[tuple[Steps, float]]:
        """Parts of them, each with how often it is said; a part met before is the same object."""
        ...


@dataclass(frozen=True, slots=True)
class WordGraph:
    """Every phrase of a grammar. State 0 is before the first word.

    Parts:
        arcs: for each state, the words that can come next and the state behind each.
        ends: the states in which a phrase is whole.
    """

    arcs: Sequence[Mapping[str, int]]
    ends: frozenset[int]

    def __post_init__(self) -> None:
        states = range(len(self.arcs))
        targets = {state for arcs in self.arcs for state in arcs.values()}
        if not self.arcs or not (targets | self.ends) <= set(states):
            raise ValueError("a graph that leads out of itself")

    def start(self) -> int:
        """Before the first word."""
        return 0

    def advance(self, state: int, word: str) -> int:
        """After one more word, which must be one that can come here."""
        return self.arcs[state][word]

    def next_words(self, state: int) -> frozenset[str]:
        """The words that can come next."""
        return frozenset(self.arcs[state])

    def accepts(self, state: int) -> bool:
        """True when the words so far are a whole phrase."""
        return state in self.ends

    def words(self) -> frozenset[str]:
        """Every word in it."""
        return frozenset(word for arcs in self.arcs for word in arcs)

    def contains(self, phrase: str) -> bool:
        """True when ``phrase``, words with single spaces, is one of its phrases."""
        state: int | None = 0
        for word in phrase.split():
            state = None if state is None else self.arcs[state].get(word)
        return state in self.ends

    def cover(self) -> Iterator[str]:
        """Phrases that together hold every two words that can follow each other, and few others.

        Each is a shortest way to and from such a pair; first words and last words are covered too.
        """
        before, after = self._ways_in(), self._ways_out()
        seen: set[tuple[str, str]] = set()
        for state, arcs in enumerate(self.arcs):
            for word, middle in arcs.items():
                for following, behind in self._following(middle):
                    pair = (word, following)
                    if pair not in seen:
                        seen.add(pair)
                        tail = (following, *after[behind]) if following else ()
                        yield " ".join((*before[state], word, *tail))

    def _following(self, state: int) -> Iterator[tuple[str, int]]:
        yield from self.arcs[state].items()
        if state in self.ends:
            yield "", state

    def _ways_in(self) -> dict[int, tuple[str, ...]]:
        """The fewest words that lead to each state."""
        ways: dict[int, tuple[str, ...]] = {0: ()}
        waiting = [0]
        for state in waiting:
            for word, behind in self.arcs[state].items():
                if behind not in ways:
                    ways[behind] = (*ways[state], word)
                    waiting.append(behind)
        return ways

    def _ways_out(self) -> dict[int, tuple[str, ...]]:
        """The fewest words that end a phrase from each state."""
        back: dict[int, list[tuple[str, int]]] = {}
        for state, arcs in enumerate(self.arcs):
            for word, behind in arcs.items():
                back.setdefault(behind, []).append((word, state))
        ways: dict[int, tuple[str, ...]] = dict.fromkeys(sorted(self.ends), ())
        waiting = list(ways)
        for state in waiting:
            for word, earlier in back.get(state, ()):
                if earlier not in ways:
                    ways[earlier] = (word, *ways[state])
                    waiting.append(earlier)
        return ways


def graph_of(grammar: Steps) -> WordGraph:
    """The whole of ``grammar``.

    Raises:
        RecogniseError: it has no end, or more states than any step should.
    """
    start: Hashable = grammar.start()
    numbers = {start: 0}
    waiting = [start]
    arcs: list[dict[str, int]] = []
    for state in waiting:
        if len(waiting) > MOST_STATES:
            raise RecogniseError(
                "the step's grammar has too many ways to speak", remedy="give it shorter phrases"
            )
        here: dict[str, int] = {}
        for word in sorted(grammar.next_words(state)):
            behind = grammar.advance(state, word)
            if behind not in numbers:
                numbers[behind] = len(numbers)
                waiting.append(behind)
            here[word] = numbers[behind]
        arcs.append(here)
    ends = frozenset(number for state, number in numbers.items() if grammar.accepts(state))
    return WordGraph(tuple(arcs), ends)

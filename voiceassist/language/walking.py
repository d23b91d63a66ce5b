"""Walks a network word by word: once with all meanings kept, once for decoders."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from voiceassist.language.network import Node, Tags

Stack = tuple[Node, "Stack"] | None
Place = tuple[Node, Stack]
#: More ways than any sensible phrase has; beyond it a phrase is refused, not cut short.
MOST_WAYS = 2000


@dataclass(frozen=True, slots=True)
class Walk:
    """How far a phrase went.

    Parts:
        taken: words taken before one did not fit; all of them when every word fits.
        tags: the tags of each way through the whole phrase; empty when there is none.
        expected: the words that could have come next.
        too_many: the phrase can be taken in more ways than are worth following.
    """

    taken: int
    tags: tuple[Tags, ...] = ()
    expected: frozenset[str] = frozenset()
    too_many: bool = False


def walk(start: Node, words: Sequence[str]) -> Walk:
    """Take ``words`` from ``start`` in every way at once."""
    places: dict[Place, dict[Tags, None]] = {(start, None): {(): None}}
    for taken, word in enumerate(words):
        after = _step(places, word)
        if not after:
            return Walk(taken, expected=frozenset(_next(places)))
        if sum(map(len, after.values())) > MOST_WAYS:
            return Walk(taken, too_many=True)
        places = after
    tags = tuple(dict.fromkeys(t for p, ways in places.items() for t in _finishes(p, ways)))
    return Walk(len(words), tags, frozenset() if tags else frozenset(_next(places)))


def longest_prefix(start: Node, words: Sequence[str]) -> int:
    """How many of the first words make a whole phrase of ``start``; the most if several do."""
    places: dict[Place, dict[Tags, None]] = {(start, None): {(): None}}
    longest = 0
    for taken, word in enumerate(words, 1):
        places = _step(places, word)
        if not places:
            break
        if any(True for p, ways in places.items() for _ in _finishes(p, ways)):
            longest = taken
    return longest


def _step(places: dict[Place, dict[Tags, None]], word: str) -> dict[Place, dict[Tags, None]]:
    after: dict[Place, dict[Tags, None]] = {}
    for (node, stack), ways in places.items():
        waiting: list[tuple[Node, Stack, list[Tags]]] = [(node, stack, list(ways))]
        while waiting:
            here, back, tags = waiting.pop()
            for move in here.moves.get(word, ()):
                target = after.setdefault((move.node, _pushed(move.push, back)), {})
                for way in tags:
                    target[way + move.tags] = None
            if back is not None:
                waiting.extend((back[0], back[1], [way + end for way in tags]) for end in here.ends)
    return after


def _finishes(place: Place, ways: dict[Tags, None]) -> Iterator[Tags]:
    node, stack = place
    for end in node.ends:
        ended = {way + end: None for way in ways}
        if stack is None:
            yield from ended
        else:
            yield from _finishes(stack, ended)


def _pushed(push: tuple[Node, ...], stack: Stack) -> Stack:
    for node in reversed(push):
        stack = (node, stack)
    return stack


def _next(places: dict[Place, dict[Tags, None]]) -> Iterator[str]:
    for place in places:
        for node in _open(place):
            yield from node.moves


def _open(place: Place) -> Iterator[Node]:
    """The node, and those the phrase can return to without another word."""
    node, stack = place
    yield node
    while stack is not None and node.ends:
        node, stack = stack
        yield node


State = tuple[Place, ...]


@dataclass(slots=True)
class Acceptor:
    """Steps through the phrases below one node, for a decoder that builds them word by word.

    A state can be kept, compared and stepped from again. Steps once taken are remembered.
    """

    root: Node
    _known: dict[tuple[State, str], State] = field(default_factory=dict)

    def start(self) -> State:
        """Before the first word."""
        return ((self.root, None),)

    def advance(self, state: State, word: str) -> State:
        """After one more word; the empty state when it cannot come here."""
        key = (state, word)
        known = self._known.get(key)
        if known is None:
            known = tuple(_step({place: {(): None} for place in state}, word))
            self._known[key] = known
        return known

    def next_words(self, state: State) -> frozenset[str]:
        """The words that can come next."""
        return frozenset(word for p in state for node in _open(p) for word in node.moves)

    def accepts(self, state: State) -> bool:
        """True when the words so far are a whole phrase."""
        return any(True for place in state for _ in _finishes(place, {(): None}))

"""Walks a network word by word: with all tags kept, for meanings; without, for decoders."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from voiceassist.language.network import Node, Tags

Stack = tuple[Node, "Stack"] | None
Place = tuple[Node, Stack]
#: More ways than any sensible phrase has; beyond it a phrase is refused, not cut short.
MOST_WAYS = 2000
#: Sets of places kept by one walker before it forgets them all and starts again.
MOST_REMEMBERED = 1_000
#: The same of the states of an acceptor: whoever goes through all of them comes to each once.
MOST_STEPS = 100


@dataclass(frozen=True, slots=True)
class PhraseWalk:
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


#: From which place, passing which tags, to which place; places by their number.
_Link = tuple[int, Tags, int]
#: Different ways to one place, in the order of the grammar.
_Ways = list[dict[Tags, None]]


@dataclass(eq=False, slots=True)
class _Front:
    """All places that the same words lead to, with the steps already known from there."""

    places: tuple[Place, ...]
    steps: "dict[str, tuple[_Front, tuple[_Link, ...]]]" = field(default_factory=dict)
    ends: tuple[tuple[int, Tags], ...] | None = None


@dataclass(slots=True)
class Walker:
    """Takes phrases from one node in every way at once. Steps once found are remembered."""

    root: Node
    _fronts: dict[tuple[Place, ...], _Front] = field(default_factory=dict)

    def walk(self, words: Sequence[str]) -> PhraseWalk:
        """Take all of ``words``."""
        front = self._front(((self.root, None),))
        ways: _Ways = [{(): None}]
        for taken, word in enumerate(words):
            after, links = self._step(front, word)
            if not after.places:
                return PhraseWalk(taken, expected=_next_words(front.places))
            front, ways = after, _carried(ways, links, len(after.places))
            if sum(map(len, ways)) > MOST_WAYS:
                return PhraseWalk(taken, too_many=True)
        tags = tuple(dict.fromkeys(way + end for place, end in _ends(front) for way in ways[place]))
        return PhraseWalk(len(words), tags, frozenset() if tags else _next_words(front.places))

    def longest_prefix(self, words: Sequence[str]) -> int:
        """How many of the first words make a whole phrase; the most if several do."""
        front = self._front(((self.root, None),))
        longest = 0
        for taken, word in enumerate(words, 1):
            front, _ = self._step(front, word)
            if not front.places:
                break
            longest = taken if _ends(front) else longest
        return longest

    def _step(self, front: _Front, word: str) -> tuple[_Front, tuple[_Link, ...]]:
        known = front.steps.get(word)
        if known is None:
            numbers: dict[Place, int] = {}
            links = tuple(
                (source, tags, numbers.setdefault(place, len(numbers)))
                for source, start in enumerate(front.places)
                for tags, place in _moves(start, word)
            )
            known = self._front(tuple(numbers)), links
            front.steps[word] = known
        return known

    def _front(self, places: tuple[Place, ...]) -> _Front:
        if len(self._fronts) > MOST_REMEMBERED:
            self._fronts.clear()
        return self._fronts.setdefault(places, _Front(places))


def _carried(ways: _Ways, links: tuple[_Link, ...], count: int) -> _Ways:
    carried: _Ways = [{} for _ in range(count)]
    for source, tags, target in links:
        here = carried[target]
        if tags:
            for way in ways[source]:
                here[way + tags] = None
        else:
            here.update(ways[source])
    return carried


def _moves(place: Place, word: str) -> Iterator[tuple[Tags, Place]]:
    """Every way to take ``word``, in rules that may end first."""
    waiting: list[tuple[Place, Tags]] = [(place, ())]
    while waiting:
        (node, stack), tags = waiting.pop()
        for move in node.moves.get(word, ()):
            yield tags + move.tags, (move.node, _pushed(move.push, stack))
        if stack is not None:
            waiting.extend((stack, tags + end) for end in node.ends)


def _targets(place: Place) -> Iterator[tuple[str, Place]]:
    """Each word that can come next, with a place that it leads to, in rules that may end first."""
    _, stack = place
    for node in _open(place):
        for word, targets in node.targets.items():
            for push, target in targets:
                yield word, _returned(target, _pushed(push, stack))
        stack = stack[1] if stack is not None else None


def _returned(node: Node, stack: Stack) -> Place:
    """The place itself, or the one returned to where the rule is at its end."""
    while stack is not None and node.last and not node.arcs:
        node, stack = stack
        node = node.onward
    return node, stack


def _ends(front: _Front) -> tuple[tuple[int, Tags], ...]:
    """Each way to end the phrase here: from which place, passing which tags."""
    if front.ends is None:
        front.ends = tuple(
            (number, tags) for number, place in enumerate(front.places) for tags in _endings(place)
        )
    return front.ends


def _endings(place: Place) -> Iterator[Tags]:
    node, stack = place
    for end in node.ends:
        if stack is None:
            yield end
        else:
            yield from (end + rest for rest in _endings(stack))


def _pushed(push: tuple[Node, ...], stack: Stack) -> Stack:
    for node in reversed(push):
        stack = (node, stack)
    return stack


def _next_words(places: tuple[Place, ...]) -> frozenset[str]:
    return frozenset(word for place in places for node in _open(place) for word in node.moves)


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

    A state can be kept, compared and stepped from again. Steps lately looked at are remembered.
    """

    root: Node
    _known: dict[State, dict[str, State]] = field(default_factory=dict)

    def start(self) -> State:
        """Before the first word."""
        return ((self.root, None),)

    def advance(self, state: State, word: str) -> State:
        """After one more word; the empty state when it cannot come here."""
        return self._ways(state).get(word, ())

    def next_words(self, state: State) -> frozenset[str]:
        """The words that can come next."""
        return frozenset(self._ways(state))

    def accepts(self, state: State) -> bool:
        """True when the words so far are a whole phrase."""
        return any(True for place in state for _ in _endings(place))

    def _ways(self, state: State) -> dict[str, State]:
        """Each word that can come next, with the state behind it."""
        known = self._known.get(state)
        if known is None:
            if len(self._known) >= MOST_STEPS:
                self._known.clear()
            found: dict[str, dict[Place, None]] = {}
            for place in state:
                for word, after in _targets(place):
                    found.setdefault(word, {})[after] = None
            known = self._known[state] = {word: tuple(places) for word, places in found.items()}
        return known

"""Rules as networks that call each other, and walking them word by word.

Each rule becomes one small network, built once and shared by every rule that uses it. A place
in a phrase is a node and the nodes to return to: the language has no recursion, so these
stacks stay short. What can follow a node, through any number of calls, is worked out when it is
first needed and then kept; walking is a look-up for each word.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import chain
from typing import NamedTuple

from voiceassist.language import jsgf
from voiceassist.language.linking import NULL, VOID

#: Tags in the order passed.
Tags = tuple[str, ...]
#: Nodes to return to, innermost first.
Stack = "tuple[Node, Stack] | None"


class Node:
    """A place in a rule.

    Parts:
        arcs: ways on, in the order written: a word, a tag, or the start of a called rule
            (None for nothing), and the node behind it.
        last: True at the end of the rule.
    """

    __slots__ = ("_ends", "_first_tags", "_moves", "_tagless", "_targets", "arcs", "last")

    def __init__(self) -> None:
        self.arcs: list[tuple[str, str | Node | None, Node]] = []
        self.last = False
        self._moves: dict[str, list[Transition]] | None = None
        self._ends: tuple[Tags, ...] = ()
        self._targets: dict[str, tuple[Target, ...]] | None = None
        self._first_tags: frozenset[str] | None = None
        self._tagless = False

    @property
    def moves(self) -> "dict[str, list[Transition]]":
        """Each word that can come next, with every way it can be taken."""
        if self._moves is None:
            self._follow()
            assert self._moves is not None
        return self._moves

    @property
    def ends(self) -> tuple[Tags, ...]:
        """The tags passed on each way to the end of the rule without a word."""
        if self._moves is None:
            self._follow()
        return self._ends

    @property
    def targets(self) -> "dict[str, tuple[Target, ...]]":
        """Each word that can come next, with every place it can lead to, whatever the tags."""
        if self._targets is None:
            self._targets = {
                word: tuple(dict.fromkeys((way.push, way.node.onward) for way in ways))
                for word, ways in self.moves.items()
            }
        return self._targets

    @property
    def onward(self) -> "Node":
        """The node that stands for this one, where there is but one way on, and no word on it."""
        node = self
        while not node.last and len(node.arcs) == 1 and node.arcs[0][:2] == ("call", None):
            node = node.arcs[0][2]
        return node

    def can_pass(self, tag: str | None) -> bool:
        """Whether ``tag`` can be the next one passed from here, or the rule end without any."""
        if self._first_tags is None:
            self._first_tags = self._find_first_tags()
        return self._tagless or tag in self._first_tags

    def _find_first_tags(self) -> frozenset[str]:
        found: set[str] = set()
        seen: set[Node] = set()
        waiting: list[Node] = [self]
        while waiting:
            node = waiting.pop()
            if node in seen:
                continue
            seen.add(node)
            self._tagless = self._tagless or node.last
            for kind, what, after in node.arcs:
                if kind == "tag":
                    assert isinstance(what, str)
                    found.add(what)
                elif isinstance(what, Node):
                    passes = what.can_pass(None)
                    found |= what._first_tags or frozenset()
                    waiting.extend([after] * passes)
                else:
                    waiting.append(after)
        return frozenset(found)

    def _follow(self) -> None:
        moves: dict[str, list[Transition]] = {}
        ends: dict[Tags, None] = {}
        seen: set[tuple[Node, Tags]] = set()

        def visit(node: Node, tags: Tags) -> None:
            if (node, tags) in seen:
                return
            seen.add((node, tags))
            if node.last:
                ends[tags] = None
            for kind, what, after in node.arcs:
                if kind == "word":
                    assert isinstance(what, str)
                    moves.setdefault(what, []).append(Transition(tags, (), after))
                elif kind == "tag":
                    assert isinstance(what, str)
                    visit(after, (*tags, what))
                elif what is None:
                    visit(after, tags)
                else:
                    assert isinstance(what, Node)
                    call(what, after, tags)

        def call(start: Node, after: Node, tags: Tags) -> None:
            back = () if after.last and not after.arcs else (after,)
            for word, ways in start.moves.items():
                longer = [Transition(tags + t, push + back, node) for t, push, node in ways]
                moves.setdefault(word, []).extend(longer if tags or back else ways)
            for end in start.ends:
                visit(after, tags + end)

        visit(self, ())
        self._ends = tuple(ends)
        self._moves = moves  # last: whoever looks from another thread finds both or neither


#: Nodes to return to, innermost first, and where a word leads.
Target = tuple[tuple[Node, ...], Node]


class Transition(NamedTuple):
    """One way to take a word. A tuple, since there are many and it is quickest made.

    Parts:
        tags: passed before the word.
        push: nodes to return to, innermost first.
        node: where the word leads.
    """

    tags: Tags
    push: tuple[Node, ...]
    node: Node


@dataclass(frozen=True, slots=True)
class Networks:
    """The start node of each rule, by full name."""

    starts: Mapping[str, Node]

    @classmethod
    def build(
        cls, rules: Mapping[str, jsgf.Expression], beside: "Networks | None" = None
    ) -> "Networks":
        """Networks of ``rules`` (callees first), which may call those ``beside``."""
        starts: dict[str, Node] = dict(beside.starts) if beside else {}
        for name, body in rules.items():
            start = Node()
            _Weaver(starts).weave(body, start).last = True
            starts[name] = start
        return cls(starts)

    def prepare(self, names: Iterable[str]) -> None:
        """Work out all that can follow inside these rules now, not at their first phrase."""
        seen: set[Node] = set()
        waiting = {self.starts[name] for name in names}
        while waiting:
            node = waiting.pop()
            seen.add(node)
            ways = chain.from_iterable(node.moves.values())
            waiting.update({each for way in ways for each in (way.node, *way.push)} - seen)


class _Weaver:
    """Lays arcs for one expression after another.

    Laying one adds no arc that leads back to where it begins, so that others may begin there too.
    """

    def __init__(self, starts: Mapping[str, Node]) -> None:
        self.starts = starts

    def weave(self, body: jsgf.Expression, start: Node) -> Node:  # noqa: PLR0911 - one a class
        """Lay ``body`` from ``start``; return where it ends."""
        match body:
            case jsgf.Word(text):
                return _arc(start, "word", text)
            case jsgf.Tag(text):
                return _arc(start, "tag", text)
            case jsgf.Ref(name):
                return self._ref(name, start)
            case jsgf.Sequence(parts):
                for part in parts:
                    start = self.weave(part, start)
                return start
            case jsgf.Alternatives(options, _):
                end = Node()
                for option in options:
                    _pass(self.weave(option, start), end)
                return end
            case jsgf.Optional(inner):
                end = Node()
                _pass(start, end)
                _pass(self.weave(inner, start), end)
                return end
            case jsgf.Repeat(inner, at_least):
                return self._repeat(inner, at_least, start)

    def _ref(self, name: str, start: Node) -> Node:
        if name == NULL:
            return start
        if name == VOID:
            return Node()
        end = Node()
        start.arcs.append(("call", self.starts[name], end))
        return end

    def _repeat(self, inner: jsgf.Expression, at_least: int, start: Node) -> Node:
        loop, end = Node(), Node()
        _pass(self.weave(inner, start) if at_least else start, loop)
        _pass(loop, end)
        _pass(self.weave(inner, loop), loop)
        return end


def _arc(start: Node, kind: str, what: str | None) -> Node:
    end = Node()
    start.arcs.append((kind, what, end))
    return end


def _pass(start: Node, end: Node) -> None:
    """Let nothing be said from ``start`` to ``end``."""
    start.arcs.append(("call", None, end))

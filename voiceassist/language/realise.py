"""Finds the words that pass given tags: a network walked by its tags instead of its words."""

from voiceassist.language.network import Node
from voiceassist.language.walking import Stack

#: Words found so far, the last one first.
_Words = tuple[str, "_Words"] | None
_Place = tuple[Node, Stack, int]


def realise(start: Node, tags: tuple[str, ...]) -> str | None:
    """The first phrase of ``start`` whose tags are exactly ``tags``; None when there is none.

    First means: the earliest alternative as written, and optional words left out.
    """
    # Each place is searched once, so a loop without tags cannot go round for ever.
    seen: set[_Place] = set()
    waiting: list[tuple[_Place, _Words]] = [((start, None, 0), None)]
    while waiting:
        place, words = waiting.pop()
        if place in seen:
            continue
        seen.add(place)
        node, stack, taken = place
        if node.last and stack is None and taken == len(tags):
            return _joined(words)
        for way in reversed(_ways_on(place, tags, words)):
            (target, _, passed), _ = way
            if target.can_pass(tags[passed] if passed < len(tags) else None):
                waiting.append(way)
    return None


def _ways_on(place: _Place, tags: tuple[str, ...], words: _Words) -> list[tuple[_Place, _Words]]:
    """Where to go from a place, in the order written; out of the rule first."""
    node, stack, taken = place
    ways: list[tuple[_Place, _Words]] = []
    if node.last and stack is not None:
        ways.append(((stack[0], stack[1], taken), words))
    for kind, what, after in node.arcs:
        if isinstance(what, Node):
            ways.append(((what, (after, stack), taken), words))
        elif what is None:
            ways.append(((after, stack, taken), words))
        elif kind == "word":
            ways.append(((after, stack, taken), (what, words)))
        elif taken < len(tags) and tags[taken] == what:
            ways.append(((after, stack, taken + 1), words))
    return ways


def _joined(words: _Words) -> str:
    found: list[str] = []
    while words is not None:
        word, words = words
        found.append(word)
    return " ".join(reversed(found))

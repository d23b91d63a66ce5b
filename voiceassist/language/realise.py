"""Finds the words that pass given tags: a network walked by its tags instead of its words."""

from voiceassist.language.network import Node
from voiceassist.language.walking import Stack


def realise(start: Node, tags: tuple[str, ...]) -> str | None:
    """The first phrase of ``start`` whose tags are exactly ``tags``; None when there is none.

    First means: the earliest alternative as written, and optional words left out.
    """
    dead: set[tuple[Node, Stack, int]] = set()

    def search(node: Node, stack: Stack, taken: int) -> tuple[str, ...] | None:
        place = (node, stack, taken)
        if place in dead:
            return None
        # Marked before it is searched, so that a loop without tags cannot go round for ever.
        dead.add(place)
        if node.last:
            if stack is None:
                if taken == len(tags):
                    return ()
            elif (found := search(stack[0], stack[1], taken)) is not None:
                return found
        for kind, what, after in node.arcs:
            found = follow(kind, what, after, stack, taken)
            if found is not None:
                return found
        return None

    def follow(
        kind: str, what: str | Node | None, after: Node, stack: Stack, taken: int
    ) -> tuple[str, ...] | None:
        if kind == "tag":
            if taken < len(tags) and tags[taken] == what:
                return search(after, stack, taken + 1)
            return None
        if isinstance(what, Node):
            return search(what, (after, stack), taken)
        rest = search(after, stack, taken)
        return rest if rest is None or what is None else (what, *rest)

    words = search(start, None, 0)
    return None if words is None else " ".join(words)

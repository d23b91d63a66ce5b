"""Where the parts of a circuit go in a drawing: from battery plus on the left to earth.

Each node is an upright bar; each part lies across in a row of its own, between the bars it is
joined to, so that no two parts and no letters ever share a place. Earth is no bar: what is joined
to it ends in its own earth sign. A part behind a plug is joined through a pin.
"""

from collections import deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from voiceassist.circuit.model import Circuit
from voiceassist.circuit.parts import Part


@dataclass(frozen=True, slots=True)
class Joint:
    """A terminal of a part and what it is joined to.

    Parts:
        terminal: of the part.
        node: the bar; empty for earth.
        plug: it is joined through a pin of this plug; empty for none.
    """

    terminal: str
    node: str
    plug: str = ""


@dataclass(frozen=True, slots=True)
class Placed:
    """A part in its place.

    Parts:
        part: placed.
        gap: it lies right of the nodes of this level.
        row: its first row.
        rows: how many it takes.
        left, right: its terminals on that side with their rows, counted from its first.
    """

    part: Part
    gap: int
    row: int
    rows: int
    left: tuple[tuple[Joint, int], ...]
    right: tuple[tuple[Joint, int], ...]


@dataclass(frozen=True, slots=True)
class Schematic:
    """A circuit laid out.

    Parts:
        levels: the nodes of each level, from left to right; earth is not among them.
        placed: every part, from the top down.
        rows: how many rows there are.
        spans: node to its first and last row.
    """

    levels: tuple[tuple[str, ...], ...]
    placed: tuple[Placed, ...]
    rows: int
    spans: Mapping[str, tuple[int, int]]


def laid_out(circuit: Circuit) -> Schematic:
    """The places of everything in ``circuit``."""
    joints = {name: tuple(_joints(circuit, part)) for name, part in circuit.parts.items()}
    order = _order(circuit, joints)
    level = _levels(joints, order)
    levels = [
        [n for n in order if level[n] == i] for i in range(max(level.values(), default=-1) + 1)
    ]
    placed = []
    row = 0
    for part in _sorted(circuit.parts.values(), joints, level):
        one = _placed(part, joints[part.name], level, row)
        placed.append(one)
        row += one.rows
    spans = _spans(placed)
    kept = tuple(tuple(n for n in nodes if n in spans) for nodes in levels)
    return Schematic(kept, tuple(placed), row, spans)


def _joints(circuit: Circuit, part: Part) -> Iterator[Joint]:
    behind = {p.behind(pin): (pin, p.name) for p in circuit.plugs.values() for pin in p.pins}
    for terminal, node in part.terminals.items():
        pin, plug = behind.get(node, (node, ""))
        yield Joint(terminal, "" if pin == circuit.earth else pin, plug)


def _order(circuit: Circuit, joints: Mapping[str, Sequence[Joint]]) -> list[str]:
    """Every node but earth, the nearest to the supply first; islands last."""
    near: dict[str, dict[str, None]] = {}
    for ends in joints.values():
        for one in ends:
            if one.node:
                near.setdefault(one.node, {}).update(
                    dict.fromkeys(o.node for o in ends if o.node and o.node != one.node)
                )
    seen: dict[str, None] = {}
    starts = [circuit.supply, *near] if circuit.supply in near else list(near)
    for start in starts:
        waiting = deque([start])
        while waiting:
            node = waiting.popleft()
            if node not in seen:
                seen[node] = None
                waiting.extend(near[node])
    return list(seen)


def _levels(joints: Mapping[str, Sequence[Joint]], order: Sequence[str]) -> dict[str, int]:
    """A level for each node, such that no part has two nodes of one level where it can be helped.

    Each pair of ends is taken to point from the earlier node to the later one, so there are no
    circles, and the longest way tells the level.
    """
    place = {node: i for i, node in enumerate(order)}
    level = dict.fromkeys(order, 0)
    pairs = {
        (place[a.node], place[b.node])
        for ends in joints.values()
        if len(ends) == 2
        for a in ends
        for b in ends
        if a.node and b.node and place[a.node] < place[b.node]
    }
    wide = {
        (place[a.node], place[b.node])
        for ends in joints.values()
        if len(ends) > 2
        for a, b in _across(ends)
        if a.node and b.node and place[a.node] < place[b.node]
    }
    for a, b in sorted(pairs | wide):
        level[order[b]] = max(level[order[b]], level[order[a]] + 1)
    return level


#: Terminals that a part with more than two has on its left when it can, and on its right.
_IN = frozenset({"feed", "command", "pin-86", "pin-30", "from", "wiper"})


def _across(ends: Sequence[Joint]) -> Iterator[tuple[Joint, Joint]]:
    inward = [one for one in ends if one.terminal in _IN]
    outward = [one for one in ends if one.terminal not in _IN]
    return ((a, b) for a in inward for b in outward)


def _sorted(
    parts: Iterable[Part], joints: Mapping[str, Sequence[Joint]], level: Mapping[str, int]
) -> list[Part]:
    """By the place that the file tells when it tells one for each, else by the way from plus."""
    listed = list(parts)
    if all(part.at is not None for part in listed):
        return sorted(listed, key=lambda part: (part.at or (0, 0))[::-1])

    def way(part: Part) -> tuple[int, int]:
        known = [level[one.node] for one in joints[part.name] if one.node]
        return (min(known, default=0), max(known, default=0))

    return sorted(listed, key=way)


def _placed(part: Part, ends: Sequence[Joint], level: Mapping[str, int], row: int) -> Placed:
    gap = _gap(ends, level)
    left = [one for one in ends if one.node and level[one.node] <= gap]
    right = [one for one in ends if one not in left]
    if not left:  # all lead on to the right: a part before the first bar stays at its left
        left, right = right[:1], right[1:]
    lines = {one.terminal: i for side in (left, right) for i, one in enumerate(side)}
    rows = max(lines.values()) + 1
    return Placed(
        part,
        gap,
        row,
        rows,
        tuple((one, lines[one.terminal]) for one in left),
        tuple((one, lines[one.terminal]) for one in right),
    )


def _gap(ends: Sequence[Joint], level: Mapping[str, int]) -> int:
    """The level behind which a part lies: with two ends the nearer, else where most ends agree."""
    known = sorted(level[one.node] for one in ends if one.node)
    if not known:
        return 0
    if len(ends) == 2:
        return known[0]

    def wrong(gap: int) -> int:
        inward = (one.terminal in _IN for one in ends if one.node and level[one.node] > gap)
        outward = (one.terminal not in _IN for one in ends if one.node and level[one.node] <= gap)
        return sum(inward) + sum(outward)

    return min(range(known[0], known[-1] + 1), key=lambda gap: (wrong(gap), gap))


def _spans(placed: Iterable[Placed]) -> dict[str, tuple[int, int]]:
    spans: dict[str, tuple[int, int]] = {}
    for one in placed:
        for joint, line in (*one.left, *one.right):
            if joint.node:
                at = one.row + line
                first, last = spans.get(joint.node, (at, at))
                spans[joint.node] = (min(first, at), max(last, at))
    return spans

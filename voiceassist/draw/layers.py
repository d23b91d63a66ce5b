"""A chart without circles laid out in layers, each node below all that lead to it.

The usual way for such charts (Sugiyama, Tagawa and Toda, 1981; from memory): layers by the
longest way from the top, long edges cut by stand-ins, the order in a layer by the middle of
the neighbours, swept down and up.
"""

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

_SWEEPS = 12
#: Room for an edge that passes through a layer.
STANDIN_WIDTH = 18.0


@dataclass(frozen=True, slots=True)
class StandIn:
    """Where an edge passes through a layer."""

    source: str
    target: str
    layer: int


Node = str | StandIn


@dataclass(slots=True)
class Layers:
    """Nodes in layers.

    Parts:
        rows: the nodes of each layer, from left to right.
        chains: each edge as the nodes that it goes through, its ends too.
        centre: middle of each node.
    """

    rows: list[list[Node]]
    chains: dict[tuple[str, str], list[Node]]
    centre: dict[Node, float] = field(default_factory=dict)


def layered(
    nodes: Sequence[str], edges: Iterable[tuple[str, str]], width: Mapping[str, float], gap: float
) -> Layers:
    """Lay out ``nodes``.

    Args:
        nodes: their names, in the order that is kept where nothing speaks against it.
        edges: from, to; without circles.
        width: of each node.
        gap: between two nodes of a layer.
    """
    wanted = list(dict.fromkeys(edges))
    rank = _ranks(nodes, wanted)
    rows: list[list[Node]] = [[] for _ in range(max(rank.values(), default=0) + 1)]
    for node in nodes:
        rows[rank[node]].append(node)
    chains: dict[tuple[str, str], list[Node]] = {}
    for source, target in wanted:
        passed = [StandIn(source, target, i) for i in range(rank[source] + 1, rank[target])]
        chains[source, target] = [source, *passed, target]
        for one in passed:
            rows[one.layer].append(one)
    found = Layers(rows, chains)
    above, below = _neighbours(chains.values())
    for sweep in range(_SWEEPS):
        down = sweep % 2 == 0
        order = range(1, len(rows)) if down else range(len(rows) - 2, -1, -1)
        for i in order:
            _sort(rows[i], rows[i - 1] if down else rows[i + 1], above if down else below)
    _place(found, width, gap, above, below)
    return found


def _ranks(nodes: Sequence[str], edges: Sequence[tuple[str, str]]) -> dict[str, int]:
    rank = dict.fromkeys(nodes, 0)
    for _ in nodes:
        changed = False
        for source, target in edges:
            if rank[target] <= rank[source]:
                rank[target] = rank[source] + 1
                changed = True
        if not changed:
            break
    return rank


_Near = dict[Node, list[Node]]


def _neighbours(chains: Iterable[Sequence[Node]]) -> tuple[_Near, _Near]:
    above: _Near = {}
    below: _Near = {}
    for chain in chains:
        for upper, lower in pairwise(chain):
            above.setdefault(lower, []).append(upper)
            below.setdefault(upper, []).append(lower)
    return above, below


def _sort(row: list[Node], fixed: Sequence[Node], near: Mapping[Node, Sequence[Node]]) -> None:
    place: dict[Hashable, int] = {node: i for i, node in enumerate(fixed)}
    own = {node: i for i, node in enumerate(row)}

    def middle(node: Node) -> tuple[float, int]:
        places = [place[other] for other in near.get(node, ()) if other in place]
        return (sum(places) / len(places) if places else own[node]), own[node]

    row.sort(key=middle)


def _place(
    found: Layers, width: Mapping[str, float], gap: float, above: _Near, below: _Near
) -> None:
    size = {n: width[n] if isinstance(n, str) else STANDIN_WIDTH for row in found.rows for n in row}
    for row in found.rows:
        x = 0.0
        for node in row:
            found.centre[node] = x + size[node] / 2
            x += size[node] + gap
    for sweep in range(_SWEEPS):
        near = above if sweep % 2 == 0 else below
        for row in found.rows if sweep % 2 == 0 else reversed(found.rows):
            _pull(row, near, size, gap, found.centre)
    left = min((c - size[n] / 2 for n, c in found.centre.items()), default=0.0)
    for node in found.centre:
        found.centre[node] -= left


def _pull(
    row: Sequence[Node],
    near: Mapping[Node, Sequence[Node]],
    size: Mapping[Node, float],
    gap: float,
    centre: dict[Node, float],
) -> None:
    """Move the nodes of ``row`` towards the middle of their neighbours, none over another."""
    wish = {}
    for node in row:
        others = [centre[other] for other in near.get(node, ())]
        wish[node] = sum(others) / len(others) if others else centre[node]
    left = -float("inf")
    forward = {}
    for node in row:
        forward[node] = max(wish[node], left + size[node] / 2)
        left = forward[node] + size[node] / 2 + gap
    right = float("inf")
    for node in reversed(row):
        backward = min(wish[node], right - size[node] / 2)
        right = backward - size[node] / 2 - gap
        wish[node] = backward
    middle = {node: (forward[node] + wish[node]) / 2 for node in row}
    left = -float("inf")
    for node in row:  # the mean of two orders without overlap has none; rounding may
        centre[node] = max(middle[node], left + size[node] / 2)
        left = centre[node] + size[node] / 2 + gap

"""Bars that join paths: how far each runs, what it crosses, and in which track it runs."""

from collections.abc import Mapping, Sequence
from itertools import pairwise

from voiceassist.draw.paths import Path


def bars_of(paths: Sequence[Path]) -> dict[str, tuple[int, int]]:
    """Each node but earth, with the first and the last path that it reaches."""
    found: dict[str, tuple[int, int]] = {}
    for x, path in enumerate(paths):
        for run in path:
            for joint in (run.joint, run.other):
                if joint is not None and joint.node:
                    first, last = found.get(joint.node, (x, x))
                    found[joint.node] = (min(first, x), max(last, x))
    return found


def crossings(paths: Sequence[Path], level: Mapping[str, int]) -> int:
    """How often an upright line crosses a bar."""
    spans = {node: span for node, span in bars_of(paths).items() if span[0] < span[1]}
    through = sum(
        1
        for node, (first, last) in spans.items()
        for path in paths[first + 1 : last]
        if _passes(path, level[node], spans)
    )
    by_level: dict[int, list[str]] = {}
    for node in spans:
        by_level.setdefault(level[node], []).append(node)
    beside = sum(
        min(crossed(paths, spans, a, b), crossed(paths, spans, b, a))
        for nodes in by_level.values()
        for i, a in enumerate(nodes)
        for b in nodes[i + 1 :]
    )
    return through + beside


def _passes(path: Path, level: int, spans: Mapping[str, tuple[int, int]]) -> bool:
    """True when the path runs straight on at ``level``, past a bar that it is not joined to."""
    if any(run.top < level < run.bottom for run in path):
        return True
    return any(
        upper.bottom == level == lower.top
        and upper.other is not None
        and lower.joint is not None
        and upper.other.node == lower.joint.node
        and upper.other.node not in spans
        for upper, lower in pairwise(path)
    )


def crossed(
    paths: Sequence[Path], spans: Mapping[str, tuple[int, int]], upper: str, lower: str
) -> int:
    """Crossings between two bars of one level when ``upper`` runs above ``lower``."""

    def ends(node: str, *, below: bool, within: tuple[int, int]) -> int:
        return sum(
            1
            for path in paths[within[0] : within[1] + 1]
            for run in path
            for joint in [run.joint if below else run.other]
            if joint is not None and joint.node == node
        )

    if spans[upper][1] < spans[lower][0] or spans[lower][1] < spans[upper][0]:
        return 0
    return ends(upper, below=True, within=spans[lower]) + ends(
        lower, below=False, within=spans[upper]
    )


def in_order(
    paths: Sequence[Path], spans: Mapping[str, tuple[int, int]], nodes: Sequence[str]
) -> list[str]:
    """Bars of one level from the top down, such that few cross."""
    order: list[str] = []
    for node in nodes:
        at = min(
            range(len(order) + 1),
            key=lambda i: sum(
                crossed(paths, spans, *((other, node) if j < i else (node, other)))
                for j, other in enumerate(order)
            ),
        )
        order.insert(at, node)
    return order


def tracks(spans: Mapping[str, tuple[int, int]], order: Sequence[str]) -> dict[str, int]:
    """A track for each bar of one level, so that none that overlap share one."""
    track: dict[str, int] = {}
    for node in order:
        above = [
            track[o]
            for o in track
            if not (spans[o][1] < spans[node][0] or spans[node][1] < spans[o][0])
        ]
        track[node] = max(above, default=-1) + 1
    return track

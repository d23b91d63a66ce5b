"""Which things share a current path: those in a row between two branchings.

A thing with more than two terminals takes as many paths side by side as it has terminals above or
below, whichever are more.
"""

from collections.abc import Mapping, Sequence

from voiceassist.draw.elements import Element, Joint, sides
from voiceassist.draw.paths import Group, Path, Run


def in_series(
    elements: Sequence[Element], level: Mapping[str, int], depth: int, supply: str
) -> list[Group]:
    """Everything in its paths, those of one thing side by side."""
    groups = [_own(i, one, level, depth) for i, one in enumerate(elements)]
    at = list(range(len(elements)))
    for node in sorted(level, key=lambda node: level[node]):
        if node != supply:
            above, below = _meeting(elements, level, node)
            for upper in above:
                joined = (low for low in below if _join(groups, at, at[upper], at[low], node))
                below = [low for low in below if low != next(joined, None)]
    return [group for i, group in enumerate(groups) if at[i] == i and group]


def _meeting(
    elements: Sequence[Element], level: Mapping[str, int], node: str
) -> tuple[list[int], list[int]]:
    """The things that end in ``node`` from above, and those that begin there."""
    above, below = [], []
    for i, one in enumerate(elements):
        _, tops, feet = sides(one, level)
        above += [i for joint in feet if joint.node == node]
        below += [i for joint in tops if joint.node == node]
    return above, below


def _own(index: int, one: Element, level: Mapping[str, int], depth: int) -> Group:
    """The paths of one thing alone."""
    row, above, below = sides(one, level)

    def at(joint: Joint, usual: int) -> int:
        return level[joint.node] if joint.node else (depth if usual > row else row)

    if len(above) == len(below) == 1:
        return ((Run(index, above[0], below[0], at(above[0], row), at(below[0], row + 1)),),)
    paths = []
    for i in range(max(len(above), len(below))):
        top = above[i] if i < len(above) else None
        foot = below[i] if i < len(below) else None
        top_at = at(top, row) if top else row
        foot_at = at(foot, row + 1) if foot else row + 1
        paths.append((Run(index, top, foot, top_at, foot_at),))
    return tuple(paths)


def _join(groups: list[Group], at: list[int], upper: int, lower: int, node: str) -> bool:
    """Lead a path that ends in ``node`` on into one that begins there; False where none can be."""
    if upper == lower or (len(groups[upper]) > 1 and len(groups[lower]) > 1):
        return False
    wide, other = (upper, lower) if len(groups[upper]) > 1 else (lower, upper)
    (single,) = groups[other]
    joined = _extended(groups[wide], single, node)
    if joined == groups[wide]:
        return False
    groups[wide] = joined
    groups[other] = ()
    for i, place in enumerate(at):
        at[i] = wide if place == other else place
    return True


def _extended(group: Group, single: Path, node: str) -> Group:
    """``group`` with ``single`` before or behind the first of its paths that it fits."""
    for i, path in enumerate(group):
        longer = _longer(path, single, node)
        if longer != path:
            return (*group[:i], longer, *group[i + 1 :])
    return group


def _longer(path: Path, single: Path, node: str) -> Path:
    if path[-1].other is not None and path[-1].other.node == node and _begins(single, node):
        return (*path, *single)
    if single[-1].other is not None and single[-1].other.node == node and _begins(path, node):
        return (*single, *path)
    return path


def _begins(path: Path, node: str) -> bool:
    return path[0].joint is not None and path[0].joint.node == node

"""Current paths side by side: which things share a path, and in which order the paths stand.

Things in a row between two branchings share a path. A thing with more than two terminals takes as
many paths side by side as it has terminals above or below, whichever are more. The order of the
paths is the one with the fewest crossings that small moves find.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise, permutations

from voiceassist.draw.elements import Element, Joint, sides

#: A crossing counts as much as so many paths that a bar runs past.
_CROSSING = 12
#: More rounds of moves than any circuit of a procedure needs.
_ROUNDS = 30
#: A thing with so many terminals side by side has them in every order tried.
_MOST_TURNED = 4


@dataclass(frozen=True, slots=True)
class Run:
    """An upright line in a path, with a thing in it or a terminal of one.

    Parts:
        element: index of the thing.
        joint: at which it ends above; None where a thing has nothing there.
        other: at which it ends below.
        top, bottom: levels of its ends.
    """

    element: int
    joint: Joint | None
    other: Joint | None
    top: int
    bottom: int


#: The runs of one path, from the top down.
Path = tuple[Run, ...]
#: Paths that stay side by side.
Group = tuple[Path, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """Where everything stands.

    Parts:
        elements: what is drawn.
        level: of each node; earth is on the level ``depth``.
        depth: how many levels there are above earth.
        paths: from left to right.
    """

    elements: tuple[Element, ...]
    level: Mapping[str, int]
    depth: int
    paths: tuple[Path, ...]


def sheet_of(elements: Sequence[Element], level: Mapping[str, int], supply: str) -> Sheet:
    """The best order of the paths that was found."""
    depth = max(level.values(), default=0) + 1
    groups = _joined(elements, level, depth, supply)
    first = [g for g in groups if any(elements[r.element].kind == "battery" for r in g[0])]
    groups = [*first, *(g for g in sorted(groups, key=partial(_hint, elements)) if g not in first)]
    order = _ordered(groups, level)
    return Sheet(tuple(elements), level, depth, tuple(path for group in order for path in group))


def _hint(elements: Sequence[Element], group: Group) -> float:
    """How far right the file wants the things of a group."""
    given = [elements[run.element].part.at for path in group for run in path]
    return min((at[0] for at in given if at is not None), default=0.0)


# --- which things share a path ---


def _joined(
    elements: Sequence[Element], level: Mapping[str, int], depth: int, supply: str
) -> list[Group]:
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


# --- in which order ---


def _ordered(groups: Sequence[Group], level: Mapping[str, int]) -> tuple[Group, ...]:
    best = tuple(groups)
    cost = _cost(best, level)
    for _ in range(_ROUNDS):
        found = min(((_cost(o, level), n, o) for n, o in enumerate(_moves(best))), default=None)
        if found is None or found[0] >= cost:
            break
        cost, _, best = found
    return best


def _moves(order: tuple[Group, ...]) -> Iterator[tuple[Group, ...]]:
    """Every order in which one group stands elsewhere, or turns its own paths."""
    for i, group in enumerate(order):
        rest = (*order[:i], *order[i + 1 :])
        for j in range(len(order)):
            if j != i:
                yield (*rest[:j], group, *rest[j:])
        if 1 < len(group) <= _MOST_TURNED:
            for turned in permutations(group):
                if turned != group:
                    yield (*order[:i], turned, *order[i + 1 :])


def _cost(order: Sequence[Group], level: Mapping[str, int]) -> int:
    """Crossings, and how far bars run."""
    paths = [path for group in order for path in group]
    spans = bars_of(paths)
    ways = sum(last - first for first, last in spans.values())
    return _CROSSING * crossings(paths, level) + ways


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


def numbered(sheet: Sheet) -> dict[int, int]:
    """The number of the path, from 1, in which each thing stands first."""
    found: dict[int, int] = {}
    for number, path in enumerate(sheet.paths, 1):
        for run in path:
            found.setdefault(run.element, number)
    return found


def cuts(sheet: Sheet) -> list[int]:
    """Before which paths a drawing may be cut, its end counted: nowhere through a box."""
    found = []
    for at in range(1, len(sheet.paths) + 1):
        before = {run.element for path in sheet.paths[:at] for run in path}
        behind = {run.element for path in sheet.paths[at:] for run in path}
        if not before & behind:
            found.append(at)
    return found

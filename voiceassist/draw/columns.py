"""Current paths side by side, in the order with the fewest crossings that small moves find."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from itertools import permutations

from voiceassist.draw.crossings import bars_of, crossings
from voiceassist.draw.elements import Element, sides
from voiceassist.draw.paths import Group, Path, PathPlan
from voiceassist.draw.series import in_series

#: A crossing counts as much as so many paths that a bar runs past.
_CROSSING = 12
#: More rounds of moves than any circuit of a procedure needs.
_ROUNDS = 30
#: A thing with so many terminals side by side has them in every order tried.
_MOST_TURNED = 4


def sheet_of(
    elements: Sequence[Element], level: Mapping[str, int], supply: str, *, rough: bool = False
) -> PathPlan:
    """The best order of the paths that was found; a ``rough`` one is not looked for.

    Where paths still cross, a box is tried with its lower terminals in the other order.
    """
    best = _laid_out(elements, level, supply, rough=rough)
    for i, one in enumerate(elements):
        if len(one.joints) > 2 and not rough and crossings(best.paths, level):
            _, above, below = sides(one, level)
            turned = replace(one, joints=(*above, *below[::-1]))
            found = _laid_out((*elements[:i], turned, *elements[i + 1 :]), level, supply)
            best = min(best, found, key=lambda plan: _cost(plan.paths, level))
    return best


def _laid_out(
    elements: Sequence[Element], level: Mapping[str, int], supply: str, *, rough: bool = False
) -> PathPlan:
    depth = max(level.values(), default=0) + 1
    groups = in_series(elements, level, depth, supply)
    first = [g for g in groups if any(elements[r.element].kind == "battery" for r in g[0])]
    groups = [*first, *(g for g in sorted(groups, key=partial(_hint, elements)) if g not in first)]
    order = tuple(groups) if rough else _ordered(groups, level)
    return PathPlan(tuple(elements), level, depth, _side_by_side(order))


def _hint(elements: Sequence[Element], group: Group) -> float:
    """How far right the file wants the things of a group."""
    given = [elements[run.element].part.at for path in group for run in path]
    return min((at[0] for at in given if at is not None), default=0.0)


def _ordered(groups: Sequence[Group], level: Mapping[str, int]) -> tuple[Group, ...]:
    best = tuple(groups)
    cost = _cost(_side_by_side(best), level)
    for _ in range(_ROUNDS):
        moved = enumerate(_moves(best))
        found = min(((_cost(_side_by_side(o), level), n, o) for n, o in moved), default=None)
        if found is None or found[0] >= cost:
            break
        cost, _, best = found
    return best


def _side_by_side(groups: Sequence[Group]) -> tuple[Path, ...]:
    return tuple(path for group in groups for path in group)


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


def _cost(paths: Sequence[Path], level: Mapping[str, int]) -> int:
    """Crossings, and how far bars run."""
    spans = bars_of(paths)
    ways = sum(last - first for first, last in spans.values())
    return _CROSSING * crossings(paths, level) + ways

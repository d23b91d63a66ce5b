"""The current paths of a drawing as values: what stands in each, from left to right."""

from collections.abc import Mapping
from dataclasses import dataclass

from voiceassist.draw.elements import Element, Joint


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
class PathPlan:
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


def numbered(sheet: PathPlan) -> dict[int, int]:
    """The number of the path, from 1, in which each thing stands first."""
    found: dict[int, int] = {}
    for number, path in enumerate(sheet.paths, 1):
        for run in path:
            found.setdefault(run.element, number)
    return found


def cuts(sheet: PathPlan) -> list[int]:
    """Before which paths a drawing may be cut, its end counted: nowhere through a box."""
    found = []
    for at in range(1, len(sheet.paths) + 1):
        before = {run.element for path in sheet.paths[:at] for run in path}
        behind = {run.element for path in sheet.paths[at:] for run in path}
        if not before & behind:
            found.append(at)
    return found

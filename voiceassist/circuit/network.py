"""Elements to equations: modified nodal analysis, laid out once for all circuits of one form.

The unknowns are the voltage of each node over earth and the current of each branch that has a
source or no resistance (Ho, Ruehli, Brennan: The modified nodal approach, 1975; from memory).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from voiceassist.circuit.elements import Curve, Drive, Element, Emf, Ohms
from voiceassist.circuit.loop import LoopError

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]
#: The rows that each of some elements is joined to.
Rows = list[list[int]]

#: The sort of elements whose current is an unknown of its own.
BRANCH = "b"
_OHMS, _CURVE, _DRIVE = "r", "c", "d"
#: What ties a group of nodes that nothing joins to earth; no current flows in it.
_TIE_SIEMENS = 1.0


#: The place of one element in the form of a network: its sort, then the nodes it is joined to.
Joined = tuple[str, str, str, str, str]


class Wired(NamedTuple):
    """An element and the nodes of its terminals; ``c`` and ``d`` are for drivers only.

    Parts:
        sort: of the element; BRANCH when its current is an unknown of its own.
        a, b: for a driver its feed and its earth.
        c, d: command and output of a driver.
        element: what it is.
    """

    sort: str
    a: str
    b: str
    c: str
    d: str
    element: Element


def wired_to(element: Element, a: str, b: str, c: str = "", d: str = "") -> Wired:
    """``element`` with the nodes of its terminals."""
    return Wired(_sort(element), a, b, c, d, element)


def _sort(element: Element) -> str:
    if isinstance(element, Ohms):
        return _OHMS if element.ohm else BRANCH
    if isinstance(element, Emf):
        return BRANCH
    return _CURVE if isinstance(element, Curve) else _DRIVE


@dataclass(frozen=True, slots=True, eq=False)
class Layout:
    """Where the values of a network go; earth is the last row and left out when solving.

    Parts:
        nodes: name of a node to its row.
        size: rows, with earth.
        ohms: ends of each resistance; one row per element.
        branches, curves: ends of each element of that sort.
        drives: feed, earth, command and output of each driver.
        order: which elements of the network are of each sort.
        places: where in the matrix the conductances are added, and which of them.
        bends: where in the matrix the slopes of curves and then of drivers are added.
        base: the matrix of the branches without their resistances.
    """

    nodes: dict[str, int]
    size: int
    ohms: Indices
    branches: Rows
    curves: Rows
    drives: Rows
    order: dict[str, list[int]]
    places: Indices
    bends: list[int]
    base: Floats

    @property
    def first_branch(self) -> int:
        """Row of the current of the first branch."""
        return self.size - 1 - len(self.branches)


@lru_cache(maxsize=512)
def layout_of(form: tuple[Joined, ...], earth: str) -> Layout:
    """The layout of every network of this form; kept, so that drawn circuits share one."""
    names = dict.fromkeys(node for joined in form for node in joined[1:] if node)
    order: dict[str, list[int]] = {_OHMS: [], BRANCH: [], _CURVE: [], _DRIVE: []}
    for i, joined in enumerate(form):
        order[joined[0]].append(i)
    inner = [name for name in names if name != earth]
    size = len(inner) + len(order[BRANCH]) + 1
    nodes = {name: i for i, name in enumerate(inner)} | {earth: size - 1}

    def ends(sort: str, many: int) -> Rows:
        return [[nodes[node] for node in form[i][1 : many + 1]] for i in order[sort]]

    ohms = np.array(ends(_OHMS, 2), dtype=np.int64).reshape(-1, 2)
    branches, curves, drives = ends(BRANCH, 2), ends(_CURVE, 2), ends(_DRIVE, 4)
    return Layout(
        nodes,
        size,
        ohms,
        branches,
        curves,
        drives,
        order,
        _places(ohms, size),
        _bends(curves, drives, size),
        _base(branches, size),
    )


def _places(ohms: Indices, size: int) -> Indices:
    a, b = ohms[:, 0], ohms[:, 1]
    return np.concatenate((a * size + a, b * size + b, a * size + b, b * size + a))


def _bends(curves: Rows, drives: Rows, size: int) -> list[int]:
    places = [at * size + to for a, b in curves for at in (a, b) for to in (a, b)]
    for feed, earth, command, output in drives:
        rows = (feed, earth, output)
        places += [at * size + to for at in rows for to in (feed, earth, command, output)]
    return places


def _base(branches: Rows, size: int) -> Floats:
    matrix = np.zeros((size, size))
    for i, (a, b) in enumerate(branches):
        row = size - 1 - len(branches) + i
        matrix[a, row] += 1
        matrix[b, row] -= 1
        matrix[row, a] += 1
        matrix[row, b] -= 1
    return matrix


@dataclass(frozen=True, slots=True, eq=False)
class Network:
    """A layout filled with the values of one circuit in one state.

    Parts:
        layout: where they go.
        matrix, right: the linear equations, with earth.
        islands: for each node the row of one that stands for all it is joined with.
        curves, drives: what is not linear, in the order of the layout.
    """

    layout: Layout
    matrix: Floats
    right: Floats
    islands: tuple[int, ...]
    curves: list[Curve]
    drives: list[Drive]

    def is_told(self, node: str) -> bool:
        """True when something joins ``node`` to earth."""
        row = self.layout.nodes[node]
        return self.islands[row] == self.islands[self.layout.size - 1]


def network_of(wired: Sequence[Wired], earth: str) -> Network:
    """The equations of ``wired``.

    Raises:
        LoopError: sources without resistance are joined in a loop.
    """
    layout = layout_of(tuple(one[:5] for one in wired), earth)
    _check_loops(wired, layout)
    ohm = [e.ohm for i in layout.order[_OHMS] if isinstance(e := wired[i].element, Ohms)]
    siemens = 1 / np.array(ohm, dtype=np.float64)
    size = layout.size
    weights = np.concatenate((siemens, siemens, -siemens, -siemens))
    added = np.bincount(layout.places, weights, size * size)[: size * size]
    matrix = layout.base + added.reshape(size, size)
    right = np.zeros(size)
    for row, i in enumerate(layout.order[BRANCH], layout.first_branch):
        element = wired[i].element
        matrix[row, row] -= _ohm(element)
        right[row] = element.volt if isinstance(element, Emf) else 0.0
    islands = _islands(layout, (siemens > 0).tobytes())
    for row, root in enumerate(islands[: layout.first_branch]):
        if root == row and root != islands[size - 1]:
            matrix[row, row] += _TIE_SIEMENS
    return Network(
        layout,
        matrix,
        right,
        islands,
        [e for i in layout.order[_CURVE] if isinstance(e := wired[i].element, Curve)],
        [e for i in layout.order[_DRIVE] if isinstance(e := wired[i].element, Drive)],
    )


def _ohm(element: Element) -> float:
    return element.ohm if isinstance(element, Ohms | Emf) else 0.0


def _root(roots: list[int], row: int) -> int:
    while roots[row] != row:
        roots[row] = roots[roots[row]]
        row = roots[row]
    return row


@lru_cache(maxsize=512)
def _islands(layout: Layout, closed: bytes) -> tuple[int, ...]:
    """For each row one that stands for all it is joined with; ``closed`` tells which "ohms" are."""
    roots = list(range(layout.size))
    joined = layout.ohms[np.frombuffer(closed, dtype=np.bool_)].tolist()
    drives = layout.drives  # no current goes through a command
    feeds = [(feed, earth) for feed, earth, _, _ in drives]
    outputs = [(earth, output) for _, earth, _, output in drives]
    for a, b in (*joined, *layout.branches, *layout.curves, *feeds, *outputs):
        roots[_root(roots, a)] = _root(roots, b)
    return tuple(_root(roots, row) for row in range(layout.size))


def _check_loops(wired: Sequence[Wired], layout: Layout) -> None:
    """Refuse a loop of elements that have no resistance."""
    branches = (wired[i] for i in layout.order[BRANCH])
    ideal = [w for w in branches if not _ohm(w.element)]
    if not ideal:
        return
    roots = list(range(layout.size))
    seen: list[str] = []
    for one in ideal:
        seen.append(one.element.part)
        a, b = (_root(roots, layout.nodes[node]) for node in (one.a, one.b))
        if a == b:
            raise LoopError(one.element.part, ", ".join(dict.fromkeys(seen)))
        roots[a] = b

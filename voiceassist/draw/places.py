"""Where everything stands in a drawing of current paths, in units of the drawing."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from voiceassist.draw.crossings import bars_of, in_order, tracks
from voiceassist.draw.instrument import INSTRUMENT_TALL, Instrument, PulledPlug
from voiceassist.draw.letters import NAME, TEXT, Lettering, is_sign
from voiceassist.draw.paths import Path, PathPlan
from voiceassist.draw.symbols import TALL, WIDE

#: Between two bars of one level; above the first and below the last; below a thing.
_TRACK, _EDGE, _FOOT = 12.0, 5.0, 4.0
#: What a pin takes of a path, above or below a thing; the frame and terminals of a box.
_PIN, _FRAME = 14.0, 34.0
#: Room for the path in which a cut bar goes on.
_CUT = 30.0
_STEP = TEXT * 1.25


@dataclass(frozen=True, slots=True)
class Places:
    """All places of a sheet, or of some of its paths.

    Parts:
        sheet, letters: what is drawn.
        first, last: the first path that is drawn, and the first that is not.
        x: of the line of each path that is drawn.
        spans: node to the first and last path that it reaches, drawn or not.
        track: of each node's bar within its level.
        bar_y: where the first bar of each level runs; the last is the rail of earth.
        things: top and foot of the things of each level.
        width: of the whole.
    """

    sheet: PathPlan
    letters: Lettering
    first: int
    last: int
    x: Mapping[int, float]
    spans: Mapping[str, tuple[int, int]]
    track: Mapping[str, int]
    bar_y: Sequence[float]
    things: Sequence[tuple[float, float]]
    width: float

    @property
    def paths(self) -> Mapping[int, Path]:
        """The paths that are drawn, by their place from the left."""
        return {i: self.sheet.paths[i] for i in range(self.first, self.last)}

    @property
    def rail_y(self) -> float:
        """Where the rail of earth runs."""
        return self.bar_y[self.sheet.depth]

    def node_y(self, node: str) -> float:
        """Where the bar of a node runs; of earth for an empty one."""
        if not node:
            return self.rail_y
        return self.bar_y[self.sheet.level[node]] + self.track[node] * _TRACK

    def middle(self, element: int) -> float:
        """Half way between top and foot of a thing."""
        return sum(self.things[self.letters.row[element]]) / 2

    def edges(self, element: int) -> tuple[float, float]:
        """Where a thing begins and ends."""
        half = _size(self.sheet, self.letters, element) / 2
        return self.middle(element) - half, self.middle(element) + half


def places_of(
    sheet: PathPlan, letters: Lettering, first: int = 0, last: int | None = None
) -> Places:
    """The places of the paths from ``first`` to before ``last``; of all of them without it."""
    last = len(sheet.paths) if last is None else last
    spans = bars_of(sheet.paths)
    track = _tracks(sheet, spans)
    x, width = _across(sheet, letters, first, last)
    bar_y, things = _down(sheet, letters, track)
    return Places(sheet, letters, first, last, x, spans, track, bar_y, things, width)


def _tracks(sheet: PathPlan, spans: Mapping[str, tuple[int, int]]) -> dict[str, int]:
    found: dict[str, int] = {}
    for at in range(sheet.depth):
        nodes = [node for node in spans if sheet.level[node] == at]
        found.update(tracks(spans, in_order(sheet.paths, spans, nodes)))
    return found


def _across(
    sheet: PathPlan, letters: Lettering, first: int, last: int
) -> tuple[dict[int, float], float]:
    right = _CUT if first else 0.0
    x: dict[int, float] = {}
    for i in range(first, last):
        left = max((WIDE, *(letters.half.get(run.element, WIDE) for run in sheet.paths[i])))
        x[i] = right + left + 8
        right = x[i] + letters.right[i] + 6
    return x, right + (_CUT if last < len(sheet.paths) else 0.0)


def _down(
    sheet: PathPlan, letters: Lettering, track: Mapping[str, int]
) -> tuple[list[float], list[tuple[float, float]]]:
    bars, things = [], []
    y = NAME * 1.6
    for at in range(sheet.depth + 1):
        used = [track[node] for node in track if sheet.level[node] == at]
        bars.append(y + _EDGE)
        y += 2 * _EDGE + max(used, default=0) * _TRACK
        if at < sheet.depth:
            top = y + letters.above[at]
            here = [i for i, row in letters.row.items() if row == at]
            foot = top + max((_height(sheet, letters, i) for i in here), default=TALL)
            things.append((top, foot))
            y = foot + letters.below[at] + _FOOT
    return bars, things


def _height(sheet: PathPlan, letters: Lettering, element: int) -> float:
    """What a thing needs with its pins and letters."""
    one = sheet.elements[element]
    pins = 2 * _PIN if any(joint.plug for joint in one.joints) else 0.0
    return max(_size(sheet, letters, element) + pins, _STEP * len(letters.beside[element]))


def _size(sheet: PathPlan, letters: Lettering, element: int) -> float:
    """How tall the thing itself is."""
    one = sheet.elements[element]
    if not is_sign(one):
        return _FRAME + _STEP * len(letters.beside[element])
    if isinstance(one.part, Instrument):
        return INSTRUMENT_TALL
    return 0.0 if one.kind == "wire" or isinstance(one.part, PulledPlug) else TALL

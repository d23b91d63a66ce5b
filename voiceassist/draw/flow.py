"""The flow chart of a procedure as an SVG."""

from collections.abc import Sequence
from dataclasses import dataclass

from voiceassist.draw.canvas import LINE, Box, Canvas, unbroken, widest, width_of, wrapped
from voiceassist.draw.chart import (
    Chart,
    Exit,
    Likely,
    before,
    chart_of,
    limit_text,
    pins,
    takes,
    wish,
)
from voiceassist.draw.layers import Layers, Node, layered
from voiceassist.procedure.model import Finding, Kind, Procedure, Step

_NAME, _TEXT, _LABEL = 13.0, 11.0, 11.0
_STEP_WIDTH, _FINDING_WIDTH, _PAD = 230.0, 190.0, 10.0
_ACROSS, _BETWEEN, _STACK = 40.0, 46.0, 14.0
_STYLE = (
    ".step{fill:#f4f6f8;stroke:#444;stroke-width:1.2}"
    ".ask{fill:#fff;stroke:#444;stroke-width:1.2;stroke-dasharray:5 3}"
    ".finding{fill:#fff;stroke:#444;stroke-width:1.2}"
    ".taken{fill:#dceaf7;stroke:#0b3d66;stroke-width:3}"
    ".edge{fill:none;stroke:#777;stroke-width:1.3}"
    ".edge-taken{fill:none;stroke:#0b3d66;stroke-width:3}"
)


def draw_flow(procedure: Procedure, path: Sequence[str] = (), likely: Likely | None = None) -> str:
    """The flow chart as a standalone SVG: steps in layers, each finding beside its step.

    Args:
        procedure: to be drawn.
        path: names of the steps a session has taken, in order, and last the finding it came to;
            they are drawn in bold lines. Empty for none.
        likely: how often each way is taken, written beside it; None for nothing.
    """
    chart = chart_of(procedure, path, likely)
    canvas = flow_canvas(chart)
    return canvas.svg(f"{procedure.name}: {procedure.title}", _STYLE)


def flow_canvas(chart: Chart) -> Canvas:
    """The chart on a canvas."""
    return _FlowDrawer(chart).draw()


@dataclass(frozen=True, slots=True)
class _Lines:
    """The letters in a box: its name, and smaller lines below it."""

    name: str
    rest: tuple[str, ...]

    @property
    def height(self) -> float:
        return 2 * _PAD + _NAME + len(self.rest) * _TEXT * LINE


def _step_lines(step: Step) -> _Lines:
    inside = _STEP_WIDTH - 2 * _PAD
    rest = [line for told in before(step) for line in wrapped(told, inside, _TEXT)]
    rest += wrapped(wish(step), inside, _TEXT)
    limit = limit_text(step)
    rest += wrapped(f"→ {unbroken(limit)}", inside, _TEXT, 3) if limit else []
    more = (*pins(step), *takes(step))
    rest += [line for told in more for line in wrapped(told, inside, _TEXT)]
    return _Lines(step.name, tuple(rest))


def _finding_lines(finding: Finding, share: str) -> _Lines:
    rest = wrapped(finding.cause, _FINDING_WIDTH - 2 * _PAD, _TEXT, 5)
    rest += [share] if share else []
    if finding.go_on:
        rest += wrapped(f"put right, on at {finding.go_on}", _FINDING_WIDTH - 2 * _PAD, _TEXT)
    return _Lines(finding.name, tuple(rest))


class _FlowDrawer:
    def __init__(self, chart: Chart) -> None:
        self._chart = chart
        self._canvas = Canvas()
        self._lines = {step.name: _step_lines(step) for step in chart.steps}
        self._ends = {step.name: chart.findings_of(step.name) for step in chart.steps}
        self._labels_width = {n: self._beside(n) for n in self._lines}

    def draw(self) -> Canvas:
        names = list(self._lines)
        width = {name: self._cell_width(name) for name in names}
        edges = [(one.step, one.target) for one in self._chart.inner()]
        layers = layered(names, edges, width, _ACROSS)
        tops, gaps = self._tops(layers)
        boxes = {}
        for row, top in zip(layers.rows, tops, strict=True):
            for node in row:
                if isinstance(node, str):
                    left = layers.centre[node] - width[node] / 2
                    height = self._lines[node].height
                    boxes[node] = Box(left, top, _STEP_WIDTH, height)
        self._edges(layers, boxes, tops, gaps)
        for step in self._chart.steps:
            self._step(step, boxes[step.name])
        return self._canvas

    # --- sizes ---

    def _beside(self, name: str) -> float:
        """Room between a step and its findings, for the arrows and their labels."""
        labels = [one.label for one, _ in self._ends[name]]
        return widest(labels, _LABEL) + 26 if labels else 0.0

    def _cell_width(self, name: str) -> float:
        if not self._ends[name]:
            return max(_STEP_WIDTH, self._ports_width(name))
        return max(_STEP_WIDTH + self._labels_width[name] + _FINDING_WIDTH, self._ports_width(name))

    def _cell_height(self, name: str) -> float:
        stack = sum(self._end_lines(f).height + _STACK for _, f in self._ends[name]) - _STACK
        return max(self._lines[name].height, stack)

    def _end_lines(self, finding: Finding) -> _Lines:
        return _finding_lines(finding, self._chart.share_of(finding.name))

    def _ports_width(self, name: str) -> float:
        labels = [one.label for one in self._chart.inner() if one.step == name]
        return sum(width_of(label, _LABEL) + 16 for label in labels)

    def _tops(self, layers: Layers) -> tuple[list[float], list[float]]:
        """The upper side of each layer, and where the room below it begins."""
        tops, gaps, y = [], [], 0.0
        for row in layers.rows:
            tops.append(y)
            heights = [self._cell_height(node) for node in row if isinstance(node, str)]
            gaps.append(y + max(heights, default=0.0))
            y = gaps[-1] + _BETWEEN + 4.0 * len(row)
        return tops, gaps

    # --- drawing ---

    def _step(self, step: Step, box: Box) -> None:
        style = "ask" if step.kind in {Kind.ASK, Kind.IDENTIFY} else "step"
        self._box(box, self._lines[step.name], style, step.name)
        y = box.y
        for one, finding in self._ends[step.name]:
            lines = self._end_lines(finding)
            x = box.right + self._labels_width[step.name]
            end = Box(x, y, _FINDING_WIDTH, lines.height)
            taken = one.taken and finding.name in self._chart.taken
            self._box(end, lines, "taken" if taken else "finding", "", round_by=12)
            self._to_finding(box, end, one)
            y = end.bottom + _STACK

    def _to_finding(self, box: Box, end: Box, one: Exit) -> None:
        style, marker = _edge(one)
        y = end.y + 16
        elbow = box.right + 8
        start = min(y, box.bottom - 6)
        points = [(box.right, start), (elbow, start), (elbow, y), (end.x - 1, y)]
        self._canvas.line(
            *(points if start != y else [points[0], points[-1]]), style=style, end=marker
        )
        self._canvas.text(elbow + 4, y - 4, one.label, _LABEL, "pale")

    def _box(self, box: Box, lines: _Lines, style: str, name: str, round_by: float = 3) -> None:
        if name and name in self._chart.taken:
            style = "taken"
        self._canvas.rect(box, style, round_by=round_by)
        y = box.y + _PAD + _NAME * 0.8
        self._canvas.text(box.x + _PAD, y, lines.name, _NAME, "bold")
        for line in lines.rest:
            y += _TEXT * LINE
            self._canvas.text(box.x + _PAD, y, line, _TEXT)

    def _edges(
        self, layers: Layers, boxes: dict[str, Box], tops: list[float], gaps: list[float]
    ) -> None:
        level = {node: i for i, row in enumerate(layers.rows) for node in row}
        for name, box in boxes.items():
            leaving = [one for one in self._chart.inner() if one.step == name]
            leaving.sort(key=lambda one: layers.centre[layers.chains[name, one.target][1]])
            port = box.x + 14
            for one in leaving:
                chain = layers.chains[name, one.target]
                self._edge(one, port, box, boxes[one.target], chain, layers, tops, gaps, level)
                port += width_of(one.label, _LABEL) + 16

    def _edge(
        self,
        one: Exit,
        port: float,
        box: Box,
        target: Box,
        chain: list[Node],
        layers: Layers,
        tops: list[float],
        gaps: list[float],
        level: dict[Node, int],
    ) -> None:
        below = gaps[level[one.step]]
        way = f"M{port:.1f} {box.bottom:.1f}V{below:.1f}"
        x, y = port, below
        for node in chain[1:]:
            end = layers.centre[node] if not isinstance(node, str) else target.x + _STEP_WIDTH / 2
            top = tops[level[node]]
            half = (y + 16 + top) / 2
            way += f"V{y + 16:.1f}C{x:.1f} {half:.1f} {end:.1f} {half:.1f} {end:.1f} {top - 1:.1f}"
            x, y = end, gaps[level[node]]
            if not isinstance(node, str):
                way += f"V{y:.1f}"
        style, marker = _edge(one)
        self._canvas.path(way, style, marker)
        self._canvas.text(port + 4, below + 12, one.label, _LABEL, "pale")


def _edge(one: Exit) -> tuple[str, str]:
    return ("edge-taken", "arrow-taken") if one.taken else ("edge", "arrow")

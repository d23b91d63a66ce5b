"""The leads of instruments in a drawing: from the sign to the points that they are held to."""

from collections.abc import Iterator

from voiceassist.draw.canvas import Canvas
from voiceassist.draw.crossings import bars_of
from voiceassist.draw.elements import Element, Joint
from voiceassist.draw.instrument import LAMP_LEAD, draw_tip, has_leads, lead_of
from voiceassist.draw.letters import TEXT
from voiceassist.draw.paths import Run
from voiceassist.draw.places import Places

#: How far from a point the middle of a lead's word stands, above or below the sign's end.
_WORD = 16.0


class Leads:
    """Draws the leads of every instrument of ``places``."""

    def __init__(self, places: Places, canvas: Canvas) -> None:
        self._at, self._canvas = places, canvas
        real = [
            tuple(run for run in path if not self.is_lead_run(run)) for path in places.sheet.paths
        ]
        self._real = bars_of(real)
        earthed = [
            i
            for i, path in enumerate(real)
            for r in path
            for j in (r.joint, r.other)
            if j and not j.node
        ]
        if earthed:
            self._real[""] = (earthed[0], earthed[-1])

    def is_lead(self, one: Element) -> bool:
        """True for an instrument that is held to points."""
        return has_leads(one.part)

    def is_lead_run(self, run: Run) -> bool:
        """True for a run of such an instrument."""
        return self.is_lead(self._at.sheet.elements[run.element])

    def real_span(self, node: str) -> tuple[int, int]:
        """The first and the last path that ``node`` reaches by itself."""
        return self._real.get(node) or self._at.spans[node]

    def draw(self) -> None:
        """All of them."""
        for number, run, joint, edge, towards in self._ends():
            part = self._at.sheet.elements[run.element].part
            self._lead(number, joint, lead_of(part, joint.terminal), edge, towards)

    def _ends(self) -> Iterator[tuple[int, Run, Joint, float, int]]:
        """Path, run, joint, where the sign ends, and 1 for an end above it."""
        for number, path in self._at.paths.items():
            for run in filter(self.is_lead_run, path):
                top, foot = self._at.edges(run.element)
                if run.joint is not None:
                    yield number, run, run.joint, top, 1
                if run.other is not None:
                    yield number, run, run.other, foot, -1

    def _lead(self, number: int, joint: Joint, lead: str, edge: float, towards: int) -> None:
        x, y = self._at.x[number], self._at.node_y(joint.node)
        held, way = self._held_at(number, joint.node, towards)
        corner = [(held, y), (x, y), (x, edge)] if held != x else [(x, y), (x, edge)]
        self._canvas.line(*corner, style=f"lead-{lead}")
        draw_tip(self._canvas, (held, y), way, lead)
        if lead != LAMP_LEAD:
            said = edge + towards * _WORD + TEXT * 0.35
            self._canvas.text(x + 7, said, lead, TEXT, "bold")

    def _held_at(self, number: int, node: str, towards: int) -> tuple[float, tuple[int, int]]:
        """Where along the node's bar the tip is, and which way the lead leaves from there."""
        x = self._at.x
        first, last = self.real_span(node)
        if number < first:
            return x.get(first, x[number]), (-1, 0) if first in x else (0, towards)
        if number > last:
            return x.get(last, x[number]), (1, 0) if last in x else (0, towards)
        return x[number], (0, towards)

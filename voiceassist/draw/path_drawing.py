"""Draws current paths: the rails, the bars between paths, the things in them and their letters."""

from collections import Counter
from collections.abc import Iterator

from voiceassist.draw.canvas import Box, Canvas
from voiceassist.draw.elements import CONTACT, Element, Joint, behind
from voiceassist.draw.instrument import Instrument, PulledPlug, draw_instrument, is_unnamed
from voiceassist.draw.leads import Leads
from voiceassist.draw.legend import draw_legend
from voiceassist.draw.letters import NODE, TEXT, beside_x, is_sign, terminal
from voiceassist.draw.look import AT_REST, LIVE, Look
from voiceassist.draw.paths import Run
from voiceassist.draw.places import Places
from voiceassist.draw.symbols import CLOSED, SIGNS, Draw, earth, pin

#: The number of the rail of the supply.
_PLUS = "30  "
_DOT, _RING, _ON = 2.6, 3.0, 9.0
#: More ends than these in one place are joined, which a dot tells.
_CORNER = 2
_STEP = TEXT * 1.25
#: Below the rail of earth: the numbers of the paths, and the legend.
_NUMBERS, _LEGEND = 40.0, 52.0


def drawn(places: Places, supply: str, ground: str, look: Look = AT_REST) -> Canvas:
    """The paths of ``places`` on a canvas; ``supply`` and ``ground`` name the rails' nodes."""
    return _PathDrawer(places, supply, ground, look).draw()


class _PathDrawer:
    def __init__(self, places: Places, supply: str, ground: str, look: Look) -> None:
        self._at, self._supply, self._ground, self._look = places, supply, ground, look
        self._canvas = Canvas()
        self._leads = Leads(places, self._canvas)
        real = [one for one in places.sheet.elements if not self._leads.is_lead(one)]
        self._uses = Counter(node for one in real for node in one.nodes)

    def draw(self) -> Canvas:
        self._earth_rail()
        for node in self._at.spans:
            self._node(node)
        self._leads.draw()
        for number, path in self._at.paths.items():
            for run in path:
                self._lines(number, run)
        for element in dict.fromkeys(run.element for _, run in self._runs()):
            self._thing(element)
        for number, x in self._at.x.items():
            self._canvas.text(
                x, self._at.rail_y + _NUMBERS, str(number + 1), TEXT, "pale", "middle"
            )
        if self._look.is_state:
            return self._canvas
        kinds = dict.fromkeys(self._at.sheet.elements[run.element].kind for _, run in self._runs())
        draw_legend(self._canvas, kinds, self._at.rail_y + _LEGEND)
        return self._canvas

    def _runs(self) -> Iterator[tuple[int, Run]]:
        return ((number, run) for number, path in self._at.paths.items() for run in path)

    # --- rails and bars ---

    def _earth_rail(self) -> None:
        at = self._reached("")
        if not at:
            return
        y, first = self._at.rail_y, self._at.x[at[0]]
        self._bar("", at[0], at[-1], style="rail")
        self._canvas.line((first, y), (first, y + 10))
        earth(self._canvas, first, y + 10)
        self._canvas.text(first + 16, y + 17, f"31  {self._ground}", TEXT, "bold")

    def _node(self, node: str) -> None:
        first, last = self._at.spans[node]
        if last < self._at.first or first >= self._at.last:
            return
        rail = node == self._supply
        style = "rail" if rail else "wire"
        if node in self._look.live:
            style = "live-rail" if rail else "live"
        self._bar(node, *self._leads.real_span(node), style=style)
        if rail and not self._at.track[node]:
            x = self._at.x[max(first, self._at.first)]
            said = f"{node}, {LIVE}" if node in self._look.live else node
            self._canvas.text(x, self._at.node_y(node) - 8, f"{_PLUS}{said}", TEXT, "bold")
        elif node in self._at.letters.nodes:
            self._name(node, _PLUS if rail else "")

    def _bar(self, node: str, first: int, last: int, *, style: str) -> None:
        """The bar from path to path, its dots, and where it goes on beyond the paths drawn."""
        y, x = self._at.node_y(node), self._at.x
        start = 12.0 if first < self._at.first else x[first]
        end = self._at.width - 12 if last >= self._at.last else x[last]
        if start < end:
            self._canvas.line((start, y), (end, y), style=style)
        for number in range(max(first, self._at.first), min(last + 1, self._at.last)):
            ends = self._ends_at(node, number)
            if ends and ends + (number > first) + (number < last) > _CORNER:
                self._canvas.circle(x[number], y, _DOT, "dot")
        if first < self._at.first:
            self._canvas.text(0, y + 3.5, str(first + 1), TEXT, "pale")
        if last >= self._at.last:
            self._canvas.text(self._at.width - 10, y + 3.5, str(last + 1), TEXT, "pale")

    def _reached(self, node: str) -> list[int]:
        return [number for number in self._at.paths if self._ends_at(node, number)]

    def _ends_at(self, node: str, number: int) -> int:
        runs = (run for run in self._at.sheet.paths[number] if not self._leads.is_lead_run(run))
        joints = (joint for run in runs for joint in (run.joint, run.other))
        return sum(1 for joint in joints if joint is not None and joint.node == node)

    def _name(self, node: str, rail: str = "") -> None:
        path, below = self._at.letters.node_at[node]
        if path not in self._at.x:
            return
        level = self._at.sheet.level[node]
        top = self._at.things[level][0] - self._at.letters.above[level]
        y = top if below else self._at.things[level - 1][1]
        for i, line in enumerate(self._at.letters.nodes[node]):
            at = y + NODE * (1.0 + 1.15 * i)
            self._canvas.text(self._at.x[path] + 5, at, line if i else rail + line, NODE, "pale")

    # --- things ---

    def _lines(self, number: int, run: Run) -> None:
        """The upright lines from a thing to what it is joined to, with the pins in them."""
        if self._leads.is_lead_run(run):
            return
        top, foot = self._at.edges(run.element)
        for joint, edge, towards in ((run.joint, top, 1), (run.other, foot, -1)):
            if joint is not None:
                self._line(self._at.x[number], joint, edge, towards)

    def _line(self, x: float, joint: Joint, edge: float, towards: int) -> None:
        y = self._at.node_y(joint.node)
        style = self._look.wire(joint.node)
        start = (x, y)
        if joint.node and self._uses[joint.node] == 1 and not is_unnamed(joint.node):
            if joint.node in self._look.going_on:
                self._canvas.line((x, y - towards * _ON), (x, y), style="dashed")
            else:
                start = (x, y + towards * _RING)
                self._canvas.circle(x, y, _RING)
        if not joint.plug:
            self._canvas.line(start, (x, edge), style=style)
            return
        is_open = joint.plug in self._look.open_plugs
        inside = self._look.wire(behind(joint))
        self._canvas.line(start, (x, edge - towards * (14 if is_open else 10)), style=style)
        self._canvas.line((x, edge - towards * (4 if is_open else 10)), (x, edge), style=inside)
        pin(self._canvas, x, edge - towards * 10, towards=towards, is_open=is_open)

    def _thing(self, element: int) -> None:
        one = self._at.sheet.elements[element]
        runs = [(number, run) for number, run in self._runs() if run.element == element]
        if not is_sign(one):
            self._box(element, runs)
            return
        ((number, run),) = runs
        first = run.joint.terminal if run.joint else ""
        way = 1 if first == one.joints[0].terminal else -1
        x, y = self._at.x[number], self._at.middle(element)
        if isinstance(one.part, Instrument):
            draw_instrument(self._canvas, x, y, way, one.part)
        elif one.kind != "wire" and not isinstance(one.part, PulledPlug):
            self._sign(one)(self._canvas, x, y, way)
        lines = self._at.letters.beside[element]
        y += TEXT * 0.95 - _STEP * len(lines) / 2
        for i, (line, style) in enumerate(lines):
            self._canvas.text(x + beside_x(one), y + i * _STEP, line, TEXT, style)

    def _sign(self, one: Element) -> Draw:
        """The sign of a thing in the state that it is in."""
        is_closed = one.part.name in self._look.closed
        makes = any(joint.terminal == "pin-87" for joint in one.joints)
        if one.kind == CONTACT and not makes:  # it is closed at rest
            is_closed = one.part.name in self._look.opened
        return CLOSED.get(one.kind, SIGNS[one.kind]) if is_closed else SIGNS[one.kind]

    def _box(self, element: int, runs: list[tuple[int, Run]]) -> None:
        top, foot = self._at.edges(element)
        wide = self._at.letters.half[element]
        left, right = self._at.x[runs[0][0]], self._at.x[runs[-1][0]]
        self._canvas.rect(Box(left - wide, top, right - left + 2 * wide, foot - top), "part")
        for number, run in runs:
            for joint, y in ((run.joint, top + TEXT + 2), (run.other, foot - 4)):
                if joint is not None:
                    said = terminal(joint)
                    self._canvas.text(self._at.x[number], y, said, TEXT, "", "middle")
        for i, (line, style) in enumerate(self._at.letters.beside[element]):
            y = top + 17 + TEXT + i * _STEP
            self._canvas.text((left + right) / 2, y, line, TEXT, style, "middle")

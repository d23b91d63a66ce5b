"""The circuit of a procedure as an SVG."""

from voiceassist.circuit.model import Circuit
from voiceassist.circuit.parts import Part
from voiceassist.draw.canvas import Box, Canvas, widest, wrapped
from voiceassist.draw.schematic import Joint, Placed, Schematic, laid_out
from voiceassist.draw.symbols import HEIGHT, SIGNS, WIDTH, earth, pin
from voiceassist.draw.values import value_text
from voiceassist.procedure.model import Procedure

_NAME, _TEXT, _NODE = 12.0, 11.0, 10.0
_ROW, _WIRE_AT = 78.0, 48.0
_MARGIN, _NODE_WIDTH = 30.0, 84.0
_STYLE = (
    ".wire{fill:none;stroke:#333;stroke-width:1.4}.thick{fill:none;stroke:#333;stroke-width:3.5}"
    ".part{fill:#fff;stroke:#333;stroke-width:1.4}.dot{fill:#333;stroke:none}"
    ".node{fill:none;stroke:#333;stroke-width:1.8}"
)


def draw_circuit(procedure: Procedure) -> str:
    """The circuit as a standalone SVG, from battery plus on the left to earth.

    Raises:
        ValueError: the procedure has no circuit.
    """
    if procedure.circuit is None:
        raise ValueError(f"{procedure.name} has no circuit")
    canvas = circuit_canvas(procedure.circuit)
    return canvas.svg(f"{procedure.name}: the circuit", _STYLE)


def circuit_canvas(circuit: Circuit) -> Canvas:
    """The circuit on a canvas."""
    return _Drawer(laid_out(circuit)).draw()


class _Drawer:
    def __init__(self, plan: Schematic) -> None:
        self._plan = plan
        self._canvas = Canvas()
        self._node_x: dict[str, float] = {}
        self._gap_x: list[float] = []
        x = 0.0
        for level, nodes in enumerate(plan.levels):
            for node in nodes:
                self._node_x[node] = x
                x += widest(_node_lines(node), _NODE) + 16
            width = self._gap_width(level)
            self._gap_x.append(x + width / 2)
            x += width

    def draw(self) -> Canvas:
        for node, (first, last) in self._plan.spans.items():
            x = self._node_x[node]
            self._canvas.line((x, _y(first)), (x, _y(last)), style="node")
            lines = _node_lines(node)
            for i, line in enumerate(lines):
                y = _y(first) - 7 - (len(lines) - 1 - i) * _NODE * 1.15
                self._canvas.text(x + 5, y, line, _NODE, "pale")
        for one in self._plan.placed:
            self._part(one)
        return self._canvas

    def _gap_width(self, level: int) -> float:
        inside = [one for one in self._plan.placed if one.gap == level]
        widths = [max(_body_width(one), widest(_label(one), _NAME, bold=True)) for one in inside]
        return max(widths, default=0.0) + 2 * _MARGIN if inside else 20.0

    # --- parts ---

    def _part(self, one: Placed) -> None:
        x = self._gap_x[one.gap]
        half = _body_width(one) / 2
        for side, ends in ((-1, one.left), (1, one.right)):
            for joint, line in ends:
                self._end(joint, x + side * half, _y(one.row + line), side)
        if _is_sign(one):
            first = one.left[0][0].terminal if one.left else ""
            way = 1 if first == next(iter(one.part.terminals)) else -1
            SIGNS[one.part.kind](self._canvas, x, _y(one.row), way)
        else:
            self._block(one, x, half)
        self._letters(one, x)

    def _end(self, joint: Joint, x: float, y: float, side: int) -> None:
        """The wire from a part's end at ``x`` to its bar, or to earth."""
        if joint.node:
            bar = self._node_x[joint.node]
            self._canvas.line((x, y), (bar, y))
            self._canvas.circle(bar, y, 3, "dot")
        else:
            self._canvas.line((x, y), (x + side * 12, y))
            earth(self._canvas, x + side * 12 - (10 if side < 0 else 0), y)
        if joint.plug:
            pin(self._canvas, x + side * 12, y, towards=-side)

    def _block(self, one: Placed, x: float, half: float) -> None:
        top, bottom = _y(one.row) - 16, _y(one.row + one.rows - 1) + 16
        self._canvas.rect(Box(x - half, top, 2 * half, bottom - top), "part")
        for side, ends, anchor in ((-1, one.left, "start"), (1, one.right, "end")):
            for joint, line in ends:
                at = x + side * (half - 5)
                self._canvas.text(at, _y(one.row + line) + 4, _short(joint), _TEXT, "", anchor)

    def _letters(self, one: Placed, x: float) -> None:
        top = _y(one.row) - (HEIGHT if _is_sign(one) else 16) - 6
        name, *rest = _label(one)
        self._canvas.text(x, top, name, _NAME, "bold", "middle")
        y = _y(one.row + one.rows - 1) + 18 + _TEXT
        for line in rest:
            self._canvas.text(x, y, line, _TEXT, "pale", "middle")
            y += _TEXT * 1.2


def _y(row: int) -> float:
    """Where the wire of a row runs."""
    return row * _ROW + _WIRE_AT


def _is_sign(one: Placed) -> bool:
    across = len(one.left) == len(one.right) == 1
    return across and one.part.kind in SIGNS


def _body_width(one: Placed) -> float:
    if _is_sign(one):
        return WIDTH
    left = widest((_short(joint) for joint, _ in one.left), _TEXT)
    right = widest((_short(joint) for joint, _ in one.right), _TEXT)
    return left + right + 40


def _short(joint: Joint) -> str:
    return joint.terminal.removeprefix("pin-")


def _label(one: Placed) -> list[str]:
    """The name of a part, and below its sign what it is and the plug it is behind."""
    part: Part = one.part
    plugs = {joint.plug for joint, _ in (*one.left, *one.right) if joint.plug}
    behind = [f"behind {' and '.join(sorted(plugs))}"] if plugs else []
    return [part.label or part.name, *filter(None, [value_text(part)]), *behind]


def _node_lines(node: str) -> list[str]:
    return wrapped(node, _NODE_WIDTH, _NODE, 3)

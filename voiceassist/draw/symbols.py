"""Signs of parts, plainly drawn after the open standards (IEC 60617; from memory).

Each lies across: its ends are ``WIDTH`` apart on one line, and it stays within ``HEIGHT`` of it.
"""

from collections.abc import Callable

from voiceassist.draw.canvas import Box, Canvas

WIDTH, HEIGHT = 56.0, 13.0
_HALF = WIDTH / 2
#: Draws a sign with its middle at x, y; ``way`` is 1 when its first end is on the left, else -1.
Draw = Callable[[Canvas, float, float, int], None]


def resistor(canvas: Canvas, x: float, y: float, way: int) -> None:
    """A rectangle on the line."""
    _leads(canvas, x, y, 18)
    canvas.rect(Box(x - 18, y - 6, 36, 12), "part")


def wire(canvas: Canvas, x: float, y: float, way: int) -> None:
    """A line, with the stroke of a conductor that is named."""
    canvas.line((x - _HALF, y), (x + _HALF, y))
    canvas.line((x - 4, y + 6), (x + 4, y - 6))


def battery(canvas: Canvas, x: float, y: float, way: int) -> None:
    """Two cells: long strokes for plus."""
    canvas.line((x - _HALF, y), (x - 9, y))
    canvas.line((x + 9, y), (x + _HALF, y))
    for at, half, style in ((-9, 12, "wire"), (-3, 6, "thick"), (3, 12, "wire"), (9, 6, "thick")):
        canvas.line((x + way * at, y - half), (x + way * at, y + half), style=style)


def fuse(canvas: Canvas, x: float, y: float, way: int) -> None:
    """A rectangle that the line runs through."""
    canvas.rect(Box(x - 18, y - 6, 36, 12), "part")
    canvas.line((x - _HALF, y), (x + _HALF, y))


def switch(canvas: Canvas, x: float, y: float, way: int) -> None:
    """An open contact."""
    _leads(canvas, x, y, 14)
    canvas.circle(x - 14, y, 2, "dot")
    canvas.circle(x + 14, y, 2, "dot")
    canvas.line((x - 14, y), (x + 12, y - 11))


def lamp(canvas: Canvas, x: float, y: float, way: int) -> None:
    """A circle with a cross."""
    _leads(canvas, x, y, 11)
    canvas.circle(x, y, 11)
    canvas.line((x - 7.8, y - 7.8), (x + 7.8, y + 7.8))
    canvas.line((x - 7.8, y + 7.8), (x + 7.8, y - 7.8))


def motor(canvas: Canvas, x: float, y: float, way: int) -> None:
    """A circle with an M."""
    _leads(canvas, x, y, 12)
    canvas.circle(x, y, 12)
    canvas.text(x, y + 4.5, "M", 12, "bold", "middle")


def pulses(canvas: Canvas, x: float, y: float, way: int) -> None:
    """A circle with a square wave."""
    _leads(canvas, x, y, 12)
    canvas.circle(x, y, 12)
    wave = [(-8, 4), (-4, 4), (-4, -4), (2, -4), (2, 4), (6, 4), (6, -4)]
    canvas.line(*((x + dx, y + dy) for dx, dy in wave))


def diode(canvas: Canvas, x: float, y: float, way: int) -> None:
    """A triangle that points the way the current goes, with a bar."""
    _leads(canvas, x, y, 8)
    back, tip = x - 8 * way, x + 8 * way
    canvas.line((back, y - 9), (back, y + 9), (tip, y), (back, y - 9), style="part")
    canvas.line((tip, y - 9), (tip, y + 9))


def earth(canvas: Canvas, x: float, y: float) -> None:
    """The end of a line in earth; ``x`` is where the line ends."""
    for i, half in enumerate((10, 6, 2)):
        canvas.line((x + 5 * i, y - half), (x + 5 * i, y + half))


def pin(canvas: Canvas, x: float, y: float, *, towards: int) -> None:
    """A pin in its socket; ``towards`` is 1 when the part lies to the right, -1 to the left."""
    canvas.line((x - 5 * towards, y - 5), (x, y), (x - 5 * towards, y + 5))
    canvas.line((x + 1 * towards, y - 5), (x + 6 * towards, y), (x + 1 * towards, y + 5))


def _leads(canvas: Canvas, x: float, y: float, inner: float) -> None:
    canvas.line((x - _HALF, y), (x - inner, y))
    canvas.line((x + inner, y), (x + _HALF, y))


#: Kind of part to its sign; the others are boxes.
SIGNS: dict[str, Draw] = {
    "battery": battery, "fuse": fuse, "switch": switch, "lamp": lamp, "motor": motor,
    "pulses": pulses, "diode": diode, "wire": wire, "resistor": resistor,
    "joint": resistor, "leak": resistor, "termination": resistor,
}  # fmt: skip

"""Signs of parts, plainly drawn after the open standards (IEC 60617; from memory).

Each stands upright in a current path: its ends are ``TALL`` apart on one line, and it stays within
``WIDE`` of that line.
"""

from collections.abc import Callable

from voiceassist.draw.canvas import Box, Canvas

TALL, WIDE = 44.0, 15.0
_HALF = TALL / 2
#: Draws a sign with its middle at x, y; ``way`` is 1 when its first end is above, else -1.
Draw = Callable[[Canvas, float, float, int], None]


def resistor(canvas: Canvas, x: float, y: float, way: int) -> None:
    """A rectangle in the line."""
    _leads(canvas, x, y, 15)
    canvas.rect(Box(x - 5, y - 15, 10, 30), "part")


def wire(canvas: Canvas, x: float, y: float, way: int) -> None:
    """A line."""
    canvas.line((x, y - _HALF), (x, y + _HALF))


def battery(canvas: Canvas, x: float, y: float, way: int) -> None:
    """Two cells: long strokes for plus."""
    _leads(canvas, x, y, 9)
    for at, half, style in ((-9, 12, "wire"), (-3, 6, "thick"), (3, 12, "wire"), (9, 6, "thick")):
        canvas.line((x - half, y + way * at), (x + half, y + way * at), style=style)


def fuse(canvas: Canvas, x: float, y: float, way: int) -> None:
    """A rectangle that the line runs through."""
    canvas.rect(Box(x - 5, y - 15, 10, 30), "part")
    canvas.line((x, y - _HALF), (x, y + _HALF))


def switch(canvas: Canvas, x: float, y: float, way: int) -> None:
    """An open contact, which is made by moving to the right."""
    _leads(canvas, x, y, 12)
    canvas.line((x, y + 12), (x - 9, y - 11))


def contact(canvas: Canvas, x: float, y: float, way: int) -> None:
    """The contact of a relay, drawn at rest, with the sign of what moves it."""
    switch(canvas, x, y, way)
    canvas.line((x - 5, y), (x - 15, y), style="dashed")


def closed_switch(canvas: Canvas, x: float, y: float, way: int) -> None:
    """A contact that lets current pass."""
    _leads(canvas, x, y, 12)
    canvas.line((x - 3, y - 12), (x + 3, y - 12))
    canvas.line((x, y + 12), (x, y - 12), style="thick")


def closed_contact(canvas: Canvas, x: float, y: float, way: int) -> None:
    """The contact of a relay that lets current pass."""
    closed_switch(canvas, x, y, way)
    canvas.line((x, y), (x - 15, y), style="dashed")


def coil(canvas: Canvas, x: float, y: float, way: int) -> None:
    """The coil of a relay: a rectangle that lies across."""
    _leads(canvas, x, y, 8)
    canvas.rect(Box(x - 14, y - 8, 28, 16), "part")
    canvas.line((x - 5, y + 8), (x + 5, y - 8))


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
    back, tip = y - 8 * way, y + 8 * way
    canvas.line((x - 9, back), (x + 9, back), (x, tip), (x - 9, back), style="part")
    canvas.line((x - 9, tip), (x + 9, tip))


def earth(canvas: Canvas, x: float, y: float) -> None:
    """The end of an upright line in earth; ``y`` is where the line ends."""
    for i, half in enumerate((10, 6, 2)):
        canvas.line((x - half, y + 5 * i), (x + half, y + 5 * i))


def pin(canvas: Canvas, x: float, y: float, *, towards: int, is_open: bool = False) -> None:
    """A pin in its socket, or out of it; ``towards`` is 1 when the part lies below, -1 above."""
    out, inner = (y - 4 * towards, y + 6 * towards) if is_open else (y, y + 6 * towards)
    canvas.line((x - 5, out - 5 * towards), (x, out), (x + 5, out - 5 * towards))
    canvas.line((x - 5, inner - 5 * towards), (x, inner), (x + 5, inner - 5 * towards))


def _leads(canvas: Canvas, x: float, y: float, inner: float) -> None:
    canvas.line((x, y - _HALF), (x, y - inner))
    canvas.line((x, y + inner), (x, y + _HALF))


#: Kind of part to its sign; the others are boxes.
SIGNS: dict[str, Draw] = {
    "battery": battery, "fuse": fuse, "switch": switch, "lamp": lamp, "motor": motor,
    "latch": switch, "pulses": pulses, "diode": diode, "wire": wire, "resistor": resistor,
    "joint": resistor, "leak": resistor, "termination": resistor,
    "coil": coil, "contact": contact,
}  # fmt: skip
#: The same where it lets current pass.
CLOSED: dict[str, Draw] = {
    "switch": closed_switch, "latch": closed_switch, "contact": closed_contact,
}  # fmt: skip

"""What the signs of a drawing stand for."""

from collections.abc import Iterable

from voiceassist.draw.canvas import Canvas, width_of
from voiceassist.draw.letters import TEXT
from voiceassist.draw.symbols import SIGNS, TALL, WIDE

#: Kinds that share a sign are told in one word.
_NAMES = {
    "resistor": "resistance, joint", "joint": "resistance, joint", "leak": "resistance, joint",
    "termination": "resistance, joint", "coil": "relay coil", "contact": "relay contact",
    "pulses": "source of pulses",
}  # fmt: skip
_LEAST_WIDTH = 420.0


def draw_legend(canvas: Canvas, kinds: Iterable[str], y: float) -> None:
    """A row of the signs of ``kinds`` from ``y`` down, wrapped at the width of the drawing."""
    named = {_NAMES.get(kind, kind): kind for kind in kinds if kind in SIGNS and kind != "wire"}
    widest = max(canvas.width, _LEAST_WIDTH)
    x, line = 0.0, y
    for name, kind in named.items():
        width = 2 * WIDE + width_of(name, TEXT) + 22
        if x and x + width > widest:
            x, line = 0.0, line + TALL + 10
        SIGNS[kind](canvas, x + WIDE, line + TALL / 2, 1)
        canvas.text(x + 2 * WIDE + 6, line + TALL / 2 + TEXT * 0.4, name, TEXT, "pale")
        x += width

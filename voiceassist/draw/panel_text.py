"""Lines of letters in the panels of a step's picture, and their sizes."""

from collections.abc import Iterable

from voiceassist.draw.canvas import Canvas

#: Of what is wanted or a panel is about, and of all else.
WISH, TEXT = 12.0, 10.5
#: By this size bold letters of the first are measured.
BOLD = WISH * 1.1
#: From one line to the next, in sizes of their letters.
LINE = 1.3


def lines_down(
    canvas: Canvas, lines: Iterable[str], y: float, size: float, style: str = "", x: float = 0.0
) -> float:
    """Lines of letters from ``y`` down; where the next one would begin."""
    for line in lines:
        canvas.text(x, y + size * 0.9, line, size, style)
        y += size * LINE
    return y

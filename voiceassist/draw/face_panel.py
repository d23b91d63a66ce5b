"""The panel of a connector: its face from the front, with the leads that are held to it."""

from collections.abc import Sequence

from voiceassist.draw.canvas import Box, Canvas, wrapped
from voiceassist.draw.faces import Cavity, Face
from voiceassist.draw.instrument import draw_tip
from voiceassist.draw.panel_text import BOLD, TEXT, WISH, lines_down
from voiceassist.draw.step_view import BLACK, RED

#: A cavity, from one to the next, and how many stand in a row.
_CAVITY, _PITCH, _ROW = 26.0, 46.0, 8


def face_panel(face: Face, width: float) -> Canvas:
    """A connector from its front, its cavities in the order of their numbers."""
    canvas = Canvas()
    state = ", open" if face.is_open else ""
    y = lines_down(canvas, wrapped(f"{face.connector}{state}", width, BOLD), 0.0, WISH, "bold")
    cavities = face.cavities
    if not any(cavity.number for cavity in cavities):
        return _named(canvas, cavities, y + 4, width)
    row = min(_ROW, int((width - 12) // _PITCH))
    rows = [cavities[i : i + row] for i in range(0, len(cavities), row)]
    many = max(map(len, rows))
    tall = len(rows) * (_CAVITY + 42)
    canvas.rect(Box(0, y + 4, many * _PITCH + 12, tall), "box", round_by=8)
    for line in rows:
        for i, cavity in enumerate(line):
            _cavity(canvas, cavity, 6 + _PITCH * (i + 0.5), y + 28)
        y += _CAVITY + 42
    return canvas


def _cavity(canvas: Canvas, cavity: Cavity, x: float, y: float) -> None:
    """One cavity with its middle at ``x`` and its top at ``y``."""
    style = "probed" if cavity.ends else "thin" if cavity.name else "unknown"
    canvas.rect(Box(x - _CAVITY / 2, y, _CAVITY, _CAVITY), style, round_by=3)
    size = 12.0 if cavity.ends else TEXT
    bold = "bold" if cavity.ends else "" if cavity.name else "pale"
    canvas.text(x, y + _CAVITY / 2 + size * 0.36, cavity.number, size, bold, "middle")
    if cavity.colour:
        canvas.text(
            x, y + _CAVITY + 12, cavity.colour, 10.0, "bold" if cavity.ends else "", "middle"
        )
    if cavity.ends:
        lead = {RED: "red", BLACK: "black"}.get(cavity.ends[0], "lamp")
        draw_tip(canvas, (x, y - 1), (0, -1), lead)
        canvas.text(x, y - 14, _ends(cavity), 10.0, "bold", "middle")


def _named(canvas: Canvas, cavities: Sequence[Cavity], y: float, width: float) -> Canvas:
    """Cavities without numbers, each with the name of its point."""
    top = y
    for cavity in cavities:
        style = "probed" if cavity.ends else "thin"
        canvas.rect(Box(8, y + 6, 16, 16), style, round_by=3)
        told = " ".join(filter(None, (cavity.name, cavity.colour)))
        said = f"{told} ← {_ends(cavity)}" if cavity.ends else told
        canvas.text(32, y + 18, said, TEXT, "bold" if cavity.ends else "")
        y += 24
    canvas.rect(Box(0, top, max(canvas.width + 16, 80), y - top + 4), "box", round_by=8)
    return canvas


def _ends(cavity: Cavity) -> str:
    """What is held to it: "lamp, red"."""
    return ", ".join(dict.fromkeys(end.removesuffix(" lead") for end in cavity.ends))

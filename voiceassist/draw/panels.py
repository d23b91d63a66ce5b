"""The panels of a step's picture that are words: head and cautions, where leads go, notes."""

from collections.abc import Iterable, Sequence

from voiceassist.circuit.colours import COLOURS
from voiceassist.draw.canvas import Box, Canvas, width_of, wrapped
from voiceassist.draw.chart import wish
from voiceassist.draw.panel_text import BOLD, LINE, TEXT, WISH, lines_down
from voiceassist.draw.standing import LIVE_WITHIN
from voiceassist.draw.step_view import LeadEnd, StepView
from voiceassist.procedure.model import Caution, Point, Signal

_NAME = 15.0


def head_panel(view: StepView, width: float) -> Canvas:
    """Name, what is wanted, the conditions, and the cautions."""
    canvas = Canvas()
    y = lines_down(canvas, [view.step.name.replace("-", " ")], 0.0, _NAME, "bold")
    y = lines_down(canvas, wrapped(wish(view.step), width, WISH), y + 2, WISH)
    if view.needs:
        told = "with " + ", ".join(f"{name} {state}" for name, state in view.needs)
        y = lines_down(canvas, wrapped(told, width, TEXT), y + 1, TEXT, "pale")
    for caution in view.step.cautions:
        y = _caution(canvas, caution, y + 6, width)
    return canvas


def _caution(canvas: Canvas, caution: Caution, y: float, width: float) -> float:
    """The signal word on its panel (colours of ANSI Z535.4, from memory), and what it says."""
    word = caution.signal.value
    wide = width_of(word, WISH, bold=True) + 14
    told = f"{caution.hazard}: {caution.avoid}"
    lines = wrapped(told, width - wide - 18, TEXT)
    tall = max(24.0, len(lines) * TEXT * LINE + 8)
    canvas.rect(Box(0, y, width, tall), "box")
    canvas.rect(Box(0, y, wide, tall), f"signal-{word.lower()}")
    canvas.text(
        wide / 2, y + tall / 2 + WISH * 0.36, word, WISH, f"bold on-{_on(caution)}", "middle"
    )
    lines_down(canvas, lines, y + 4, TEXT, x=wide + 8)
    return y + tall


def _on(caution: Caution) -> str:
    return "dark" if caution.signal in {Signal.DANGER, Signal.NOTICE} else "light"


def leads_panel(held: Sequence[LeadEnd], width: float) -> Canvas:
    """Where each end of the instrument stands, and what the file tells of that place."""
    canvas = Canvas()
    y = 0.0
    ends: dict[str, list[str]] = {}
    for one in held:
        ends.setdefault(one.name, []).append(one.end)
    points = {one.name: one.point for one in held}
    for name, here in ends.items():
        said = f"{' and '.join(here)}: {name}"
        y = lines_down(canvas, wrapped(said, width, BOLD), y, WISH, "bold")
        for told in _told(points[name]):
            y = lines_down(canvas, wrapped(told, width, TEXT), y, TEXT, "pale")
        y += 4
    return canvas


def _told(point: Point | None) -> Iterable[str]:
    if point is None:
        return
    if point.where and point.where != point.name:
        yield point.where
    seat = " ".join(filter(None, (point.connector, f"pin {point.pin}" if point.pin else "")))
    wire = ", ".join(filter(None, (colour_told(point.colour), point.size)))
    if seat or wire:
        yield ": ".join(filter(None, (seat, wire)))


def colour_told(letters: str) -> str:
    """Letters of a colour with its words: "GNYE green yellow"."""
    words = [COLOURS[letters[i : i + 2]] for i in range(0, len(letters), 2)]
    return " ".join((letters, *words)) if letters else ""


def notes_panel(view: StepView, left_out: Sequence[str], width: float) -> Canvas:
    """What heavy lines mean, and what is not drawn."""
    canvas = Canvas()
    y = 0.0
    if view.look is not None and view.look.live:
        canvas.line((0, y + 6), (26, y + 6), style="live")
        told = f"live: within {LIVE_WITHIN:g} V of the supply in a good vehicle"
        y = lines_down(canvas, wrapped(told, width - 34, TEXT), y, TEXT, "pale", x=34)
    if left_out:
        told = f"not drawn: {', '.join(left_out)}"
        y = lines_down(canvas, wrapped(told, width, TEXT, 3), y + 2, TEXT, "pale")
    return canvas

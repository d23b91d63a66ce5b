"""The panels of a step's picture beside its circuit: head, cautions, leads, faces, scale, notes."""

from collections.abc import Iterable, Sequence
from decimal import Decimal

from voiceassist.circuit.colours import COLOURS
from voiceassist.draw.canvas import Box, Canvas, unbroken, width_of, wrapped
from voiceassist.draw.chart import wish
from voiceassist.draw.faces import Cavity, Face
from voiceassist.draw.instrument import draw_tip
from voiceassist.draw.standing import LIVE_WITHIN
from voiceassist.draw.step_view import BLACK, RED, Held, StepView
from voiceassist.measure.scale import Scale
from voiceassist.procedure.model import Caution, Point, Signal

_NAME, _WISH, _TEXT = 15.0, 12.0, 10.5
_LINE = 1.3
#: A cavity, from one to the next, and how many stand in a row.
_CAVITY, _PITCH, _ROW = 26.0, 46.0, 8
#: A limit's bar.
_BAR = 12.0


def _lines(
    canvas: Canvas, lines: Iterable[str], y: float, size: float, style: str = "", x: float = 0.0
) -> float:
    """Lines of letters from ``y`` down; where the next one would begin."""
    for line in lines:
        canvas.text(x, y + size * 0.9, line, size, style)
        y += size * _LINE
    return y


def head_panel(view: StepView, width: float) -> Canvas:
    """Name, what is wanted, the conditions, and the cautions."""
    canvas = Canvas()
    y = _lines(canvas, [view.step.name.replace("-", " ")], 0.0, _NAME, "bold")
    y = _lines(canvas, wrapped(wish(view.step), width, _WISH), y + 2, _WISH)
    if view.needs:
        told = "with " + ", ".join(f"{name} {state}" for name, state in view.needs)
        y = _lines(canvas, wrapped(told, width, _TEXT), y + 1, _TEXT, "pale")
    for caution in view.step.cautions:
        y = _caution(canvas, caution, y + 6, width)
    return canvas


def _caution(canvas: Canvas, caution: Caution, y: float, width: float) -> float:
    """The signal word on its panel (colours of ANSI Z535.4, from memory), and what it says."""
    word = caution.signal.value
    wide = width_of(word, _WISH, bold=True) + 14
    told = f"{caution.hazard}: {caution.avoid}"
    lines = wrapped(told, width - wide - 18, _TEXT)
    tall = max(24.0, len(lines) * _TEXT * _LINE + 8)
    canvas.rect(Box(0, y, width, tall), "box")
    canvas.rect(Box(0, y, wide, tall), f"signal-{word.lower()}")
    canvas.text(
        wide / 2, y + tall / 2 + _WISH * 0.36, word, _WISH, f"bold on-{_on(caution)}", "middle"
    )
    _lines(canvas, lines, y + 4, _TEXT, x=wide + 8)
    return y + tall


def _on(caution: Caution) -> str:
    return "dark" if caution.signal in {Signal.DANGER, Signal.NOTICE} else "light"


def leads_panel(held: Sequence[Held], width: float) -> Canvas:
    """Where each end of the instrument stands, and what the file tells of that place."""
    canvas = Canvas()
    y = 0.0
    ends: dict[str, list[str]] = {}
    for one in held:
        ends.setdefault(one.name, []).append(one.end)
    points = {one.name: one.point for one in held}
    for name, here in ends.items():
        said = f"{' and '.join(here)}: {name}"
        y = _lines(canvas, wrapped(said, width, _WISH * 1.1), y, _WISH, "bold")
        for told in _told(points[name]):
            y = _lines(canvas, wrapped(told, width, _TEXT), y, _TEXT, "pale")
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


def face_panel(face: Face, width: float) -> Canvas:
    """A connector from its front, its cavities in the order of their numbers."""
    canvas = Canvas()
    state = ", open" if face.is_open else ""
    y = _lines(canvas, wrapped(f"{face.connector}{state}", width, _WISH * 1.1), 0.0, _WISH, "bold")
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
    size = 12.0 if cavity.ends else _TEXT
    bold = "bold" if cavity.ends else "" if cavity.name else "pale"
    canvas.text(x, y + _CAVITY / 2 + size * 0.36, cavity.number, size, bold, "middle")
    if cavity.colour:
        canvas.text(
            x, y + _CAVITY + 12, cavity.colour, 10.0, "bold" if cavity.ends else "", "middle"
        )
    if cavity.ends:
        lead = {RED: "red", BLACK: "black"}.get(cavity.ends[0], "lamp")
        draw_tip(canvas, (x, y - 1), (0, -1), lead)
        canvas.text(x, y - 14, cavity.ends[0].removesuffix(" lead"), 10.0, "bold", "middle")


def _named(canvas: Canvas, cavities: Sequence[Cavity], y: float, width: float) -> Canvas:
    """Cavities without numbers, each with the name of its point."""
    top = y
    for cavity in cavities:
        style = "probed" if cavity.ends else "thin"
        canvas.rect(Box(8, y + 6, 16, 16), style, round_by=3)
        told = " ".join(filter(None, (cavity.name, cavity.colour)))
        ends = ", ".join(end.removesuffix(" lead") for end in cavity.ends)
        said = f"{told} ← {ends}" if ends else told
        canvas.text(32, y + 18, said, _TEXT, "bold" if ends else "")
        y += 24
    canvas.rect(Box(0, top, max(canvas.width + 16, 80), y - top + 4), "box", round_by=8)
    return canvas


def scale_panel(view: StepView, width: float) -> Canvas:
    """What the reading should be, what it is, and both on a bar where there are numbers."""
    canvas = Canvas()
    moment, y = view.moment, 0.0
    if view.limit:
        y = _lines(canvas, wrapped(unbroken(f"should be: {view.limit}"), width, _WISH), y, _WISH)
    if moment.reading:
        told = f"reads: {moment.reading}" + (f", {moment.verdict}" if moment.verdict else "")
        y = _lines(canvas, wrapped(unbroken(told), width, _WISH * 1.1), y, _WISH, "bold")
    if moment.scale is not None:
        _bar(canvas, moment.scale, moment.reading, y + 8, width)
    return canvas


def _bar(canvas: Canvas, scale: Scale, reading: str, y: float, width: float) -> None:
    start, end = scale.ends

    def at(value: Decimal) -> float:
        share = float((value - start) / (end - start))
        return min(1.0, max(0.0, share)) * width

    top = y + (12 if reading else 0)
    left = at(scale.low) if scale.low is not None else 0.0
    right = at(scale.high) if scale.high is not None else width
    canvas.rect(Box(0, top, width, _BAR), "box")
    canvas.rect(Box(left, top, max(right - left, 1.0), _BAR), "within")
    for value, text, anchor in (
        (scale.low, scale.low_text, "start"),
        (scale.high, scale.high_text, "end"),
    ):
        if value is not None:
            x = at(value)
            canvas.line((x, top - 3), (x, top + _BAR + 5), style="thick")
            canvas.text(x, top + _BAR + 16, text, 10.0, "bold", anchor)
    if not reading:
        return
    for value in scale.values or (end,):
        x = at(value)
        beyond = not scale.values or not start <= value <= end
        if beyond:  # an arrow that points off the bar
            out = 1 if x > width / 2 else -1
            tip = [(x, top - 7), (x - 11 * out, top - 12), (x - 11 * out, top - 2), (x, top - 7)]
        else:
            tip = [(x, top - 1), (x - 6, top - 12), (x + 6, top - 12), (x, top - 1)]
        canvas.line(*tip, style="tip-black")


def notes_panel(view: StepView, left_out: Sequence[str], width: float) -> Canvas:
    """What heavy lines mean, and what is not drawn."""
    canvas = Canvas()
    y = 0.0
    if view.look is not None and view.look.live:
        canvas.line((0, y + 6), (26, y + 6), style="live")
        told = f"live: within {LIVE_WITHIN:g} V of the supply in a good vehicle"
        y = _lines(canvas, wrapped(told, width - 34, _TEXT), y, _TEXT, "pale", x=34)
    if left_out:
        told = f"not drawn: {', '.join(left_out)}"
        y = _lines(canvas, wrapped(told, width, _TEXT, 3), y + 2, _TEXT, "pale")
    return canvas

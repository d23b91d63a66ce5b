"""The panel of a reading: what it should be and what it is, in words and on a bar."""

from decimal import Decimal

from voiceassist.draw.canvas import Box, Canvas, unbroken, wrapped
from voiceassist.draw.panel_text import BOLD, WISH, lines_down
from voiceassist.draw.step_view import StepView
from voiceassist.measure.scale import Scale

#: A limit's bar.
_BAR = 12.0


def scale_panel(view: StepView, width: float) -> Canvas:
    """What the reading should be, what it is, and both on a bar where there are numbers."""
    canvas = Canvas()
    moment, y = view.moment, 0.0
    if view.limit:
        y = lines_down(canvas, wrapped(unbroken(f"should be: {view.limit}"), width, WISH), y, WISH)
    if moment.reading:
        told = f"reads: {moment.reading}" + (f", {moment.verdict}" if moment.verdict else "")
        y = lines_down(canvas, wrapped(unbroken(told), width, BOLD), y, WISH, "bold")
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

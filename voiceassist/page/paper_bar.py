"""A bar on paper: the limit as a box, the doubt of the meter hatched, the reading as a mark."""

from decimal import Decimal

from reportlab.pdfgen.canvas import Canvas

from voiceassist.page.bar import Bar
from voiceassist.page.paper import BOX, INK, SOFT

#: Height of the box, and how far a mark reaches from the middle, in points.
_HIGH, _MARK = 7.0, 3.4
_HATCH = 2.2


def draw_bar(
    canvas: Canvas, bar: Bar, verdict: str, x: float, y: float, width: float, *, doubt: bool
) -> None:
    """Draw ``bar`` from ``x`` on, ``width`` points long, its middle at ``y``."""
    low = x if bar.low is None else _at(bar.low, x, width)
    high = x + width if bar.high is None else _at(bar.high, x, width)
    canvas.setStrokeColor(SOFT)
    canvas.setLineWidth(0.5)
    canvas.line(x, y, x + width, y)
    canvas.setFillColor(BOX)
    canvas.rect(low, y - _HIGH / 2, max(0.0, high - low), _HIGH, stroke=0, fill=1)
    if doubt:
        _doubt(canvas, bar, (low, high), x, y, width)
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(0.9)
    for end, place in ((bar.low, low), (bar.high, high)):
        if end is not None:
            canvas.line(place, y - _HIGH / 2 - 1, place, y + _HIGH / 2 + 1)
    _mark(canvas, bar, verdict, x, y, width)


def _at(share: Decimal, x: float, width: float) -> float:
    return x + float(share) * width


def _doubt(
    canvas: Canvas, bar: Bar, ends: tuple[float, float], x: float, y: float, width: float
) -> None:
    """Hatch from each end of the limit to its guard."""
    if bar.low is not None and bar.guard_low is not None:
        _hatched(canvas, ends[0], _at(bar.guard_low, x, width), y)
    if bar.high is not None and bar.guard_high is not None:
        _hatched(canvas, _at(bar.guard_high, x, width), ends[1], y)


def _hatched(canvas: Canvas, left: float, right: float, y: float) -> None:
    if right <= left:
        return
    canvas.saveState()
    clip = canvas.beginPath()
    clip.rect(left, y - _HIGH / 2, right - left, _HIGH)
    canvas.clipPath(clip, stroke=0, fill=0)
    canvas.setStrokeColor(SOFT)
    canvas.setLineWidth(0.6)
    at = left - _HIGH
    while at < right:
        canvas.line(at, y - _HIGH / 2, at + _HIGH, y + _HIGH / 2)
        at += _HATCH
    canvas.restoreState()


def _mark(canvas: Canvas, bar: Bar, verdict: str, x: float, y: float, width: float) -> None:
    """A dot passes, a triangle points where it is too far, a diamond cannot tell."""
    canvas.setFillColor(INK)
    place, end = _at(bar.value, x, width), _at(bar.until, x, width)
    if bar.beyond:
        tip, way = (x, 1) if bar.beyond == "left" else (x + width, -1)
        _shape(canvas, [(tip, y), (tip + way * 7, y + _MARK), (tip + way * 7, y - _MARK)])
        for gap in (9, 11):
            canvas.line(tip + way * gap - 1, y - _MARK, tip + way * gap + 1, y + _MARK)
    elif end > place:
        canvas.rect(place, y - 1.2, end - place, 2.4, stroke=0, fill=1)
    elif verdict == "pass":
        canvas.circle(place, y, 2.5, stroke=0, fill=1)
    elif verdict in {"low", "high"}:
        way = -1 if verdict == "low" else 1
        back = place - way * 2
        _shape(canvas, [(back + way * 5, y), (back, y + _MARK), (back, y - _MARK)])
    else:
        corners = [(place, y + _MARK), (place + _MARK, y), (place, y - _MARK), (place - _MARK, y)]
        _shape(canvas, corners)


def _shape(canvas: Canvas, corners: list[tuple[float, float]]) -> None:
    path = canvas.beginPath()
    path.moveTo(*corners[0])
    for corner in corners[1:]:
        path.lineTo(*corner)
    path.close()
    canvas.drawPath(path, stroke=0, fill=1)

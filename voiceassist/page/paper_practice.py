"""What a rehearsal came to, on paper."""

from collections.abc import Iterator, Sequence

from reportlab.lib.colors import Color

from voiceassist.page.paper import ACCENT, BOLD, LEFT, SOFT, Sheet
from voiceassist.page.practice import Practice, Tried

_SIZE, _NAME, _GAP, _STRIP = 8.4, 96.0, 4.0, 4.0
#: How dark the first, second and third cause of a strip are.
_DARK = (1.0, 0.6, 0.3)


def practised(sheet: Sheet, of: Practice) -> None:
    """Fault, mark, and what each test was worth."""
    for name, text in _facts(of):
        high = sheet.height_of(text, sheet.across - _NAME, _SIZE)
        sheet.need(high + _GAP)
        sheet.write(name, LEFT, sheet.y, _NAME, _SIZE, BOLD)
        sheet.y = sheet.write(text, LEFT + _NAME, sheet.y, sheet.across - _NAME, _SIZE) - _GAP
    if of.tried:
        sheet.need(40)
        sheet.y = sheet.write(
            "What each test was worth", LEFT, sheet.y - 9, sheet.across, 10.6, BOLD
        )
    for one in of.tried:
        _test(sheet, one)
    if of.tried:
        told = (
            "One bit halves what can still be wrong. The strip has the causes in the order they "
            "are named; what is left white is all others."
        )
        sheet.need(16)
        sheet.y = sheet.write(told, LEFT, sheet.y, sheet.across, 7.4, colour=SOFT)


def _facts(of: Practice) -> Iterator[tuple[str, str]]:
    yield "Fault", f"{of.fault}. {of.verdict}"
    yield "Mark", f"{of.points} of 100"
    if of.off:
        yield "Taken off", of.off
    yield "Took", of.took
    if of.quickest:
        yield "Shortest", of.quickest
    if of.condemned:
        yield "Good parts blamed", ", ".join(of.condemned)
    for slip in of.slips:
        yield "Slip", slip
    for misread in of.misread:
        yield "Misread", misread


def _test(sheet: Sheet, one: Tried) -> None:
    better = f"; {one.better} would have told more" if one.better else ""
    text = f"{one.shown}. It could tell {one.worth}{better}."
    then = "Likely then: " + ", ".join(one.likely)
    wide = sheet.across - _NAME
    high = sheet.height_of(text, wide, _SIZE) + sheet.height_of(then, wide, _SIZE) + _STRIP
    sheet.need(high + 2 * _GAP)
    sheet.write(one.what, LEFT, sheet.y, _NAME - _GAP, _SIZE, BOLD)
    sheet.y = sheet.write(text, LEFT + _NAME, sheet.y, wide, _SIZE)
    sheet.y = sheet.write(then, LEFT + _NAME, sheet.y, wide, _SIZE, colour=SOFT) - _STRIP - 2
    _strip(sheet, one.shares, wide)
    sheet.y -= 2 * _GAP


def _strip(sheet: Sheet, shares: Sequence[float], wide: float) -> None:
    """The causes in the order they are named, each darker than the next; all others are white."""
    left = LEFT + _NAME
    for share, dark in zip(shares, _DARK, strict=False):
        sheet.canvas.setFillColor(Color(*(1 - dark * (1 - part) for part in ACCENT.rgb())))
        sheet.canvas.rect(left, sheet.y, share * wide, _STRIP, stroke=0, fill=1)
        left += share * wide
    sheet.canvas.setStrokeColor(SOFT)
    sheet.canvas.setLineWidth(0.4)
    sheet.canvas.rect(LEFT + _NAME, sheet.y, wide, _STRIP, stroke=1, fill=0)

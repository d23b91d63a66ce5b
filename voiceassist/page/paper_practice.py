"""What a rehearsal came to, on paper."""

from collections.abc import Iterator

from voiceassist.page.paper import BOLD, LEFT, SOFT, Sheet
from voiceassist.page.practice import Practice, Tried

_SIZE, _NAME, _GAP = 8.4, 96.0, 4.0


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


def _facts(of: Practice) -> Iterator[tuple[str, str]]:
    yield "Fault", f"{of.fault}. {of.verdict}"
    yield "Mark", f"{of.points} of 100"
    if of.off:
        yield "Taken off", of.off
    yield "Took", of.took
    if of.quickest:
        yield "Shortest", of.quickest
    if of.condemned:
        yield "Good parts changed", ", ".join(of.condemned)
    for slip in of.slips:
        yield "Slip", slip


def _test(sheet: Sheet, one: Tried) -> None:
    better = f"; {one.better} would have told more" if one.better else ""
    text = f"{one.shown}. It could tell {one.worth}{better}."
    then = "Likely then: " + ", ".join(one.likely)
    wide = sheet.across - _NAME
    high = sheet.height_of(text, wide, _SIZE) + sheet.height_of(then, wide, _SIZE)
    sheet.need(high + _GAP)
    sheet.write(one.what, LEFT, sheet.y, _NAME - _GAP, _SIZE, BOLD)
    sheet.y = sheet.write(text, LEFT + _NAME, sheet.y, wide, _SIZE)
    sheet.y = sheet.write(then, LEFT + _NAME, sheet.y, wide, _SIZE, colour=SOFT) - _GAP

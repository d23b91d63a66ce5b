"""Several sessions on paper: an overview, and a trainee's sessions side by side."""

import itertools
from collections.abc import Sequence

from voiceassist.page.paper import ACCENT, BOLD, INK, LEFT, PLAIN, SOFT, Sheet
from voiceassist.page.several import MOST, Member, left_out, measures, overview, steps_over

#: Where the columns of the overview begin, and where the last one ends, as shares.
_COLUMNS = (0.0, 0.2, 0.46, 0.68, 1.0)
_GAP = 8.0
_SIZE = 8.6
#: Of the first column of a comparison, in points; of a bar in it.
_NAMES, _BAR = 118.0, 3.0


def heading(sheet: Sheet, kind: str, title: str) -> None:
    """What the page is, under a line."""
    sheet.rule(sheet.y, ACCENT, 3.5)
    y = sheet.write(kind, LEFT, sheet.y - 6, sheet.across, 9.2, BOLD, ACCENT)
    sheet.y = sheet.write(title, LEFT, y - 1, sheet.across, 16.5, BOLD) - 6


def overview_table(sheet: Sheet, members: Sequence[Member]) -> None:
    """When each session was, what it was about, how it ended, and the cause."""
    names = ("Begun", "Diagnosis", "Outcome", "Cause")
    xs = [LEFT + share * sheet.across for share in _COLUMNS]
    wides = [right - left - _GAP for left, right in itertools.pairwise(xs)]
    for x, name in zip(xs, names, strict=False):
        sheet.line(name, x, sheet.y - 7.5, 7.4, colour=SOFT)
    sheet.y -= 10.5
    sheet.rule(sheet.y, INK, 0.7)
    for cells in overview(members):
        _row(sheet, cells, xs, wides)


def _row(sheet: Sheet, cells: Sequence[str], xs: Sequence[float], wides: Sequence[float]) -> None:
    pairs = list(zip(cells, wides, strict=False))
    high = max(sheet.height_of(cell, wide, _SIZE) for cell, wide in pairs)
    sheet.need(high + 4)
    top = sheet.y - 1.6
    for x, (cell, wide) in zip(xs, pairs, strict=False):
        sheet.write(cell, x, top, wide, _SIZE)
    sheet.y = top - high - 1.6
    sheet.rule(sheet.y)


def comparison(sheet: Sheet, members: Sequence[Member]) -> None:
    """What is compared, a row each, and the time for each step."""
    shown = members[-MOST:]
    days = [one.report.summary.began[:10] for one in shown]
    _title(sheet, "Session by session", [*days, "Later"])
    for one in measures(shown):
        _compared(sheet, one.name, [*one.shown, one.trend], one.shares)
    legend = (
        "Bars: of the greatest value in the row. Later: the later half against the earlier one."
    )
    sheet.y = sheet.write(legend, LEFT, sheet.y - 3, sheet.across, 7.4, colour=SOFT)
    if legend := left_out(members):
        sheet.y = sheet.write(legend, LEFT, sheet.y - 2, sheet.across, 7.4, colour=SOFT)
    if steps := steps_over(shown):
        _title(sheet, "Time for each step", days)
        for step in steps:
            _compared(sheet, step.label, step.shown, ())


def _title(sheet: Sheet, text: str, columns: Sequence[str]) -> None:
    sheet.need(60)
    sheet.y = sheet.write(text, LEFT, sheet.y - 10, sheet.across, 10.6, BOLD) - 1
    for number, name in enumerate(columns):
        sheet.line(name, _at(sheet, number), sheet.y - 7.5, 7, colour=SOFT)
    sheet.y -= 10.5
    sheet.rule(sheet.y, INK, 0.7)


def _at(sheet: Sheet, column: int) -> float:
    return LEFT + _NAMES + column * _wide(sheet)


def _wide(sheet: Sheet) -> float:
    return (sheet.across - _NAMES) / (MOST + 1)


def _compared(sheet: Sheet, name: str, cells: Sequence[str], shares: Sequence[float]) -> None:
    wide = _wide(sheet) - 5
    high = max(
        sheet.height_of(name, _NAMES - 6, _SIZE),
        *(sheet.height_of(cell, wide, 8) for cell in cells),
    )
    high += _BAR + 2 if shares else 0
    sheet.need(high + 4)
    top = sheet.y - 1.6
    sheet.write(name, LEFT, top, _NAMES - 6, _SIZE, PLAIN)
    for number, cell in enumerate(cells):
        y = sheet.write(cell, _at(sheet, number), top, wide, 8)
        if number < len(shares):
            sheet.canvas.setFillColor(ACCENT)
            long = max(0.5, shares[number] * wide)
            sheet.canvas.rect(_at(sheet, number), y - _BAR - 1, long, _BAR, stroke=0, fill=1)
    sheet.y = top - high - 1.6
    sheet.rule(sheet.y)

"""The rehearsals of a class, on paper."""

import itertools

from voiceassist.page.classroom import Classroom, Grid, GridRow
from voiceassist.page.paper import ACCENT, BOLD, INK, LEFT, SOFT, Sheet

_SIZE, _GAP, _BAR = 8.2, 7.0, 3.0


def classroom(sheet: Sheet, of: Classroom) -> None:
    """Every table of the page."""
    sheet.y = sheet.write(of.told, LEFT, sheet.y - 2, sheet.across, 9.2)
    for table in of.tables():
        _table(sheet, table)
    told = (
        "Over: minutes beyond the shortest way that is sure and proved. Times are those of the "
        "work as the procedures tell them, not by the clock."
    )
    sheet.need(16)
    sheet.y = sheet.write(told, LEFT, sheet.y - 5, sheet.across, 7.4, colour=SOFT)


def _table(sheet: Sheet, table: Grid) -> None:
    sheet.need(56)
    sheet.y = sheet.write(table.title, LEFT, sheet.y - 9, sheet.across, 10.6, BOLD) - 1
    if not table.rows:
        sheet.y = sheet.write(table.none, LEFT, sheet.y - 1, sheet.across, _SIZE)
        return
    lefts = [LEFT + part * sheet.across for part in itertools.accumulate((0.0, *table.wide))]
    _head(sheet, table, lefts)
    for row in table.rows:
        high = max(map(sheet.height_of, row.cells, _wides(lefts), itertools.repeat(_SIZE)))
        high += _BAR + 1 if table.bars else 0
        if sheet.y - high - 4 < sheet.bottom:
            sheet.new_page()
            _head(sheet, table, lefts)
        _row(sheet, row, lefts, high, bar=table.bars)


def _wides(lefts: list[float]) -> list[float]:
    return [right - left - _GAP for left, right in itertools.pairwise(lefts)]


def _head(sheet: Sheet, table: Grid, lefts: list[float]) -> None:
    for left, name in zip(lefts, table.columns, strict=False):
        sheet.line(name, left, sheet.y - 7.5, 7.4, colour=SOFT)
    sheet.y -= 10.5
    sheet.rule(sheet.y, INK, 0.7)


def _row(sheet: Sheet, row: GridRow, lefts: list[float], high: float, *, bar: bool) -> None:
    top = sheet.y - 1.6
    y = top
    for left, wide, cell in zip(lefts, _wides(lefts), row.cells, strict=False):
        y = sheet.write(cell, left, top, wide, _SIZE)
    if bar:
        sheet.canvas.setFillColor(ACCENT)
        long = max(0.5, row.share * _wides(lefts)[-1])
        sheet.canvas.rect(lefts[len(row.cells) - 1], y - _BAR - 1, long, _BAR, stroke=0, fill=1)
    sheet.y = top - high - 1.6
    sheet.rule(sheet.y)

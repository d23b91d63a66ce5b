"""The first page on paper."""

from voiceassist.page import front
from voiceassist.page.enclosed import NOTHING, Enclosed
from voiceassist.page.paper import ACCENT, BOLD, INK, LEFT, PLAIN, SOFT, Sheet
from voiceassist.page.paper_bar import draw_bar
from voiceassist.page.paper_pictures import letterhead
from voiceassist.page.reader import Reader
from voiceassist.page.reading_rows import ReadingRow
from voiceassist.page.session_report import SessionReport

#: Where the columns of a table of readings begin, and where the last one ends, as shares.
_COLUMNS = (0.0, 0.43, 0.55, 0.72, 0.82, 1.0)
#: Between two columns, in points.
_GAP = 7.0
_MARGIN = 72.0
#: Height of the lines to sign on, in points; where each begins and ends, as shares.
_SIGN = 46.0
_LINES = (
    (0.0, 0.18, "Date"),
    (0.23, 0.6, "Signature of the customer"),
    (0.65, 1.0, "For the shop"),
)
#: What is higher, in points, stands in no column.
_HIGHEST = 100.0


def first_page(
    sheet: Sheet, report: SessionReport, reader: Reader, enclosed: Enclosed = NOTHING
) -> None:
    """Draw the page that tells all that matters."""
    if enclosed.letterhead is not None:
        letterhead(sheet, enclosed.letterhead)
    _head(sheet, report, reader, enclosed)
    if warning := report.checked.warning:
        sheet.y = sheet.write(warning, LEFT, sheet.y - 4, sheet.across, 10, BOLD, flow=True)
    _outcome(sheet, report)
    _three(sheet, report, reader)
    found = front.tables(report, reader, enclosed)
    for table in found:
        _table(sheet, table, reader)
    if found:
        key = front.key_to_bars(reader)
        sheet.y = sheet.write(key, LEFT, sheet.y - 3, sheet.across, 7.4, colour=SOFT)
    if reader is not Reader.CUSTOMER:
        _cautions(sheet, report)
    _foot(sheet, report, reader, enclosed)


def _head(sheet: Sheet, report: SessionReport, reader: Reader, enclosed: Enclosed) -> None:
    sheet.rule(sheet.y, ACCENT, 3.5)
    y = sheet.write(front.TITLES[reader], LEFT, sheet.y - 6, sheet.across, 9.2, BOLD, ACCENT)
    title = front.said(report.summary.title or report.summary.procedure or "Session", reader)
    sheet.y = sheet.write(title, LEFT, y - 1, sheet.across, 16.5, BOLD) - 4
    _pairs(sheet, tuple(front.facts(report, reader, enclosed)), 4, 9.4, BOLD)


def _pairs(
    sheet: Sheet, pairs: tuple[tuple[str, str], ...], columns: int, size: float, font: str
) -> None:
    """Names over values, side by side, between two rules; what is long stands alone."""
    sheet.rule(sheet.y)
    wide = sheet.across / columns
    short = [(n, v) for n, v in pairs if sheet.height_of(v, wide - _GAP, size, font) <= _HIGHEST]
    for i in range(0, len(short), columns):
        top, lowest = sheet.y - 3, sheet.y
        for place, (name, value) in enumerate(short[i : i + columns]):
            x = LEFT + place * wide
            y = sheet.write(name, x, top, wide - _GAP, 7.2, colour=SOFT)
            lowest = min(lowest, sheet.write(value or "—", x, y + 0.5, wide - _GAP, size, font))
        sheet.y = lowest - 1
    for name, value in (pair for pair in pairs if pair not in short):
        y = sheet.write(name, LEFT, sheet.y - 3, sheet.across, 7.2, colour=SOFT)
        sheet.y = sheet.write(value, LEFT, y + 0.5, sheet.across, size, font, flow=True) - 1
    sheet.y -= 2
    sheet.rule(sheet.y)


def _outcome(sheet: Sheet, report: SessionReport) -> None:
    word, size = front.proof_word(report), 10.0
    wide = sheet.measure(word, size, BOLD) + 14
    top = sheet.y - 8
    sheet.canvas.setStrokeColor(INK)
    sheet.canvas.setLineWidth(1.3)
    sheet.canvas.rect(LEFT, top - 16, wide, 16, stroke=1, fill=0)
    sheet.line(word, LEFT + 7, top - 11.4, size, BOLD)
    text = f"{report.outcome[:1].upper()}{report.outcome[1:]}."
    y = sheet.write(text, LEFT + wide + 10, top - 1.6, sheet.across - wide - 10, 11)
    sheet.y = min(y, top - 16) - 4


def _three(sheet: Sheet, report: SessionReport, reader: Reader) -> None:
    """Complaint, cause and correction, named in the margin; then what was left out."""
    for name, text in (
        ("Complaint", report.summary.complaint),
        (front.cause_name(report), report.cause),
        ("Correction", report.correction or "None recorded."),
    ):
        _named_in_margin(sheet, name, front.said(text, reader))
    wide = sheet.across - _MARGIN - 11
    for task in report.done if reader is not Reader.CUSTOMER else ():
        sheet.line("•", LEFT + _MARGIN + 2, sheet.y - 9, 9)
        sheet.y = sheet.write(task, LEFT + _MARGIN + 11, sheet.y, wide, 9, flow=True)
    if report.parts:
        _named_in_margin(sheet, "Parts", front.said("; ".join(report.parts), reader))
    if skipped := front.left_out(report, reader):
        _named_in_margin(sheet, "Left out", front.said(skipped, reader))
    for one in front.added_later(report, reader):
        _named_in_margin(sheet, front.ADDED, one)


def _named_in_margin(sheet: Sheet, name: str, text: str) -> None:
    wide = sheet.across - _MARGIN
    sheet.need(sheet.height_of(text, wide, 10.4) + 4)
    sheet.write(name, LEFT, sheet.y - 2, _MARGIN, 10.4, BOLD, ACCENT)
    sheet.y = sheet.write(text, LEFT + _MARGIN, sheet.y - 2, wide, 10.4, flow=True) - 1


def _table(sheet: Sheet, table: front.ReadingsTable, reader: Reader) -> None:
    sheet.need(60)
    sheet.y = sheet.write(table.heading, LEFT, sheet.y - 8, sheet.across, 10.6, BOLD) - 1
    should = "Should be" if reader is Reader.CUSTOMER else "Limit"
    for i, name in enumerate(("Measured", "Reading", should, front.verdict_heading(reader))):
        sheet.line(name, _x(sheet, i), sheet.y - 7.5, 7.4, colour=SOFT)
    sheet.y -= 10.5
    sheet.rule(sheet.y, INK, 0.7)
    for row in table.rows:
        _row(sheet, row, reader)
    if table.left_out:
        where = "in the record of the shop" if reader is Reader.CUSTOMER else "in the details"
        more = f"{table.left_out} more are {where}."
        sheet.y = sheet.write(more, LEFT, sheet.y - 2, sheet.across, 7.6, colour=SOFT)


def _x(sheet: Sheet, column: int) -> float:
    return LEFT + _COLUMNS[column] * sheet.across


def _row(sheet: Sheet, row: ReadingRow, reader: Reader) -> None:
    one = row.measured
    cells = (one.shown, one.limit or "—", front.verdict_word(row, reader) or "—")
    widths = [_x(sheet, i + 1) - _x(sheet, i) - _GAP for i in range(5)]
    high = max(
        [_named(sheet, row, widths[0], draw=False)]
        + [sheet.height_of(c, w, 9, BOLD) for c, w in zip(cells, widths[1:4], strict=True)]
    )
    sheet.need(high + 4)
    top = sheet.y - 1.6
    _named(sheet, row, widths[0], draw=True)
    for i, (cell, font) in enumerate(zip(cells, (BOLD, PLAIN, BOLD), strict=True)):
        sheet.write(cell, _x(sheet, i + 1), top, widths[i + 1], 9, font)
    if row.bar:
        doubt = reader is not Reader.CUSTOMER
        wide = widths[4] + _GAP
        draw_bar(sheet.canvas, row.bar, one.verdict, _x(sheet, 4), top - 6, wide, doubt=doubt)
    sheet.y = top - high - 1.6
    sheet.rule(sheet.y)


def _named(sheet: Sheet, row: ReadingRow, width: float, *, draw: bool) -> float:
    """The step's name with what was measured beside it, or below when both are long."""
    top = sheet.y - 1.6
    beside = sheet.measure(row.label, 9) + 5
    if row.what and beside + sheet.measure(row.what, 7.6) <= width:
        if draw:
            sheet.line(row.label, LEFT, top - 9, 9)
            sheet.line(row.what, LEFT + beside, top - 9, 7.6, colour=SOFT)
        return 9 * 1.24
    if draw:
        y = sheet.write(row.label, LEFT, top, width, 9)
        sheet.write(row.what, LEFT, y + 0.5, width, 7.6, colour=SOFT)
    below = sheet.height_of(row.what, width, 7.6) if row.what else 0.0
    return sheet.height_of(row.label, width, 9) + below


def _cautions(sheet: Sheet, report: SessionReport) -> None:
    sheet.need(40)
    heading = "Cautions acknowledged"
    sheet.y = sheet.write(heading, LEFT, sheet.y - 8, sheet.across, 10.6, BOLD) - 2
    found = list(front.caution_rows(report))
    if not found:
        sheet.y = sheet.write("None.", LEFT, sheet.y, sheet.across, 8.4, colour=SOFT)
    for signal, hazard, at in found:
        _caution(sheet, signal, hazard, at)


def _caution(sheet: Sheet, signal: str, hazard: str, at: str) -> None:
    wide = sheet.across - 60 - 62
    high = max(sheet.height_of(hazard, wide, 8.8), sheet.height_of(at, 60, 8))
    sheet.need(high + 4)
    top = sheet.y - 1.6
    if signal:
        long = sheet.measure(signal, 7.4, BOLD) + 7
        sheet.canvas.setStrokeColor(INK)
        sheet.canvas.setLineWidth(0.9)
        sheet.canvas.rect(LEFT + 0.5, top - 10.6, long, 10, stroke=1, fill=0)
        sheet.line(signal, LEFT + 4, top - 8.2, 7.4, BOLD)
    sheet.write(hazard, LEFT + 60, top, wide, 8.8)
    sheet.write(at, sheet.right - 58, top, 58, 8, colour=SOFT)
    sheet.y = top - high - 1.6
    sheet.rule(sheet.y)


def _foot(sheet: Sheet, report: SessionReport, reader: Reader, enclosed: Enclosed) -> None:
    pairs = tuple(front.small_print(report, reader, enclosed))
    signed = _SIGN if reader is Reader.CUSTOMER else 0.0
    sheet.need(36 + 20 * (len(pairs) // 4 + 1) + signed)
    sheet.y -= 7
    _pairs(sheet, pairs, 4, 8, PLAIN)
    if signed:
        _to_sign(sheet)
    sheet.y = sheet.write(report.notice, LEFT, sheet.y - 4, sheet.across, 7.6, colour=SOFT)
    tail = f"Last hash of the record (SHA-256): {report.last_hash}"
    sheet.y = sheet.write(tail, LEFT, sheet.y - 1, sheet.across, 7.6, colour=SOFT)


def _to_sign(sheet: Sheet) -> None:
    """Lines for a date and two signatures."""
    y = sheet.y - _SIGN + 14
    sheet.canvas.setStrokeColor(INK)
    sheet.canvas.setLineWidth(0.6)
    for begin, end, name in _LINES:
        x = LEFT + begin * sheet.across
        sheet.canvas.line(x, y, LEFT + end * sheet.across, y)
        sheet.line(name, x, y - 8.5, 7.2, colour=SOFT)
    sheet.y -= _SIGN

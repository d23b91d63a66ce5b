"""The later pages on paper: the session step by step, and what can be learnt from it."""

from collections.abc import Iterator, Sequence

from voiceassist.page import front
from voiceassist.page.items import Item
from voiceassist.page.lesson import Lesson, TalkPoint
from voiceassist.page.paper import ACCENT, BOLD, INK, LEFT, PLAIN, SOFT, TINT, Sheet
from voiceassist.page.paper_bar import draw_bar
from voiceassist.page.session_report import SessionReport
from voiceassist.page.times import clock, length
from voiceassist.page.visits import Visit

#: Where what happened is named, and where its words begin, in points from the left margin.
_NAME, _WORDS = 46.0, 106.0
_SIZE, _NOTE = 8.6, 7.6
_BAR = 150.0


def details(sheet: Sheet, report: SessionReport) -> None:
    """Everything that happened, a visit to a step at a time."""
    for number, visit in enumerate(report.visits):
        _visit(sheet, number, visit)
    sheet.need(60)
    sheet.y = sheet.write("The record", LEFT, sheet.y - 10, sheet.across, 10.6, BOLD)
    for text in (
        f"{front.chain_state(report)}.",
        f"Procedure {report.summary.procedure}, SHA-256 {report.summary.procedure_sha256}",
        f"Last hash of the record, SHA-256: {report.last_hash}",
    ):
        sheet.y = sheet.write(text, LEFT, sheet.y - 1, sheet.across, 8)


def _visit(sheet: Sheet, number: int, visit: Visit) -> None:
    sheet.need(52)
    sheet.y -= 8
    sheet.canvas.setFillColor(TINT)
    sheet.canvas.rect(LEFT, sheet.y - 15, sheet.across, 15, stroke=0, fill=1)
    count = f"{number}. " if visit.step else ""
    name = f"{count}{visit.label}{' (again)' if visit.again else ''}"
    side = f"{clock(visit.began)}, {length(visit.seconds)}"
    wide = sheet.measure(side, 8)
    short = sheet.folded(name, 9.6, sheet.across - wide - 20, BOLD)
    sheet.line(short[0] if short else "", LEFT + 5, sheet.y - 11, 9.6, BOLD)
    sheet.line(side, sheet.right - wide - 5, sheet.y - 11, 8, colour=SOFT)
    sheet.y -= 17
    for note in filter(None, (visit.what, visit.takes)):
        sheet.y = sheet.write(note, LEFT + 5, sheet.y, sheet.across - 5, _NOTE, colour=SOFT)
    for item in visit.items:
        _item(sheet, item, visit.step)


def _item(sheet: Sheet, item: Item, step: str) -> None:
    parts = list(_parts(item, step))
    wide = sheet.across - _WORDS
    high = sum(sheet.height_of(text, wide, size, font) for text, size, font in parts)
    row = item.row
    has_bar = row is not None and row.bar is not None
    sheet.need(high + (11 if has_bar else 0) + 3)
    top = sheet.y - 1.5
    sheet.line(clock(item.at), LEFT, top - _NOTE, _NOTE, colour=SOFT)
    sheet.write(item.what, LEFT + _NAME, top, _WORDS - _NAME - 4, _NOTE, colour=SOFT)
    y = top
    for text, size, font in parts:
        colour = SOFT if size == _NOTE else INK
        y = sheet.write(text, LEFT + _WORDS, y, wide, size, font, colour, flow=True)
    if row is not None and row.bar is not None:
        place = (LEFT + _WORDS, y - 5.5, _BAR)
        draw_bar(sheet.canvas, row.bar, row.measured.verdict, *place, doubt=True)
        y -= 11
    sheet.y = y - 1


def _parts(item: Item, step: str) -> Iterator[tuple[str, float, str]]:
    """Text, size and font of what an item tells, one below the other."""
    if item.row is None:
        yield item.text, _SIZE, PLAIN
    else:
        one = item.row.measured
        whose = f"{item.row.label}: " if one.step != step else ""
        verdict = f": {one.verdict}" if one.verdict else ""
        again = ", judged again" if one.rejudged else ""
        limit = f", limit {one.limit}" if one.limit else ""
        yield f"{whose}{item.text}{verdict}{again}{limit}", _SIZE, BOLD
        if one.remark and item.what != "Refused":
            yield f"does not count: {one.remark}", _NOTE, PLAIN
    if item.note:
        yield item.note, _NOTE, PLAIN


# --- the lesson ---


def learnt(sheet: Sheet, lesson: Lesson) -> None:
    """What stands out, and the time for each step."""
    for heading, marks in (
        ("Turns taken back", lesson.turns),
        ("Readings that did not count", lesson.refused),
        ("Help asked for", lesson.helped),
        ("Questions the assistant had to ask", lesson.questions),
        ("Steps skipped", lesson.skipped),
    ):
        _marks(sheet, heading, marks)
    _paces(sheet, lesson)


def _heading(sheet: Sheet, text: str) -> None:
    sheet.need(40)
    sheet.y = sheet.write(text, LEFT, sheet.y - 9, sheet.across, 10.6, BOLD) - 2


def _marks(sheet: Sheet, heading: str, marks: Sequence[TalkPoint]) -> None:
    _heading(sheet, heading)
    if not marks:
        sheet.y = sheet.write("None.", LEFT, sheet.y, sheet.across, 8.4, colour=SOFT)
    wide = sheet.across - _WORDS - 20
    for mark in marks:
        high = max(sheet.height_of(mark.text, wide, _SIZE), sheet.height_of(mark.step, 72, _SIZE))
        sheet.need(high + 3)
        sheet.line(clock(mark.at), LEFT, sheet.y - _SIZE, _NOTE, colour=SOFT)
        sheet.write(mark.step, LEFT + _NAME, sheet.y, 72, _SIZE)
        page, below = sheet.page, sheet.y - high
        end = sheet.write(mark.text, LEFT + _WORDS + 20, sheet.y, wide, _SIZE, flow=True)
        sheet.y = (below if sheet.page == page else end) - 2


def _paces(sheet: Sheet, lesson: Lesson) -> None:
    _heading(sheet, "Time for each step")
    median = f"The median step of this session took {length(lesson.median_s)}."
    sheet.y = sheet.write(median, LEFT, sheet.y, sheet.across, 8.4, colour=SOFT) - 2
    for pace in lesson.paces:
        high = sheet.height_of(pace.label, 130, _SIZE)
        sheet.need(high + 3)
        sheet.write(pace.label, LEFT, sheet.y, 130, _SIZE)
        again = f", {pace.visits} visits" if pace.visits > 1 else ""
        text = f"{length(pace.seconds)}, {pace.ratio:.1f} times the median{again}"
        sheet.line(text, LEFT + 136, sheet.y - _SIZE, _SIZE)
        sheet.canvas.setFillColor(ACCENT)
        wide = max(0.5, pace.share * (sheet.across - 330))
        sheet.canvas.rect(LEFT + 330, sheet.y - _SIZE, wide, 6, stroke=0, fill=1)
        sheet.y -= high + 2

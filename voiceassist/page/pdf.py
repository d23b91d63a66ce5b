"""A session's page as PDF, laid out like the HTML one."""

from collections.abc import Callable, Sequence
from dataclasses import replace

from voiceassist.page import front
from voiceassist.page.classroom import Classroom
from voiceassist.page.enclosed import NOTHING, Enclosed
from voiceassist.page.letters import BOLD, LACKING, Letters, registered
from voiceassist.page.paper import ACCENT, LEFT, Sheet
from voiceassist.page.paper_classroom import classroom
from voiceassist.page.paper_first import first_page
from voiceassist.page.paper_log import details, learnt
from voiceassist.page.paper_pictures import letterhead, pictures
from voiceassist.page.paper_practice import practised
from voiceassist.page.paper_several import comparison, heading, overview_table
from voiceassist.page.reader import Reader
from voiceassist.page.session_report import SessionReport
from voiceassist.page.several import Member


def pdf(
    report: SessionReport,
    reader: Reader = Reader.SHOP,
    paper: str = "a4",
    enclosed: Enclosed = NOTHING,
) -> bytes:
    """The file: for a customer the first page alone, for others the lesson or details too.

    Args:
        report: the session.
        reader: for whom.
        paper: "a4" or "letter".
        enclosed: the shop, the meter, pictures.
    """
    order = report.summary.fact("repair order")
    title = front.TITLES[reader] + (f", repair order {order}" if order else "")

    def draw(sheet: Sheet) -> None:
        _session(sheet, Member("", report, enclosed), reader)

    return _drawn(paper, title, draw)


def order_pdf(members: Sequence[Member], reader: Reader = Reader.SHOP, paper: str = "a4") -> bytes:
    """One file for several sessions, those of a repair order: an overview, then one by one."""
    order = members[0].report.summary.fact("repair order") or "without a number"
    title = f"{front.SEVERAL[reader]}, repair order {order}"

    def draw(sheet: Sheet) -> None:
        if members[0].enclosed.letterhead is not None:
            letterhead(sheet, members[0].enclosed.letterhead)
        heading(sheet, front.SEVERAL[reader], f"Repair order {order}")
        overview_table(sheet, members)
        for one in members:
            sheet.new_page()
            _session(sheet, replace(one, enclosed=replace(one.enclosed, letterhead=None)), reader)

    return _drawn(paper, title, draw)


def trainee_pdf(members: Sequence[Member], name: str, paper: str = "a4") -> bytes:
    """An instructor's page that compares sessions of a trainee."""

    def draw(sheet: Sheet) -> None:
        heading(sheet, "Sessions of a trainee", name)
        overview_table(sheet, members)
        comparison(sheet, members)

    return _drawn(paper, f"Sessions of a trainee: {name}", draw)


def class_pdf(of: Classroom, paper: str = "a4") -> bytes:
    """An instructor's page over the rehearsals of a class."""
    title = "Rehearsals of a class"

    def draw(sheet: Sheet) -> None:
        heading(sheet, title, of.name or "Every rehearsal")
        classroom(sheet, of)

    return _drawn(paper, f"{title}: {of.name}" if of.name else title, draw)


def _drawn(paper: str, title: str, draw: Callable[[Sheet], None]) -> bytes:
    """Draw it, and again with more fonts when signs were lacking."""
    sheet = Sheet(paper, title, title, Letters())
    draw(sheet)
    if behind := _behind(sheet.letters.lacking):
        sheet = Sheet(paper, title, title, Letters(behind))
        draw(sheet)
    _own_up(sheet)
    return sheet.finished()


def _behind(signs: set[str]) -> list[tuple[str, frozenset[int]]]:
    """Fonts for ``signs``, registered; none where no font has one of them."""
    if not signs:
        return []
    from voiceassist.page.scripts import fonts_for, name_of

    fonts = {name_of(font): font for font in fonts_for(frozenset(signs))}
    return [(name, registered(name, font)) for name, font in fonts.items()]


def _session(sheet: Sheet, one: Member, reader: Reader) -> None:
    """The pages of one session."""
    report = one.report
    first_page(sheet, report, reader, one.enclosed)
    pictures(sheet, one.enclosed)
    if reader is not Reader.CUSTOMER:
        if report.practice is not None:
            _later(sheet, "Rehearsal")
            practised(sheet, report.practice)
        if reader is Reader.INSTRUCTOR or report.teaching:
            _later(sheet, "What can be learnt")
            learnt(sheet, report.lesson)
        _later(sheet, "The whole session, step by step")
        details(sheet, report)


def _later(sheet: Sheet, heading: str) -> None:
    sheet.new_page()
    sheet.rule(sheet.y, ACCENT, 3.5)
    sheet.y = sheet.write(heading, LEFT, sheet.y - 7, sheet.across, 15, BOLD) - 4


def _own_up(sheet: Sheet) -> None:
    """Say which characters these fonts could not show."""
    lacking = sheet.letters.lacking
    if lacking:
        codes = ", ".join(f"U+{ord(c):04X}" for c in sorted(lacking)[:12])
        more = len(lacking) - 12
        sentence = f"Signs that this font lacks are shown as {LACKING}: {codes}"
        sentence += f" and {more} more" if more > 0 else ""
        sheet.need(12)
        sheet.y = sheet.write(
            f"{sentence}. The HTML page has them.", LEFT, sheet.y - 6, sheet.across, 7.5
        )

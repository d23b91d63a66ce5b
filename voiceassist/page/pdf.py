"""A session's page as PDF, laid out like the HTML one."""

from voiceassist.page import front
from voiceassist.page.account import Account, Reader
from voiceassist.page.paper import ACCENT, BOLD, LEFT, Sheet
from voiceassist.page.paper_first import first_page
from voiceassist.page.paper_log import details, learnt


def pdf(told: Account, reader: Reader = Reader.SHOP, paper: str = "a4") -> bytes:
    """The file: for a customer the first page alone, for others the lesson or details too.

    Args:
        told: the session.
        reader: for whom.
        paper: "a4" or "letter".
    """
    order = told.told.fact("repair order")
    title = front.TITLES[reader] + (f", repair order {order}" if order else "")
    sheet = Sheet(paper, title, title)
    first_page(sheet, told, reader)
    if reader is not Reader.CUSTOMER:
        if reader is Reader.INSTRUCTOR or told.teaching:
            _later(sheet, "What can be learnt")
            learnt(sheet, told.lesson)
        _later(sheet, "The whole session, step by step")
        details(sheet, told)
    _own_up(sheet)
    return sheet.finished()


def _later(sheet: Sheet, heading: str) -> None:
    sheet.new_page()
    sheet.rule(sheet.y, ACCENT, 3.5)
    sheet.y = sheet.write(heading, LEFT, sheet.y - 7, sheet.across, 15, BOLD) - 4


def _own_up(sheet: Sheet) -> None:
    """Say which characters this font could not show."""
    if sheet.lacking:
        codes = ", ".join(f"U+{ord(c):04X}" for c in sorted(sheet.lacking)[:12])
        more = len(sheet.lacking) - 12
        told = f"Signs that this font lacks are shown as a mark: {codes}"
        told += f" and {more} more" if more > 0 else ""
        sheet.need(12)
        sheet.y = sheet.write(
            f"{told}. The HTML page has them.", LEFT, sheet.y - 6, sheet.across, 7.5
        )

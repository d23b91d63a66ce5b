"""A session's page as PDF, laid out like the HTML one."""

from voiceassist.page import front
from voiceassist.page.account import Account, Reader
from voiceassist.page.enclosed import NOTHING, Enclosed
from voiceassist.page.letters import BOLD, Letters, registered
from voiceassist.page.paper import ACCENT, LEFT, Sheet
from voiceassist.page.paper_first import first_page
from voiceassist.page.paper_log import details, learnt
from voiceassist.page.paper_pictures import pictures


def pdf(
    told: Account,
    reader: Reader = Reader.SHOP,
    paper: str = "a4",
    enclosed: Enclosed = NOTHING,
) -> bytes:
    """The file: for a customer the first page alone, for others the lesson or details too.

    Args:
        told: the session.
        reader: for whom.
        paper: "a4" or "letter".
        enclosed: the shop, the meter, pictures.
    """
    sheet = _laid_out(told, reader, paper, enclosed, Letters())
    if behind := _behind(sheet.letters.lacking):
        sheet = _laid_out(told, reader, paper, enclosed, Letters(behind))
    _own_up(sheet)
    return sheet.finished()


def _behind(signs: set[str]) -> list[tuple[str, frozenset[int]]]:
    """Fonts for ``signs``, registered; none where no font has one of them."""
    if not signs:
        return []
    from voiceassist.page.scripts import fonts_for, name_of

    fonts = {name_of(font): font for font in fonts_for(frozenset(signs))}
    return [(name, registered(name, font)) for name, font in fonts.items()]


def _laid_out(
    told: Account, reader: Reader, paper: str, enclosed: Enclosed, letters: Letters
) -> Sheet:
    order = told.told.fact("repair order")
    title = front.TITLES[reader] + (f", repair order {order}" if order else "")
    sheet = Sheet(paper, title, title, letters)
    first_page(sheet, told, reader, enclosed)
    pictures(sheet, enclosed)
    if reader is not Reader.CUSTOMER:
        if reader is Reader.INSTRUCTOR or told.teaching:
            _later(sheet, "What can be learnt")
            learnt(sheet, told.lesson)
        _later(sheet, "The whole session, step by step")
        details(sheet, told)
    return sheet


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
        told = f"Signs that this font lacks are shown as a mark: {codes}"
        told += f" and {more} more" if more > 0 else ""
        sheet.need(12)
        sheet.y = sheet.write(
            f"{told}. The HTML page has them.", LEFT, sheet.y - 6, sheet.across, 7.5
        )

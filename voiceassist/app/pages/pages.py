"""The pages of a kept session: for the shop, the customer or an instructor, HTML or PDF."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import groupby
from pathlib import Path

from voiceassist.app.pages.enclosing import Shop, enclosed
from voiceassist.app.pages.failed_steps import failed_steps
from voiceassist.app.pages.session_folder import KeptSession, procedure_of, words_of
from voiceassist.errors import RecordError
from voiceassist.page.checked import UNCHECKED, Checked
from voiceassist.page.reader import Reader, Takes
from voiceassist.page.session_report import session_report
from voiceassist.page.several import Member
from voiceassist.record.entry import Entry
from voiceassist.record.folder import SessionFolder
from voiceassist.record.read_session import ReadSession

READERS = tuple(reader.value for reader in Reader)
HTML, PDF = "html", "pdf"
FORMS = (HTML, PDF)
PAPERS = ("a4", "letter")


@dataclass(frozen=True, slots=True)
class PageRequest:
    """What page is wanted.

    Parts:
        reader: one of ``READERS``.
        form: one of ``FORMS``.
        paper: one of ``PAPERS``; for PDF only.
        shop: what stands at the top, and what a customer may read.
    """

    reader: str = Reader.SHOP
    form: str = HTML
    paper: str = PAPERS[0]
    shop: Shop = field(default_factory=Shop)


#: All of it, for a screen or any paper.
SHOP_PAGE = PageRequest()


def page(
    folder: SessionFolder,
    entries: Sequence[Entry],
    request: PageRequest = SHOP_PAGE,
    checked: Checked = UNCHECKED,
) -> bytes:
    """The page of a session as the content of a file.

    Args:
        folder: holds the procedure it followed.
        entries: the journal's good lines; there may be none.
        request: what page is wanted.
        checked: what looking through the session gave.

    Raises:
        RecordError: the journal has no good line.
    """
    if not entries:
        raise RecordError(
            "its journal has no good line",
            place=str(folder.journal),
            remedy="see: voiceassist records verify",
        )
    read = ReadSession(entry.typed for entry in entries)
    one = member(folder, read, request.shop, checked)
    if request.form == HTML:
        from voiceassist.page.html import html

        chart = "" if request.reader == Reader.CUSTOMER else _way_taken(folder, read)
        is_lesson = request.reader == Reader.INSTRUCTOR or (chart and one.report.teaching)
        steps = failed_steps(procedure_of(folder), read) if is_lesson else ()
        page = html(one.report, Reader(request.reader), chart, one.enclosed, steps)
        return page.encode("utf-8")
    from voiceassist.page.pdf import pdf

    return pdf(one.report, Reader(request.reader), request.paper, one.enclosed)


def member(folder: SessionFolder, read: ReadSession, shop: Shop, checked: Checked) -> Member:
    """What a page tells of a session, and what it encloses."""
    words = words_of(folder)
    report = session_report(read, words.steps, checked, Takes(words.takes, words.parts))
    return Member(folder.id, report, enclosed(folder, read, shop, words.facts))


def checked(kept: KeptSession) -> Checked:
    """What a page tells of the look through ``kept``."""
    return Checked(kept.fault_text, kept.problems, kept.held_by, kept.doubted)


def _way_taken(folder: SessionFolder, read: ReadSession) -> str:
    """The procedure's flow chart with the session's way in bold, as SVG; empty without one."""
    from voiceassist.draw.flow import draw_flow

    procedure = procedure_of(folder)
    if procedure is None or read.is_free:
        return ""
    known = {*procedure.steps, *procedure.findings}
    places = (place for place in read.places if place in known)
    return draw_flow(procedure, [place for place, _ in groupby(places)])


def form_of(asked: str, out: str, forms: Sequence[str] = FORMS, usual: str = HTML) -> str:
    """The one of ``forms`` that is asked for, or that the file's name ends with; else the usual.

    Raises:
        RecordError: there is no such form.
    """
    ending = Path(out).suffix.removeprefix(".").lower()
    return chosen("--as", asked or (ending if ending in forms else usual), forms)


def chosen(option: str, asked: str, known: Sequence[str]) -> str:
    """``asked``, when it is among ``known``.

    Raises:
        RecordError: it is not.
    """
    if asked.lower() not in known:
        raise RecordError(
            f"{asked!r} is not known here", place=option, remedy=f"use {', '.join(known)}"
        )
    return asked.lower()

"""The rehearsals of a class on one page, or as a table."""

import csv
import io
from collections.abc import Sequence

from voiceassist.app.pages.pages import HTML, PDF, PageRequest
from voiceassist.app.pages.session_folder import KeptSession
from voiceassist.app.records.export import cell
from voiceassist.app.records.opened import Records, Wanted
from voiceassist.app.records.several import kept
from voiceassist.errors import RecordError
from voiceassist.page.attempt import COLUMNS, NOT_SAID, Attempt
from voiceassist.page.classroom import Classroom
from voiceassist.page.times import day_and_minute
from voiceassist.record.lines import MarkGiven, of_kind
from voiceassist.record.webvtt import one_line

CSV = "csv"
#: What it can be made as.
FORMS = (HTML, PDF, CSV)


def of_class(records: Records, wanted: Wanted) -> list[KeptSession]:
    """The rehearsals that fit, have a mark and lie here, the oldest first.

    Raises:
        RecordError: there is none, or a journal cannot be read.
    """
    found = [one for one in kept(records, wanted) if _mark(one) is not None]
    if not found:
        raise RecordError(
            "no rehearsal with a mark is kept here, or none fits",
            place=str(records.folder),
            remedy="rehearse first: voiceassist rehearse PROCEDURE --set technician=NAME",
        )
    return found


def class_page(found: Sequence[KeptSession], name: str, form: str, request: PageRequest) -> bytes:
    """The page as the content of a file.

    Args:
        found: at least one rehearsal with a mark.
        name: of the class; empty for none.
        form: one of ``FORMS``.
        request: tells the paper of a PDF.
    """
    whole = Classroom(name, tuple(_attempt(one) for one in found))
    if form == CSV:
        return _csv(whole).encode("utf-8")
    if form == HTML:
        from voiceassist.page.html import class_html

        return class_html(whole).encode("utf-8")
    from voiceassist.page.pdf import class_pdf

    return class_pdf(whole, request.paper)


def _mark(one: KeptSession) -> MarkGiven | None:
    marks = list(of_kind(one.read.lines, MarkGiven))
    return marks[-1] if marks else None


def _attempt(one: KeptSession) -> Attempt:
    mark, told = _mark(one), one.summary
    assert mark is not None
    return Attempt(
        session=one.folder.id,
        began=day_and_minute(told.began),
        who=told.fact("technician") or NOT_SAID,
        procedure=told.procedure,
        title=told.title,
        mark=mark,
    )


def _csv(of: Classroom) -> str:
    """One rehearsal a row, as RFC 4180 has it; no cell is a formula."""
    content = io.StringIO(newline="")
    table = csv.writer(content, dialect="excel")
    table.writerow(COLUMNS)
    for one in of.attempts:
        table.writerow([cell(one_line(str(tell(one)))) for tell in COLUMNS.values()])
    return content.getvalue()

"""The pages of a kept session: for the shop, the customer or an instructor, HTML or PDF."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

from voiceassist.errors import ProcedureError, RecordError
from voiceassist.page.account import Account, Reader, account
from voiceassist.procedure.model import Kind, Procedure, Step
from voiceassist.procedure.read import read_procedure
from voiceassist.record import disk
from voiceassist.record.chain import Entry
from voiceassist.record.folder import PROCEDURE, SessionFolder

READERS = tuple(reader.value for reader in Reader)
HTML, PDF = "html", "pdf"
FORMS = (HTML, PDF)
PAPERS = ("a4", "letter")


@dataclass(frozen=True, slots=True)
class Wish:
    """What page is wanted.

    Parts:
        reader: one of ``READERS``.
        form: one of ``FORMS``.
        paper: one of ``PAPERS``; for PDF only.
    """

    reader: str = Reader.SHOP
    form: str = HTML
    paper: str = PAPERS[0]


#: All of it, for a screen or any paper.
SHOP_PAGE = Wish()


def page(
    folder: SessionFolder, entries: Sequence[Entry], wish: Wish = SHOP_PAGE, fault: str = ""
) -> bytes:
    """The page of a session as the content of a file.

    Args:
        folder, entries, fault: as for ``told_of``; there may be no good line.
        wish: what page is wanted.

    Raises:
        RecordError: the journal has no good line.
    """
    if not entries:
        raise RecordError(
            "its journal has no good line",
            place=str(folder.journal),
            remedy="see: voiceassist records verify",
        )
    told = told_of(folder, entries, fault)
    if wish.form == HTML:
        from voiceassist.page.html import html

        chart = "" if wish.reader == Reader.CUSTOMER else _way_taken(folder, entries)
        return html(told, Reader(wish.reader), chart).encode("utf-8")
    from voiceassist.page.pdf import pdf

    return pdf(told, Reader(wish.reader), wish.paper)


def told_of(folder: SessionFolder, entries: Sequence[Entry], fault: str = "") -> Account:
    """What the pages of a session tell.

    Args:
        folder: holds the procedure it followed.
        entries: the journal's good lines, one at least.
        fault: what is wrong with the journal behind them; empty when nothing is.
    """
    return account([entry.fields for entry in entries], steps_of(folder), fault)


def steps_of(folder: SessionFolder) -> Mapping[str, str]:
    """Step to what is done there, as the procedure in the folder has it; none if it cannot be
    read any more."""
    procedure = _procedure(folder)
    if procedure is None:
        return {}
    steps = {**procedure.steps, **procedure.repairs}
    return {name: _about(step) for name, step in steps.items()}


def _procedure(folder: SessionFolder) -> Procedure | None:
    try:
        return read_procedure(
            folder.read(PROCEDURE), PROCEDURE, lambda name: folder.read(f"used-{name}.yaml")
        )
    except (RecordError, ProcedureError, ValueError):
        return None


def _way_taken(folder: SessionFolder, entries: Sequence[Entry]) -> str:
    """The procedure's flow chart with the session's way in bold, as SVG; empty without one."""
    from voiceassist.draw.flow import draw_flow

    procedure = _procedure(folder)
    if procedure is None:
        return ""
    places = {*procedure.steps, *procedure.findings}
    lines = [entry.fields for entry in entries]
    names = [str(line.get("name" if line.get("event") == "finding" else "step")) for line in lines]
    return draw_flow(procedure, [name for name, _ in groupby(n for n in names if n in places)])


def _about(step: Step) -> str:
    """What a step is about; the text of a lamp step alone does not tell of the lamp."""
    return f"test lamp {step.text}" if step.kind is Kind.LAMP else step.text


def form_of(asked: str, out: str) -> str:
    """The form that is asked for, or that the ending of the file's name tells; else HTML.

    Raises:
        RecordError: there is no such form.
    """
    ending = Path(out).suffix.removeprefix(".").lower()
    return chosen("--as", asked or (ending if ending in FORMS else HTML), FORMS)


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


def write(content: bytes, out: Path) -> None:
    """Write a page to a new file, for its owner alone.

    Raises:
        RecordError: the file is there already, or the disk refuses it.
    """
    if out.exists():
        raise RecordError("there is a file already", place=str(out), remedy="give another --out")
    try:
        disk.write_whole(out, content)
    except OSError as error:
        raise RecordError(
            f"it cannot be written: {disk.reason(error)}",
            place=str(out),
            remedy="give another --out",
        ) from None

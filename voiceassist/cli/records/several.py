"""``voiceassist records order`` and ``trainee``: one page for several sessions."""

import sys
from pathlib import Path
from typing import Annotated

import typer

from voiceassist.cli.options import Json, Records
from voiceassist.cli.records.asking import Procedure, Since, Until, first_moment, last_moment
from voiceassist.cli.records.common import Archive, as_json, told
from voiceassist.errors import RecordError

Form = Annotated[
    str, typer.Option("--as", help="html or pdf. Default: as the ending of --out, else html.")
]
Out = Annotated[str, typer.Option(help="A new file. Default: standard output.")]
Paper = Annotated[str, typer.Option(help="Of a PDF: a4 or letter.")]


def order(
    number: Annotated[str, typer.Argument(metavar="ORDER", help="A repair order.")],
    reader: Annotated[str, typer.Option("--for", help="shop, customer or instructor.")] = "shop",
    form: Form = "",
    out: Out = "",
    paper: Paper = "a4",
    records: Records = "",
    archive: Archive = "",
    json: Json = False,
) -> None:
    """One page for all sessions of a repair order. Exit 1 when a journal was altered."""
    from voiceassist.app.pages import pages
    from voiceassist.app.pages.enclosing import shop_of
    from voiceassist.app.records.opened import opened
    from voiceassist.app.records.several import of_order, order_page
    from voiceassist.app.settings.chosen import settings_for

    request = pages.PageRequest(
        pages.chosen("--for", reader, pages.READERS),
        _form(form, out, json=json),
        pages.chosen("--paper", paper, pages.PAPERS),
        shop_of(settings_for(records, archive)),
    )
    with opened(records, archive) as there:
        found = of_order(there, number)
    _hand_out(order_page(found, request), out, len(found), json=json)
    raise typer.Exit(_faults([(kept.folder.id, kept.fault_text) for kept in found]))


def trainee(
    name: Annotated[str, typer.Argument(metavar="NAME", help="The technician's name.")],
    procedure: Procedure = "",
    since: Since = "",
    until: Until = "",
    form: Form = "",
    out: Out = "",
    paper: Paper = "a4",
    records: Records = "",
    archive: Archive = "",
    json: Json = False,
) -> None:
    """An instructor's page that compares the sessions of a trainee, the oldest first.

    Exit 1 when a journal was altered.
    """
    from voiceassist.app.pages import pages
    from voiceassist.app.records.opened import Wanted, opened
    from voiceassist.app.records.several import of_trainee, trainee_page

    size = pages.chosen("--paper", paper, pages.PAPERS)
    request = pages.PageRequest("instructor", _form(form, out, json=json), size)
    wanted = Wanted(
        technician=name,
        procedure=procedure,
        since=first_moment(since),
        until=last_moment(until),
    )
    with opened(records, archive) as there:
        found = of_trainee(there, name, wanted)
    _hand_out(trainee_page(found, name, request), out, len(found), json=json)
    raise typer.Exit(_faults([(kept.folder.id, kept.fault_text) for kept in found]))


def _form(form: str, out: str, *, json: bool) -> str:
    from voiceassist.app.pages import pages

    wanted = pages.form_of(form, out)
    if not out and (json or (wanted == pages.PDF and sys.stdout.isatty())):
        why = "--json tells of a file" if json else "a PDF is not for a screen"
        raise RecordError(why, place="--out", remedy="name a file")
    return wanted


def _hand_out(content: bytes, out: str, sessions: int, *, json: bool) -> None:
    from voiceassist.app.new_file import write_new

    if not out:
        sys.stdout.buffer.write(content)
        sys.stdout.flush()
        return
    write_new(Path(out), content)
    counted = "1 session is" if sessions == 1 else f"{sessions} sessions are"
    about = {"sessions": sessions, "file": str(Path(out).resolve())}
    as_json(about) if json else typer.echo(f"{counted} in {out}")


def _faults(found: list[tuple[str, str]]) -> int:
    """Tell which journals were altered; the exit code."""
    bad = [(name, fault) for name, fault in found if fault]
    for name, fault in bad:
        told(f"{name}: {fault}; the page tells only what is before that")
    return 1 if bad else 0

"""``voiceassist records report``."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from voiceassist.cli.options import Json, Records
from voiceassist.cli.records.common import Archive, Session, as_json, told

if TYPE_CHECKING:
    from voiceassist.app.kept import KeptSession


def report(
    session: Session = "last",
    reader: Annotated[
        str, typer.Option("--for", help="shop (all of it), customer (one page), instructor.")
    ] = "shop",
    form: Annotated[
        str, typer.Option("--as", help="html or pdf. Default: as the ending of --out, else html.")
    ] = "",
    out: Annotated[str, typer.Option(help="A new file. Default: standard output.")] = "",
    paper: Annotated[str, typer.Option(help="Of a PDF: a4 or letter.")] = "a4",
    records: Records = "",
    archive: Archive = "",
    json: Json = False,
) -> None:
    """Make a page to hand out. Exit 1 when the journal was altered: the page says so."""
    from voiceassist.app import reports
    from voiceassist.app.enclosing import shop_of
    from voiceassist.app.kept import settings_for
    from voiceassist.app.new_file import write_new
    from voiceassist.errors import RecordError

    wanted = reports.form_of(form, out)
    for_whom = reports.chosen("--for", reader, reports.READERS)
    size = reports.chosen("--paper", paper, reports.PAPERS)
    wish = reports.Wish(for_whom, wanted, size, shop_of(settings_for(records, archive)))
    if not out and (json or (wanted == reports.PDF and sys.stdout.isatty())):
        why = "--json tells of a file" if json else "a PDF is not for a screen"
        raise RecordError(why, place="--out", remedy="name a file")
    found = _session(session, records, archive)
    content = reports.page(found.folder, found.entries, wish, found.fault_text)
    if out:
        write_new(Path(out), content)
        about = {"session": found.folder.id, "for": for_whom, "form": wanted}
        about["file"] = str(Path(out).resolve())
        as_json(about) if json else typer.echo(f"{found.folder.id} is in {out}")
    else:
        sys.stdout.buffer.write(content)
        sys.stdout.flush()
    if found.fault:
        told(f"{found.folder.id}: {found.fault_text}; the page tells only what is before that")
    raise typer.Exit(1 if found.fault else 0)


def _session(name: str, records: str, archive: str) -> "KeptSession":
    """The session called ``name``; the archive takes time, and is asked only where it must be."""
    from voiceassist.app import kept

    outright = kept.named_outright(kept.records_folder(kept.settings_for(records, archive)), name)
    if outright is not None:
        return kept.kept_session(outright)
    from voiceassist.app.records import opened
    from voiceassist.app.records_session import load

    with opened(records, archive) as there:
        return load(there, name)

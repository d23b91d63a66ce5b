"""``voiceassist records report``."""

import sys
from pathlib import Path
from typing import Annotated

import typer

from voiceassist.cli.options import Json, Records
from voiceassist.cli.records.common import Archive, Session, as_json, told


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
    from voiceassist.app.records import opened
    from voiceassist.app.records_session import fault_text, load
    from voiceassist.errors import RecordError

    wanted = reports.form_of(form, out)
    for_whom = reports.chosen("--for", reader, reports.READERS)
    wish = reports.Wish(for_whom, wanted, reports.chosen("--paper", paper, reports.PAPERS))
    if not out and (json or (wanted == reports.PDF and sys.stdout.isatty())):
        why = "--json tells of a file" if json else "a PDF is not for a screen"
        raise RecordError(why, place="--out", remedy="name a file")
    with opened(records, archive) as there:
        kept = load(there, session)
        content = reports.page(kept.folder, kept.entries, wish, fault_text(kept))
    if out:
        reports.write(content, Path(out))
        about = {"session": kept.folder.id, "for": for_whom, "form": wanted}
        about["file"] = str(Path(out).resolve())
        as_json(about) if json else typer.echo(f"{kept.folder.id} is in {out}")
    else:
        sys.stdout.buffer.write(content)
        sys.stdout.flush()
    if kept.fault:
        told(f"{kept.folder.id}: {fault_text(kept)}; the page tells only what is before that")
    raise typer.Exit(1 if kept.fault else 0)

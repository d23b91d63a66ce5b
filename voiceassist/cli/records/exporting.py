"""``voiceassist records export``."""

import sys
from pathlib import Path
from typing import Annotated

import typer

from voiceassist.cli.options import Json, Records
from voiceassist.cli.records.common import Archive, Session, as_json, told


def export(
    session: Session = "last",
    form: Annotated[
        str,
        typer.Option(
            "--as",
            help="json, csv (readings), vtt or txt (transcript), zip (all, sound too)."
            " Default: as the ending of --out tells, else json.",
        ),
    ] = "",
    out: Annotated[str, typer.Option(help="A new file. Default: standard output.")] = "",
    records: Records = "",
    archive: Archive = "",
    json: Json = False,
) -> None:
    """Write a session out. Exit 1 when its journal was altered: only what is whole is written."""
    from voiceassist.app.records import opened
    from voiceassist.app.records_checked import load
    from voiceassist.app.records_export import TEXTS, ZIP, form_of, write
    from voiceassist.errors import RecordError

    wanted = form_of(form, out)
    if not out and (wanted == ZIP or json):
        why = "a zip is not for a screen" if wanted == ZIP else "--json tells of a file"
        raise RecordError(why, place="--out", remedy="name a file")
    with opened(records, archive) as there:
        kept = load(there, session)
    if out:
        write(kept, wanted, Path(out))
        about = {"session": kept.folder.id, "form": wanted, "file": str(Path(out).resolve())}
        as_json(about) if json else typer.echo(f"{kept.folder.id} is in {out}")
    else:
        sys.stdout.buffer.write(TEXTS[wanted](kept).encode("utf-8"))
        sys.stdout.flush()
    if kept.all_wrong:
        told(f"{kept.folder.id}: NOT AS WRITTEN: {kept.all_wrong}")
    if kept.fault:
        told("Only what is before that was written.")
    raise typer.Exit(1 if kept.all_wrong else 0)

"""``voiceassist records export``."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn

import typer

from voiceassist.cli.options import Json, Records
from voiceassist.cli.records import asking
from voiceassist.cli.records.common import Archive, Out, Session, as_json, end, hand_out, told
from voiceassist.errors import RecordError

if TYPE_CHECKING:
    from voiceassist.app.records.opened import Wanted


def export(
    session: Session = "",
    form: Annotated[
        str,
        typer.Option(
            "--as",
            help="json, csv (readings), vtt or txt (transcript), zip (all, sound too); of many"
            " jobs csv or json. Default: by the ending of --out, else json.",
        ),
    ] = "",
    out: Out = "",
    all_: Annotated[
        bool, typer.Option("--all", help="All jobs, one per row; fewer with the options below.")
    ] = False,
    technician: asking.Technician = "",
    vehicle: asking.Vehicle = "",
    procedure: asking.Procedure = "",
    outcome: asking.Outcome = "",
    since: asking.Since = "",
    until: asking.Until = "",
    records: Records = "",
    archive: Archive = "",
    json: Json = False,
) -> None:
    """Write out a session, or many jobs as a table.

    Exit 1 when its journal was altered: only what is whole is written.
    """
    from voiceassist.app.records.asked import wanted as fitting

    if not all_ and not any((technician, vehicle, procedure, outcome, since, until)):
        _one(session or "last", form, out, records, archive, json=json)
    if session:
        raise RecordError(
            "a session was named, and many jobs asked for",
            place="export",
            remedy="leave one of them out",
        )
    asked = {"technician": technician, "vehicle": vehicle, "procedure": procedure}
    asked |= {"outcome": outcome, "since": since, "until": until}
    _many(fitting(asked), form, out, records, archive, json=json)


def _many(
    wanted: "Wanted", form: str, out: str, records: str, archive: str, *, json: bool
) -> NoReturn:
    """Write a table of jobs out."""
    from voiceassist.app.pages.pages import form_of
    from voiceassist.app.records.jobs import FORMS, jobs_as_csv, jobs_as_json
    from voiceassist.app.records.opened import opened

    chosen_form = form_of(form, out, FORMS, "json")
    with opened(records, archive) as there:
        synced = there.sync()
        make = jobs_as_csv if chosen_form == "csv" else jobs_as_json
        text = make(there, wanted)
    hand_out(text.encode("utf-8"), out, {"form": chosen_form}, "The jobs are", json=json)
    end(synced)


def _one(session: str, form: str, out: str, records: str, archive: str, *, json: bool) -> NoReturn:
    """Write a session out."""
    from voiceassist.app.records.checked import load
    from voiceassist.app.records.export import TEXTS, ZIP, form_of, write
    from voiceassist.app.records.opened import opened

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

"""``voiceassist records forget-place``."""

from typing import Annotated

import typer

from voiceassist.cli.options import Json, Records
from voiceassist.cli.records.common import Archive, as_json


def forget_place(
    place: Annotated[
        str, typer.Argument(metavar="[PLACE]", help="Its id, or host:path; none to list them.")
    ] = "",
    yes: Annotated[bool, typer.Option("--yes", help="Yes, drop it.")] = False,
    records: Records = "",
    archive: Archive = "",
    json: Json = False,
) -> None:
    """Drop a folder of records from a shared archive; without PLACE, list those it knows.

    The journals there stay, and come back when the archive is next used with that folder.
    """
    from voiceassist.app.records.opened import opened
    from voiceassist.app.records.places import forget, places

    with opened(records, archive) as there:
        there.sync()
        found = [forget(there, place, yes=yes)] if place else places(there)
    for one in found:
        sessions = "1 session" if one.sessions == 1 else f"{one.sessions} sessions"
        effect = "forgotten" if place else ("this folder" if one.here else "")
        about = {"place": one.shown, "bay": one.id, "sessions": one.sessions}
        line = f"{one.shown or 'the folder of this archive'}: {sessions}, {effect}".rstrip(", ")
        as_json(about | {"forgotten": bool(place)}) if json else typer.echo(line)

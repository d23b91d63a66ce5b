"""``voiceassist records add``."""

from pathlib import Path
from typing import Annotated

import typer

from voiceassist.cli.options import Json, Records
from voiceassist.cli.records.common import Archive, Session, as_json, told
from voiceassist.errors import RecordError


def add(
    session: Session,
    picture: Annotated[
        list[str] | None,
        typer.Option(help="A PNG or JPEG to attach; may be given several times."),
    ] = None,
    caption: Annotated[str, typer.Option(help="What the pictures show.")] = "",
    records: Records = "",
    archive: Archive = "",
    json: Json = False,
) -> None:
    """Add to a kept session; what is added bears its own day and name."""
    from voiceassist.app.records import opened
    from voiceassist.app.records_add import add_pictures

    if not picture:
        raise RecordError("nothing to add was given", place="add", remedy="use --picture FILE")
    with opened(records, archive) as there:
        files = [Path(name).expanduser() for name in picture]
        about = add_pictures(there, session, files, caption, told)
    pictures = ", ".join(about["pictures"])
    as_json(about) if json else typer.echo(f"{about['session']}: {pictures} added")

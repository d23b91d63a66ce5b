"""``voiceassist records add``."""

from pathlib import Path
from typing import Annotated

import typer

from voiceassist.cli.options import Json, Records
from voiceassist.cli.records.common import Archive, Session, as_json, told


def add(
    session: Session,
    text: Annotated[
        str,
        typer.Argument(metavar="[TEXT]", help="An addendum, in quotes: what has come up since."),
    ] = "",
    picture: Annotated[
        list[str] | None,
        typer.Option(help="A PNG or JPEG to attach; may be given several times."),
    ] = None,
    caption: Annotated[str, typer.Option(help="What the pictures show.")] = "",
    records: Records = "",
    archive: Archive = "",
    json: Json = False,
) -> None:
    """Add to a kept session; what is added carries its own day and name on every page.

    A closed job stays as it was closed; a text can be added only to a closed one.
    """
    from voiceassist.app.records.add import Addition
    from voiceassist.app.records.add import add as put
    from voiceassist.app.records.opened import opened

    files = [Path(name).expanduser() for name in picture or []]
    addition = Addition(text, files, caption)
    with opened(records, archive) as there:
        about = put(there, session, addition, told)
    added = ", ".join([*(["the text"] if about["text"] else []), *about["pictures"]])
    as_json(about) if json else typer.echo(f"{about['session']}: {added} added")

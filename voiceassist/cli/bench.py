"""``voiceassist bench``: a page that follows sessions, and the archive in a browser."""

import sys
from typing import TYPE_CHECKING, Annotated

import typer

from voiceassist.cli.options import Json, Records
from voiceassist.cli.records.common import Archive, as_json, told
from voiceassist.cli.stopping import Stopped

if TYPE_CHECKING:
    from voiceassist.app.bench.serve import Opening

#: As good as any: above 1023, and registered to nobody (IANA, from memory).
PORT = 8427


def bench(
    listen: Annotated[
        str,
        typer.Option(
            metavar="ADDRESS",
            help="Address of this computer at which others may ask, with a key; without it only"
            " this computer and account may.",
        ),
    ] = "",
    port: Annotated[int, typer.Option(min=0, max=65535, help="0: any that is free.")] = PORT,
    new_key: Annotated[
        bool, typer.Option("--new-key", help="With --listen: another key; the old one is void.")
    ] = False,
    records: Records = "",
    archive: Archive = "",
    json: Json = False,
) -> None:
    """A page that follows the sessions of a folder of records, and searches the archive.

    It never listens and never answers for the technician. Ctrl-C ends it; sessions go on.
    """
    from voiceassist.app.bench.serve import BenchRequest, serve
    from voiceassist.errors import SettingsError

    if new_key and not listen:
        raise SettingsError("only --listen needs a key", place="--new-key", remedy="leave it out")

    def opened(at: "Opening") -> None:
        _as_json(at) if json else _tell(at)
        sys.stdout.flush()

    try:
        serve(BenchRequest(records, archive, listen, port, new_key), opened)
    except Stopped as stopped:
        told("The page is closed. Sessions go on.")
        stopped.told = True
        raise


def _as_json(at: "Opening") -> None:
    about = {"url": at.url, "records": at.folder, "key_file": at.key_file, "new_key": at.new_key}
    as_json(about)


def _tell(at: "Opening") -> None:
    if at.empty:
        told(f"{at.folder}: no session is here yet; one that begins appears by itself")
    typer.echo(f"The bench is at {at.url}")
    if at.new_key:
        typer.echo(f"The link has the key, and is shown this once; it is kept in {at.key_file}")
    elif at.key_file:
        typer.echo(f"It wants the key in {at.key_file}, behind ?key= ; --new-key makes another.")
    typer.echo("Ctrl-C ends it; sessions go on.")

"""``voiceassist records rebuild``."""

import typer

from voiceassist.cli.options import Json, Records
from voiceassist.cli.records.common import Archive, as_json, told


def rebuild(records: Records = "", archive: Archive = "", json: Json = False) -> None:
    """Make the archive anew from the journals, which are the truth. A broken file is set aside.

    Exit 1 when a journal cannot be read.
    """
    from voiceassist.app.records.opened import rebuilt

    def progress(done: int, of: int) -> None:
        told(f"journal {done} of {of}")

    made = rebuilt(records, archive, progress)
    synced = made.synced
    rate = round(synced.lines / made.seconds) if made.seconds else 0
    about = {
        "sessions": synced.sessions,
        "lines": synced.lines,
        "seconds": round(made.seconds, 3),
        "lines_per_second": rate,
        "missing": list(synced.missing),
        "unreadable": list(synced.unreadable),
        "set_aside": made.set_aside,
    }
    sessions = "1 session" if synced.sessions == 1 else f"{synced.sessions} sessions"
    as_json(about) if json else typer.echo(
        f"{sessions}, {synced.lines} lines in {made.seconds:.1f} s"
    )
    if made.set_aside:
        told(f"The archive was broken; it is kept as {made.set_aside}")
    for sentence in synced.unreadable:
        told(sentence)
    raise typer.Exit(1 if synced.unreadable else 0)

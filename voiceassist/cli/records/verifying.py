"""``voiceassist records verify``."""

import sys
from typing import Annotated, Any

import typer

from voiceassist.cli.options import Json, Records
from voiceassist.cli.progress import ProgressBar
from voiceassist.cli.records.common import Archive, as_json


def verify(
    sessions: Annotated[
        list[str] | None,
        typer.Argument(metavar="[SESSION]...", help="As for show; none, or all, for every one."),
    ] = None,
    hash_: Annotated[
        str,
        typer.Option(
            "--hash",
            help="The last hash on a page of this one session; its first 12 characters will do.",
        ),
    ] = "",
    records: Records = "",
    archive: Archive = "",
    json: Json = False,
) -> None:
    """Whether journals, what is made from them, and the archive are as they were written.

    Exit 1 when something is not.
    """
    from voiceassist.app.records.opened import opened
    from voiceassist.app.records.verify import CANNOT_SEE, hash_on_paper
    from voiceassist.app.records.verify import verify as look

    looked, bad, names = 0, 0, sessions or []
    known = hash_on_paper(hash_, names)
    # At a terminal the lines themselves tell how far it is.
    with (
        opened(records, archive) as there,
        ProgressBar("looking through", quiet=sys.stdout.isatty()) as bar,
    ):
        for about in look(there, names, known, bar.at):
            looked, bad = looked + 1, bad + (not about["ok"])
            as_json(about) if json else typer.echo(_lines(about))
    if not json:
        typer.echo(_end(looked, bad, CANNOT_SEE))
    raise typer.Exit(1 if bad else 0)


def _lines(about: dict[str, Any]) -> str:
    from voiceassist.app.records.find_session import plainly

    if about["ok"]:
        held = ", ".join(about["held_by"]) or "nothing else"
        head = f"{about['session']}: as written, {about['lines']} lines, held against {held}"
    else:
        head = f"{about['session']}: NOT AS WRITTEN"
    problems = [f"  {_place(p)}{p['found']}" for p in about["problems"]]
    notes = (f"  note: {note}" for note in about["notes"])
    return "\n".join(plainly([head, *problems, *notes]))


def _place(problem: dict[str, Any]) -> str:
    line = f", line {problem['line']}" if problem["line"] else ""
    return f"{problem['file']}{line}: " if problem["file"] else ""


def _end(looked: int, bad: int, cannot_see: tuple[str, ...]) -> str:
    sessions = "1 session" if looked == 1 else f"{looked} sessions"
    found = f"{bad} of them not as written" if bad else "all as written"
    lines = [f"{sessions}, {found}." if looked else "No session is kept yet."]
    return "\n".join([*lines, "What this cannot see:", *(f"  {each}" for each in cannot_see)])

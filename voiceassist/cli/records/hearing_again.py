"""``voiceassist records hear-again``."""

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from voiceassist.cli.options import Json, Listener, Model, On, Records, given
from voiceassist.cli.progress import ProgressBar
from voiceassist.cli.records import asking
from voiceassist.cli.records.common import Out, as_json, told

if TYPE_CHECKING:
    from voiceassist.app.again.phrases import SessionAgain

_FORMS = ("text", "json", "csv")


def hear_again(
    sessions: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[SESSION]...",
            help='Name of its folder, the beginning of it, or "last"; none for every session.',
        ),
    ] = None,
    since: asking.Since = "",
    until: asking.Until = "",
    form: Annotated[
        str,
        typer.Option(
            "--as",
            help="text, json (a session a line) or csv (a phrase a row). Default: by the ending of"
            " --out, else text.",
        ),
    ] = "",
    out: Out = "",
    listener: Listener = "",
    model: Model = "",
    on: On = "",
    records: Records = "",
    json: Json = False,
) -> None:
    """Hear kept sound again, and tell what would be taken otherwise than on the job.

    Each phrase is heard with what could be said where it was said, by the listener of today; what
    would come of it is told by the program of today. No record is changed, and the archive is left
    alone. Exit 1 when a verdict would be another one.
    """
    from voiceassist.app.again.all_again import Which, all_again, chosen_settings, folders
    from voiceassist.app.again.tell import Sums, header
    from voiceassist.app.new_file import write_new
    from voiceassist.app.pages.pages import form_of
    from voiceassist.app.records.asked import first_moment, last_moment
    from voiceassist.app.workers.choose import workers

    wanted = form_of(form or ("json" if json else ""), out, _FORMS, "text")
    settings = chosen_settings(given(listener=listener, model=model, records=records))
    first, last = first_moment(since), last_moment(until)
    which = Which(sessions or [], first, last)
    found, sums, written = folders(settings, which), Sums(), list[str]()
    write: Callable[[str], None] = written.append if out else _print
    with ProgressBar("hearing again") as bar, workers(on) as many:
        if wanted == "csv":
            write(header())
        for one in all_again(settings, found, many, bar.at):
            bar.clear()
            sums.add(one)
            write(_text(wanted, one))
    if out:
        write_new(Path(out), "".join(written).encode("utf-8"))
    for line in sums.lines():
        typer.echo(line) if wanted == "text" and not out else told(line)
    if out and json:
        as_json({"form": wanted, "file": str(Path(out).resolve())})
    raise typer.Exit(1 if sums.verdicts else 0)


def _text(form: str, one: "SessionAgain") -> str:
    import json as json_module

    from voiceassist.app.again.tell import about, lines, rows
    from voiceassist.app.records.find_session import plainly

    if form == "csv":
        return rows(one)
    if form == "json":
        return json_module.dumps(about(one), ensure_ascii=True) + "\n"
    return "".join(f"{line}\n" for line in plainly(lines(one)))


def _print(text: str) -> None:
    sys.stdout.buffer.write(text.encode("utf-8"))
    sys.stdout.flush()

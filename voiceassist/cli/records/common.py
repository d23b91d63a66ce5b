"""What the verbs of ``records`` share."""

import json as json_module
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, NoReturn

import typer

from voiceassist.errors import RecordError

if TYPE_CHECKING:
    from voiceassist.app.pages.enclosing import Shop
    from voiceassist.app.pages.pages import PageRequest
    from voiceassist.app.records.opened import Synced

Archive = Annotated[
    str,
    typer.Option(
        help="Archive: a SQLite file, or postgresql://USER@HOST/DATABASE where several bays share"
        " one. Default: archive.db in the folder of records."
    ),
]
Session = Annotated[
    str,
    typer.Argument(
        metavar="SESSION",
        help='Name of its folder or the beginning of it, a repair order, or "last".',
    ),
]
#: Of a page or file that is made.
Reader = Annotated[str, typer.Option("--for", help="shop, customer or instructor.")]
Form = Annotated[
    str, typer.Option("--as", help="html or pdf. Default: by the ending of --out, else html.")
]
Out = Annotated[str, typer.Option(help="A new file. Default: standard output.")]
Paper = Annotated[str, typer.Option(help="Of a PDF: a4 or letter.")]
#: How many sessions are told unless more are asked for.
LIMIT = 20


def as_json(about: Mapping[str, Any]) -> None:
    """One JSON object on standard output."""
    typer.echo(json_module.dumps(about, ensure_ascii=True))


def told(text: str) -> None:
    """For people, beside the JSON of a program or the content of a file."""
    print(text, file=sys.stderr)


def day_and_minute(at: str) -> str:
    """An RFC 3339 time as people read it."""
    return at[:16].replace("T", " ")


def end(synced: "Synced") -> NoReturn:
    """Tell which journals could not be read, and end the command: 1 when there is one."""
    for sentence in (*synced.unreadable, *synced.passed_over):
        told(sentence)
    raise typer.Exit(1 if synced.unreadable else 0)


def page_request(
    reader: str, form: str, out: str, paper: str, shop: "Shop | None", *, json: bool
) -> "PageRequest":
    """The page that is asked for; nothing of the shop stands on it where ``shop`` is None.

    Raises:
        RecordError: an option is not known, or the form wants a file.
    """
    from voiceassist.app.pages import pages
    from voiceassist.app.pages.enclosing import Shop

    for_whom = pages.chosen("--for", reader, pages.READERS)
    wanted = form_of_page(form, out, json=json)
    return pages.PageRequest(
        for_whom, wanted, pages.chosen("--paper", paper, pages.PAPERS), shop or Shop()
    )


def hand_out(content: bytes, out: str, about: Mapping[str, Any], what: str, *, json: bool) -> None:
    """Write a page to the new file ``out``, and say so; to standard output where none is named.

    Raises:
        RecordError: the file is there already, or the disk refuses it.
    """
    from voiceassist.app.new_file import write_new

    if not out:
        sys.stdout.buffer.write(content)
        sys.stdout.flush()
        return
    write_new(Path(out), content)
    if json:
        as_json({**about, "file": str(Path(out).resolve())})
    else:
        typer.echo(f"{what} in {out}")


def form_of_page(form: str, out: str, *, json: bool) -> str:
    """The form of a page that is asked for.

    Raises:
        RecordError: there is no such form, or it wants a file.
    """
    from voiceassist.app.pages import pages

    wanted = pages.form_of(form, out)
    if not out and (json or (wanted == pages.PDF and sys.stdout.isatty())):
        why = "--json tells of a file" if json else "a PDF is not for a screen"
        raise RecordError(why, place="--out", remedy="name a file")
    return wanted

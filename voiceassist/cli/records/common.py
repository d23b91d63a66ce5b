"""What the verbs of ``records`` share."""

import json as json_module
import sys
from collections.abc import Mapping
from typing import Annotated, Any

import typer

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

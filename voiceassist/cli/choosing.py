"""The list of procedures, and the one that a word names."""

import shutil
import sys
import textwrap
from collections.abc import Sequence
from typing import TYPE_CHECKING, NoReturn, TextIO

import typer

from voiceassist.cli.show import warn
from voiceassist.errors import VoiceAssistError

if TYPE_CHECKING:
    from voiceassist.app.catalogue import Listed

_ASKED = "What is wrong with the vehicle?"
_START = """\
Start with its name, a part of it, or a word of the complaint:
  voiceassist run heater      by voice; with --typed, by keyboard
  voiceassist demo            watch a recorded job first; --help tells the rest"""
#: Below the jobs that are parked.
_GO_ON = "Go on with one: voiceassist run --resume SESSION"
_MORE = "voiceassist | more tells what each is for."
#: Rows of a terminal that the list leaves free: the command before it, the prompt after it.
_SPARE = 2
#: Columns that a title needs beside its name; with fewer it stands below it.
_LEAST_BESIDE = 30
_WRONG_USE = 2


def show_all(out: TextIO) -> None:
    """List every shipped procedure, and how to start one; as much as the terminal has room for."""
    from voiceassist.app.catalogue import shipped

    size = shutil.get_terminal_size()
    width = size.columns if out.isatty() else 0
    every = shipped()
    waiting = _parked()
    full, short = (told(every, width, complaints=complaints) for complaints in (True, False))
    for listed in (full, short, _names(every, width)):
        rows = [*waiting, _ASKED, *listed, "", *_START.splitlines()]
        if not out.isatty() or len(rows) + _SPARE <= size.lines:
            break
    print("\n".join(rows), file=out)


def _parked() -> list[str]:
    """The jobs that wait to be gone on with; a bad setting is for other commands to tell."""
    from voiceassist.app.build import records_folder, settings
    from voiceassist.app.keeping.parked import in_rows, parked_jobs

    try:
        jobs = parked_jobs(records_folder(settings({})))
    except VoiceAssistError:
        return []
    return ["Parked jobs:", *in_rows(jobs), _GO_ON, ""] if jobs else []


def told(listed: "Sequence[Listed]", width: int, *, complaints: bool) -> list[str]:
    """Rows of at most ``width`` columns, name and title, then what else customers say.

    Args:
        listed: the procedures.
        width: 0 leaves rows as long as they come.
        complaints: whether these are told.
    """
    column = max(len(each.name) for each in listed) + 2
    beside = not width or width >= column + _LEAST_BESIDE
    rows: list[str] = []
    for each in listed:
        if not beside:
            rows.append(each.name)
        rows += _hung(each.name.ljust(column) if beside else "  ", each.title, width)
        if complaints and each.complaints:
            rows += _hung(" " * (column if beside else 2), "; ".join(each.complaints), width)
    return rows


def _names(listed: "Sequence[Listed]", width: int) -> list[str]:
    """Names alone, in rows of at most ``width`` columns, and how to see more of each."""
    names = ", ".join(each.name for each in listed)
    return [*textwrap.wrap(names, width or len(names), break_on_hyphens=False), _MORE]


def _hung(head: str, text: str, width: int) -> list[str]:
    """``text`` behind ``head``, broken between words where there is a width."""
    indent = " " * len(head)
    room = width or len(head) + len(text)
    return textwrap.wrap(text, room, initial_indent=head, subsequent_indent=indent) or [head]


def named(asked: str) -> str:
    """The procedure that ``asked`` means: a path, or the name of a shipped one.

    Raises:
        typer.Exit: it means none, or several; which ones was told.
    """
    from voiceassist.app.catalogue import find, is_path, shipped

    if is_path(asked):
        return asked
    found = find(asked, shipped())
    if len(found.fitting) == 1:
        return found.fitting[0].name
    if found.fitting:
        width = shutil.get_terminal_size().columns if sys.stderr.isatty() else 0
        listed = told(found.fitting, width, complaints=True)
        warn("\n".join([f"{asked!r} fits several procedures; name one of them:", *listed]))
    elif found.near:
        offers = " or ".join(each.name for each in found.near)
        warn(f"There is no procedure {asked!r}. Did you mean {offers}?")
    else:
        warn(f"There is no procedure {asked!r}. To see all there are: voiceassist")
    raise typer.Exit(_WRONG_USE)


def none_named() -> NoReturn:
    """Say which procedures there are to one who named none.

    Raises:
        typer.Exit: always.
    """
    show_all(sys.stderr)
    warn("No procedure is named. To go on with an unfinished job: voiceassist run --resume")
    raise typer.Exit(_WRONG_USE)

"""Whether a session is shown as a picture or as lines."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from rich.console import Console

from voiceassist.app.settings.settings import Settings
from voiceassist.app.view import View, lines
from voiceassist.cli.screen.live import LiveView
from voiceassist.cli.screen.prompt import PromptView
from voiceassist.cli.show import People, Show, as_json, shows, warn
from voiceassist.errors import SettingsError

AUTO, ON, OFF = "auto", "on", "off"


@dataclass(frozen=True, slots=True)
class SessionDisplay:
    """Where a session is shown.

    Parts:
        show: takes each journal line; the ``view`` gets it from there and needs it not twice.
        warn: takes a sentence for a person.
        view: for the microphone's level and what the ears do.
    """

    show: Show
    warn: Callable[[str], None]
    view: View


@contextmanager
def stage(screen: str, *, json: bool, typed: bool, total: int = 0) -> Iterator[SessionDisplay]:
    """Show a session as ``screen`` says: "auto", "on" or "off".

    "auto" shows a picture where standard output is a terminal that can, unless lines are typed or
    JSON is wanted. With "on" and JSON the picture is on standard error.

    Args:
        screen: see above.
        json: one JSON object a line on standard output.
        typed: the technician types at this terminal.
        total: how many utterances will come; 0 when that is not known.

    Raises:
        SettingsError: another value, or "on" where there can be no picture.
    """
    console = Console(stderr=json)
    if not _wanted(screen, console, json=json, typed=typed):
        with _in_lines(json=json, typed=typed, total=total) as on:
            yield on
        return
    view = LiveView(console, warn)
    try:
        yield SessionDisplay(_both(view.show) if json else view.show, view.warn, view)
    finally:
        view.close()


@contextmanager
def _in_lines(*, json: bool, typed: bool, total: int) -> Iterator[SessionDisplay]:
    """Show a session line by line, with a prompt where somebody types at this terminal."""
    people = People(sys.stderr if json else sys.stdout, total)
    show = shows(people, json_lines=json)
    if not (typed and sys.stdin.isatty() and people.at_a_terminal):
        yield SessionDisplay(show, warn, View())
        return
    view = PromptView(people)
    try:
        yield SessionDisplay(show, view.warn, view)
    finally:
        view.close()


def _wanted(screen: str, console: Console, *, json: bool, typed: bool) -> bool:
    Settings(screen=screen)  # which refuses what is none of the three
    if screen == OFF or (screen == AUTO and (json or typed)):
        return False
    lacking = _lacking(console, typed=typed)
    if lacking and screen == ON:
        raise SettingsError(lacking, place="--screen on", remedy="leave it out")
    return not lacking


def _lacking(console: Console, *, typed: bool) -> str:
    """Why there can be no picture; empty when there can."""
    if not console.is_terminal:
        return "this is no terminal"
    if console.is_dumb_terminal:
        return "this terminal can only write lines"
    if not console.encoding.lower().startswith("utf"):
        return f"this terminal writes {console.encoding}, not UTF-8"
    if typed and sys.stdin.isatty():
        return "lines are typed at this terminal"
    return ""


def _both(show: Show) -> Show:
    def both(line: lines.Line) -> None:
        as_json(line)
        show(line)

    return both


def pictured(screen: str, *, real_time: bool) -> str:
    """What ``screen`` means for a recorded job: "auto" is off when it runs faster than one sees."""
    return OFF if screen == AUTO and not real_time else screen

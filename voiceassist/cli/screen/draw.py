"""From the state of the screen to its picture, as large as it fits. Pure.

Nothing is told by colour alone: signal words, verdicts and states stand there in words.
"""

from dataclasses import dataclass

from rich.cells import cell_len
from rich.console import Console, ConsoleOptions, RenderResult
from rich.text import Text

from voiceassist.app.view import ShownReading
from voiceassist.cli.screen.bars import CLOSE, limit_bar
from voiceassist.cli.screen.found import found
from voiceassist.cli.screen.letters import written_large
from voiceassist.cli.screen.parts import ScreenState
from voiceassist.cli.screen.pieces import (
    Rows,
    caution_rows,
    heard_row,
    status_row,
    vehicle_rows,
    wrapped,
)

#: A bar wider than this is no easier to read.
_WIDEST = 76


class Screen:
    """Draws ``state`` as large as the console is."""

    def __init__(self, state: ScreenState) -> None:
        self._state = state

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        height = options.height or console.height
        yield from picture(console, self._state, options.max_width, height)


def picture(console: Console, state: ScreenState, width: int, height: int) -> Rows:
    """Exactly ``height`` rows of at most ``width`` columns.

    What matters least goes first where there is no room: where the leads stand, which was said,
    then large letters, then blank rows, then the oldest sentences. A finding has a picture of its
    own, with nothing larger on it.
    """
    head = [_header(state, width)]
    fitting = found if state.headline else _fitting
    body, foot = fitting(console, state, width, height - len(head))
    blank = [Text("")] * max(0, height - len(head) - len(body) - len(foot))
    rows = [*head, *body, *blank, *foot]
    for row in rows:
        row.truncate(width, overflow="ellipsis")
    return rows[len(rows) - height :]


def _fitting(console: Console, state: ScreenState, width: int, room: int) -> tuple[Rows, Rows]:
    """Middle and foot, the largest that fit; a foot that does not fit alone is cut from below."""
    for size in _SIZES:
        body = _body(console, state, width, size)
        foot = _foot(console, state, width, large=size.outcome)
        if len(body) + len(foot) <= room:
            return body, foot
    foot = foot[: max(0, room - 1)] if len(foot) >= room else foot
    return _last(body, room - len(foot)), foot


def _last(rows: Rows, room: int) -> Rows:
    return rows[len(rows) - room :] if room > 0 else []


def _header(state: ScreenState, width: int) -> Text:
    clock = f"{state.elapsed_s // 60}:{state.elapsed_s % 60:02}"
    title = Text(state.title or "voiceassist", style="bold")
    title.truncate(width - len(clock) - 2, overflow="ellipsis")
    gap = width - cell_len(title.plain) - len(clock)
    return title + Text(" " * gap + clock)


# --- the middle: caution, step, what to do ---


@dataclass(frozen=True, slots=True)
class _Size:
    """How large a picture is tried.

    Parts:
        task: lines of large letters that what is asked for may take.
        leads: where the instrument is held, with the plug there.
        step, outcome: the step's name, the reading and its verdict in large letters.
        airy: blank rows between the parts.
    """

    task: int = 0
    leads: bool = False
    step: bool = False
    outcome: bool = False
    airy: bool = False


_SIZES = (
    _Size(4, leads=True, step=True, outcome=True, airy=True),
    _Size(3, leads=True, step=True, airy=True),
    _Size(2, leads=True, step=True),
    _Size(4, step=True, outcome=True, airy=True),
    _Size(3, step=True, airy=True),
    _Size(2, step=True, airy=True),
    _Size(step=True, airy=True),
    _Size(step=True),
    _Size(airy=True),
    _Size(),
)


def _body(console: Console, state: ScreenState, width: int, size: _Size) -> Rows:
    parts = [
        _step(state, width, large=size.step),
        *(caution_rows(console, each, width, large=size.step) for each in state.cautions),
        wrapped(console, state.said, width, ""),
        _task(console, state, width, size.task),
        _leads(console, state, width) if size.leads else [],
        _finding(console, state, width),
    ]
    blank = [Text("")] if size.airy else []
    return [row for part in parts if part for row in (*blank, *part)]


def _step(state: ScreenState, width: int, *, large: bool) -> Rows:
    name = state.step.replace("-", " ")
    if not name:
        return []
    rows = written_large(name, width, 2) if large else None
    return [Text(row, style="bold") for row in rows or [name.upper()]]


def _task(console: Console, state: ScreenState, width: int, large: int) -> Rows:
    """What is asked for; its first sentence large where there is room."""
    if not state.task:
        return []
    rows = written_large(state.task[0], width, large) if large else None
    limit = wrapped(console, [f"Should be: {state.limit}"], width, "bold") if state.limit else []
    if rows is None:
        return wrapped(console, state.task, width, "bold") + limit
    first = [Text(row, style="bold") for row in rows]
    return first + wrapped(console, state.task[1:], width, "") + limit


def _leads(console: Console, state: ScreenState, width: int) -> Rows:
    """Where the leads stand; the boxes of a plug are left as they are where they fit."""
    rows: Rows = []
    for row in state.leads:
        rows += [Text(row)] if cell_len(row) <= width else wrapped(console, [row], width, "")
    return rows


def _finding(console: Console, state: ScreenState, width: int) -> Rows:
    cause, correction = state.finding
    if any(cause in sentence for sentence in state.said):
        return []  # it was told just now, with all its reasons
    sentences = [
        f"Finding: {cause}." if cause else "",
        f"To do: {correction}." if correction else "",
    ]
    return wrapped(console, [each for each in sentences if each], width, "bold")


# --- the foot: what was heard, the reading, the vehicle, the microphone ---


def _foot(console: Console, state: ScreenState, width: int, *, large: bool) -> Rows:
    line = Text("─" * width, style="dim")
    rows = [line, heard_row(state.heard)] if state.heard else [line]
    if state.outcome:
        rows += _outcome(state.outcome, width, large=large)
    rows += vehicle_rows(console, state.conditions, width)
    if state.notice:
        rows += wrapped(console, [f"! {state.notice}"], width, "bold")
    return [*rows, status_row(state, width)]


def _outcome(outcome: ShownReading, width: int, *, large: bool) -> Rows:
    judged = f"{outcome.shown}: {outcome.told}" if outcome.verdict else outcome.shown
    rows = written_large(judged, width) if large else None
    return [Text(row, style="bold") for row in rows or ()] + _beside_limit(outcome, width)


def _beside_limit(outcome: ShownReading, width: int) -> Rows:
    head = Text(f"{outcome.step.replace('-', ' ')}: ") + Text(outcome.shown, style="bold")
    if outcome.verdict:
        head.append("  ").append(f" {outcome.told} ", style="bold reverse")
    if outcome.limit:
        head.append(f"  limit {outcome.limit}")
    if outcome.scale is None:
        return [head]
    pointer, bar, marks = limit_bar(outcome.scale, outcome.shown, min(width, _WIDEST))
    close = f"  {CLOSE} too close to call" if CLOSE in bar else ""
    fits = cell_len(marks + close) <= width
    return [head, Text(pointer, style="bold"), Text(bar), Text(marks + close if fits else marks)]

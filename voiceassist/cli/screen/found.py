"""The picture of a finding, the most important sentence of a job: the largest text on it. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass

from rich.console import Console
from rich.text import Text

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

#: Lines of large letters that a finding may take.
_MOST_LINES = 7


@dataclass(frozen=True, slots=True)
class _Try:
    """What a picture has beside the finding, while there is room.

    Parts:
        said: what else was said, such as the reasons.
        vehicle: its states.
        airy: blank rows between the parts.
    """

    said: bool = False
    vehicle: bool = False
    airy: bool = False


_TRIES = (
    _Try(said=True, vehicle=True, airy=True),
    _Try(said=True, vehicle=True),
    _Try(said=True),
    _Try(airy=True),
    _Try(),
)


def found(console: Console, state: ScreenState, width: int, room: int) -> tuple[Rows, Rows]:
    """Middle and foot, at most ``room`` rows together.

    All else gives way to large letters; a finding too long for them has its first clause large.
    """
    for large in _written(console, state.headline, width):
        for each in _TRIES:
            body = _body(console, state, width, large, each)
            foot = _foot(console, state, width, each)
            if len(body) + len(foot) <= room:
                return body, foot
    foot = foot[: max(0, room - 1)] if len(foot) >= room else foot
    return body[: max(0, room - len(foot))], foot


def _written(console: Console, cause: str, width: int) -> list[Rows]:
    """Ways of writing the finding, the largest first."""
    clause, _, more = cause.partition(", ")
    whole = written_large(cause, width, _MOST_LINES)
    first = written_large(clause, width, _MOST_LINES) if more else None
    rest = wrapped(console, [f"{more}."], width, "bold")
    ways = [_bold(whole)] if whole else []
    ways += [[*_bold(first), *rest]] if first else []
    return [*ways, wrapped(console, [cause.upper()], width, "bold reverse")]


def _bold(rows: Sequence[str]) -> Rows:
    return [Text(row, style="bold") for row in rows]


def _body(console: Console, state: ScreenState, width: int, large: Rows, which: _Try) -> Rows:
    correction = state.finding[1]
    others = " ".join(each for each in state.said if state.headline not in each)
    parts = [
        *(caution_rows(console, each, width, large=False) for each in state.cautions),
        [Text("FINDING"), *large],
        wrapped(console, [f"To do: {correction}."] if correction else [], width, "bold"),
        wrapped(console, state.task, width, "bold"),
        wrapped(console, [others] if others and which.said else [], width, ""),
    ]
    blank = [Text("")] if which.airy else []
    return [row for part in parts if part for row in (*blank, *part)]


def _foot(console: Console, state: ScreenState, width: int, which: _Try) -> Rows:
    rows = [Text("─" * width, style="dim")]
    rows += [heard_row(state.heard)] if state.heard else []
    rows += vehicle_rows(console, state.conditions, width) if which.vehicle else []
    rows += wrapped(console, [f"! {state.notice}"] if state.notice else [], width, "bold")
    return [*rows, status_row(state, width)]

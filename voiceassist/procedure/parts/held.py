"""States that are held only while one reads: how long at most, what ends them, and the rest."""

from collections.abc import Mapping

from voiceassist.procedure.model import Hold
from voiceassist.procedure.parts.times import seconds_at
from voiceassist.procedure.shape.procedure import StateShape
from voiceassist.procedure.text.fault_collector import FaultCollector
from voiceassist.procedure.text.tree import Path

_LET_GO = "let go"


def held_in(
    states: Mapping[tuple[str, str], StateShape], blame: FaultCollector
) -> dict[tuple[str, str], Hold]:
    """Condition and state of what is held only while one reads, and how."""
    found = {}
    for (name, state), body in states.items():
        path: Path = ("conditions", name, state)
        if body.hold is not None:
            found[name, state] = _hold(path, body, blame)
        elif body.momentary:
            found[name, state] = Hold()
        if body.hold is None:
            _check_useless(path, body, blame)
    return found


def _hold(path: Path, body: StateShape, blame: FaultCollector) -> Hold:
    most = seconds_at((*path, "hold"), body.hold or "", blame)
    rest = seconds_at((*path, "rest"), body.rest, blame) if body.rest is not None else 0
    return Hold(most, (body.let_go or _LET_GO).rstrip(". "), rest)


def _check_useless(path: Path, body: StateShape, blame: FaultCollector) -> None:
    for key, value in (("let-go", body.let_go), ("rest", body.rest)):
        if value is not None:
            message = f"{key!r} has no effect without 'hold:'; tell how long, such as 'hold: 5 s'"
            blame.error((*path, key), message)

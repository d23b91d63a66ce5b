"""What a step accepts: a limit, a table of limits, a row of readings or lamp states."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from voiceassist.measure.expression import LimitExpression
from voiceassist.measure.sweep import SweepLimit
from voiceassist.measure.table import LimitTable
from voiceassist.procedure.faults import did_you_mean
from voiceassist.procedure.model import ANSWERS, LAMP_STATES, Kind
from voiceassist.procedure.parts.limits import limit_at, sweep_at, table_at
from voiceassist.procedure.parts.scope import Scope
from voiceassist.procedure.shape.step import StepShape, SweepShape, TableShape
from voiceassist.procedure.text.tree import Path

#: Kinds that have one limit.
JUDGED = frozenset({Kind.MEASURE, Kind.COUNT, Kind.COMPUTE})

_WANTED: Mapping[Kind, str] = MappingProxyType(
    {
        Kind.ASK: "a question accepts answers of its own, such as yes",
        Kind.LAMP: f"a lamp step accepts lamp states: {', '.join(LAMP_STATES)}",
        Kind.SWEEP: "a sweep accepts a block with 'direction: falling' or 'direction: rising'",
        **dict.fromkeys(JUDGED, "this step has one limit, such as 5 V to 6 V, or a table of them"),
    }
)


@dataclass(frozen=True, slots=True)
class Accepted:
    """What ``accept`` holds; at most one part is there.

    Parts:
        limit, table, sweep, bright_enough, good: as in ``Step``.
    """

    limit: LimitExpression | None = None
    table: LimitTable | None = None
    sweep: SweepLimit | None = None
    bright_enough: tuple[str, ...] = ()
    good: tuple[str, ...] = ()


def accepted_by(path: Path, body: StepShape, kind: Kind, scope: Scope) -> Accepted:
    """What the step ``body`` at ``path`` accepts."""
    place = (*path, "accept")
    match kind, body.accept:
        case Kind.LAMP | Kind.ASK, str() | list() | None as words:
            return _words(place, words, body, kind, scope)
        case Kind.SWEEP, SweepShape() as shape:
            return Accepted(sweep=sweep_at(place, shape, scope.blame))
        case Kind.SWEEP, None:
            if not scope.blame.written(path, "accept"):
                scope.blame.error(path, "a sweep needs 'accept:' with its 'direction: falling'")
        case _, None:
            return Accepted()
        case kind, str() as text if kind in JUDGED:
            return Accepted(limit=limit_at(place, text, scope.blame))
        case kind, TableShape() as table if kind in JUDGED:
            return Accepted(table=table_at(place, table, scope))
        case kind, _ if kind in _WANTED:
            scope.blame.error(place, _WANTED[kind])
    return Accepted()


def _words(
    path: Path, given: str | list[str] | None, body: StepShape, kind: Kind, scope: Scope
) -> Accepted:
    """Lamp states, bright when none is given, or answers."""
    if kind is Kind.LAMP:
        return Accepted(bright_enough=_bright_enough(path, given, scope))
    return Accepted(good=_good(path, given or [], body, scope))


def _good(path: Path, given: str | list[str], body: StepShape, scope: Scope) -> tuple[str, ...]:
    """The answers that pass; each must be one of the question's own."""
    wanted = given if isinstance(given, list) else [given]
    known = list(body.answers or {})
    for answer in wanted:
        if answer not in known and not scope.blame.written(path[:-1], "answers"):
            hint = did_you_mean(answer, known)
            scope.blame.error(path, f"{answer!r} is no answer to this question{hint}")
    return tuple(ANSWERS.get(answer, answer) for answer in wanted)


def _bright_enough(path: Path, given: str | list[str] | None, scope: Scope) -> tuple[str, ...]:
    wanted = given if isinstance(given, list) else [given or "bright"]
    for state in wanted:
        if state not in LAMP_STATES:
            hint = did_you_mean(state, LAMP_STATES)
            scope.blame.error(path, f"{state!r} is no lamp state{hint}")
    return tuple(wanted)

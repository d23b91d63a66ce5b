"""What a step accepts: a limit, a table of limits, a row of readings or lamp states."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from voiceassist.measure.expression import LimitExpression
from voiceassist.measure.sweep import SweepLimit
from voiceassist.measure.table import LimitTable
from voiceassist.procedure.faults import did_you_mean
from voiceassist.procedure.limits import limit_at, sweep_at, table_at
from voiceassist.procedure.model import LAMP_STATES, Kind
from voiceassist.procedure.scope import Scope
from voiceassist.procedure.step_shape import StepShape, SweepShape, TableShape
from voiceassist.procedure.tree import Path

#: Kinds that have one limit.
JUDGED = frozenset({Kind.MEASURE, Kind.COUNT, Kind.COMPUTE})

_WANTED: Mapping[Kind, str] = MappingProxyType(
    {
        Kind.LAMP: f"a lamp step accepts lamp states: {', '.join(LAMP_STATES)}",
        Kind.SWEEP: "a sweep accepts a block with 'direction: falling' or 'direction: rising'",
        **dict.fromkeys(JUDGED, "this step has one limit, such as 5 V to 6 V, or a table of them"),
    }
)


@dataclass(frozen=True, slots=True)
class Accepted:
    """What ``accept`` holds; at most one part is there.

    Parts:
        limit, table, sweep, bright_enough: as in ``Step``.
    """

    limit: LimitExpression | None = None
    table: LimitTable | None = None
    sweep: SweepLimit | None = None
    bright_enough: tuple[str, ...] = ()


def accepted_by(path: Path, body: StepShape, kind: Kind, scope: Scope) -> Accepted:
    """What the step ``body`` at ``path`` accepts."""
    place = (*path, "accept")
    match kind, body.accept:
        case Kind.LAMP, str() | list() | None as states:
            return Accepted(bright_enough=_bright_enough(place, states, scope))
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


def _bright_enough(path: Path, given: str | list[str] | None, scope: Scope) -> tuple[str, ...]:
    wanted = given if isinstance(given, list) else [given or "bright"]
    for state in wanted:
        if state not in LAMP_STATES:
            hint = did_you_mean(state, LAMP_STATES)
            scope.blame.error(path, f"{state!r} is no lamp state{hint}")
    return tuple(wanted)

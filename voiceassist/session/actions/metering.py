"""How the meter is set and where its leads go: asked by the technician, told by step and meter."""

from voiceassist.measure.meter import MeterRange
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.model import Kind, Step
from voiceassist.procedure.parts.leads import in_line
from voiceassist.session.events import Event
from voiceassist.session.outputs import Say
from voiceassist.session.possible import limit_or_none
from voiceassist.session.session import Desk, Session, Turn
from voiceassist.session.shown import short

MEASURED = frozenset({Kind.MEASURE, Kind.SWEEP, Kind.COUNT})
#: Quantities for which the meter's setting is told; other instruments set themselves.
SET = frozenset(
    {"voltage", "current", "resistance", "frequency", "ratio", "capacitance", "temperature"}
)


def meter_range(desk: Desk, session: Session, event: Event) -> Turn:
    """How the meter is set and its leads are put in; what the step itself says comes first."""
    step = desk.step(session)
    own = [desk.book("inform.how", how=step.how)] if step.how else []
    parts = [*own, *_setting(desk, session, step)] or [desk.book("range.none")]
    return Turn(session, (Say(step=step.name, text=" ".join(parts)),))


def _setting(desk: Desk, session: Session, step: Step) -> list[str]:
    """The quantity, the range for what is expected here, and the socket of the red lead."""
    if step.kind not in MEASURED or step.unit is None or step.unit.quantity not in SET:
        return []
    used = _range(desk, session, step)
    tops = [desk.book("range.top", range=short(used.top))] if used is not None else []
    return [desk.book(f"range.{_way(step)}"), *(tops or _any(desk, step)), *_socket(desk, step)]


def _way(step: Step) -> str:
    assert step.unit is not None
    by_clamp = step.unit.quantity == "current" and step.meter is None and not in_line(step)
    return "clamp" if by_clamp else step.unit.quantity


def _any(desk: Desk, step: Step) -> list[str]:
    return [desk.book("range.above")] if _way(step) in {"voltage", "current"} else []


def _socket(desk: Desk, step: Step) -> list[str]:
    way = _way(step)
    if way == "clamp":
        return [desk.book("range.zero")]
    if way == "current" and step.meter is not None:
        return [desk.book("range.socket", socket=short(step.meter))]
    if way == "resistance":
        return [desk.book("range.usual"), desk.book("range.dead")]
    return [desk.book("range.ten")] if way == "current" else [desk.book("range.usual")]


def _range(desk: Desk, session: Session, step: Step) -> MeterRange | None:
    """The range for what the step expects; None when nothing tells, or the meter is not known."""
    expected = _expected(desk, session, step)
    if desk.meter is None or expected is None:
        return None
    return desk.meter.range_for(expected, step.meter)


def _expected(desk: Desk, session: Session, step: Step) -> Quantity | None:
    """The largest value that the limit of the step speaks of."""
    limit = limit_or_none(desk, session, step)
    ends = [end for end in (limit.low, limit.high) if end is not None] if limit else []
    return max(ends, key=lambda end: abs(end.in_base), default=step.meter)

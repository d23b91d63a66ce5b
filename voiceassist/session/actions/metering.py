"""How the meter is set and where its leads go: asked by the technician, told by step and meter."""

from voiceassist.measure.meter import MeterRange
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.model import Kind, Step
from voiceassist.procedure.parts.leads import in_line
from voiceassist.session.close_call import range_told
from voiceassist.session.events import Event
from voiceassist.session.outputs import Say
from voiceassist.session.possible import limit_or_none
from voiceassist.session.session import Session, SessionSetup, Turn
from voiceassist.session.shown import short

MEASURED = frozenset({Kind.MEASURE, Kind.SWEEP, Kind.COUNT})
#: Quantities for which the meter's setting is told; other instruments set themselves.
SET = frozenset(
    {"voltage", "current", "resistance", "frequency", "ratio", "capacitance", "temperature"}
)


def meter_range(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """How the meter is set and its leads are put in; what the step itself says comes first."""
    step = setup.step(session)
    own = [setup.book("inform.how", how=step.how)] if step.how else []
    parts = [*own, *setting(setup, session, step)] or [setup.book("range.none")]
    known = session
    if step.kind in MEASURED and (used := _range(setup, session, step)) is not None:
        known = range_told(session, used)
    return Turn(known, (Say(step=step.name, text=" ".join(parts)),))


def setting(setup: SessionSetup, session: Session, step: Step) -> list[str]:
    """The quantity, the range for what is expected here, and the socket of the red lead."""
    if step.kind not in MEASURED or step.unit is None or step.unit.quantity not in SET:
        return []
    used = _range(setup, session, step)
    tops = [setup.book("range.top", range=short(used.top))] if used is not None else []
    return [setup.book(f"range.{_way(step)}"), *(tops or _any(setup, step)), *_socket(setup, step)]


def _way(step: Step) -> str:
    assert step.unit is not None
    by_clamp = step.unit.quantity == "current" and step.meter is None and not in_line(step)
    return "clamp" if by_clamp else step.unit.quantity


def _any(setup: SessionSetup, step: Step) -> list[str]:
    return [setup.book("range.above")] if _way(step) in {"voltage", "current"} else []


def _socket(setup: SessionSetup, step: Step) -> list[str]:
    way = _way(step)
    if way == "clamp":
        return [setup.book("range.zero")]
    if way == "current" and step.meter is not None:
        return [setup.book("range.socket", socket=short(step.meter))]
    if way == "resistance":
        return [setup.book("range.usual"), setup.book("range.dead")]
    return [setup.book("range.ten")] if way == "current" else [setup.book("range.usual")]


def _range(setup: SessionSetup, session: Session, step: Step) -> MeterRange | None:
    """The range for what the step expects; None when nothing tells, or the meter is not known."""
    expected = _expected(setup, session, step)
    if setup.meter is None or expected is None:
        return None
    return setup.meter.range_for(expected, step.meter)


def _expected(setup: SessionSetup, session: Session, step: Step) -> Quantity | None:
    """The largest value that the limit of the step speaks of."""
    limit = limit_or_none(setup, session, step)
    ends = [end for end in (limit.low, limit.high) if end is not None] if limit else []
    return max(ends, key=lambda end: abs(end.in_base), default=step.meter)

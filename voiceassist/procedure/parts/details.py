"""What a step takes beside its answer: time, access, tools, parts and torque."""

from functools import partial

from voiceassist.errors import MeasureError
from voiceassist.measure.expression import LimitExpression
from voiceassist.measure.limit import Limit
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.model import Details, Torque
from voiceassist.procedure.parts.times import seconds_at
from voiceassist.procedure.shape.step import StepShape
from voiceassist.procedure.text.fault_collector import FaultCollector
from voiceassist.procedure.text.tree import Path

#: Words of a torque that is more than one value.
_OF_A_RANGE = (" to ", "at least ", "at most ", "about ")
_TIME = "length of time"
_WRITE = "write it like 9 N·m or 8 N·m to 10 N·m"


def details_of(path: Path, body: StepShape, blame: FaultCollector) -> Details:
    """The details of the step ``body`` at ``path``."""
    effort = (*path, "effort")
    return Details(
        effort_s=seconds_at(effort, body.effort, blame, _TIME) if body.effort else None,
        opens=_listed(body.opens),
        tools=tuple(body.tools),
        parts=_listed(body.parts),
        torques=_torques((*path, "torque"), body.torque, blame),
    )


def _listed(given: str | list[str] | None) -> tuple[str, ...]:
    return (given,) if isinstance(given, str) else tuple(given or ())


def _torques(
    path: Path, given: str | dict[str, str] | None, blame: FaultCollector
) -> tuple[Torque, ...]:
    each = {"": given} if isinstance(given, str) else given or {}
    made = {
        what: blame.attempt((*path, what) if what else path, partial(_torque, text))
        for what, text in each.items()
    }
    return tuple(Torque(what, limit) for what, limit in made.items() if limit is not None)


def _torque(text: str) -> Limit:
    """A torque, or the range that it may lie in.

    Raises:
        MeasureError: it is something else.
    """
    if any(word in text for word in _OF_A_RANGE):
        limit = LimitExpression.parse(text).fill({})
    else:
        value = Quantity.parse(text, "torque")
        limit = Limit(value, value)
    ends = [end for end in (limit.low, limit.high) if end is not None]
    other = next((end.unit for end in ends if end.unit.quantity != "torque"), None)
    if other is not None:
        raise MeasureError(f"{text!r} is a {other.quantity}, not a torque", remedy=_WRITE)
    if any(end.value <= 0 for end in ends):
        raise MeasureError(f"{text!r} is not above zero", remedy=_WRITE)
    return limit

"""Do the values beside a limit go with it?"""

from collections.abc import Iterator, Mapping

from voiceassist.errors import MeasureError
from voiceassist.measure.expression import LimitExpression
from voiceassist.measure.limit import Limit
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.model import Step
from voiceassist.procedure.text.fault_collector import FaultCollector
from voiceassist.procedure.text.tree import Path


def check_ranges(steps: Mapping[str, Step], own: Mapping[str, Path], blame: FaultCollector) -> None:
    """Report values that contradict the limit of their step.

    Args:
        steps: all steps, with their units.
        own: where those of this file stand.
        blame: takes what is wrong.
    """
    for name, path in own.items():
        step = steps[name]
        _check_source_resistance(path, step, blame)
        limits = list(_fixed_limits(step))
        for limit in limits:
            _check_plausible(path, step, limit, blame)
        for text, rule in step.bands.items():
            band = _fixed(rule)
            if band is not None and any(_holds(limit, band) for limit in limits):
                message = "every reading within it passes, so it leads nowhere; mend one of them"
                blame.error((*path, "bands", text), message)
        for lookalike in step.lookalikes:
            place = (*path, "if-forgotten", lookalike.need.condition)
            looks = _fixed(lookalike.limit)
            if looks is not None and any(_overlap(looks, limit) for limit in limits):
                blame.warning(place, "a reading that passes looks forgotten too; narrow it down")


def _check_source_resistance(path: Path, step: Step, blame: FaultCollector) -> None:
    if step.source_resistance is None or step.unit is None:
        return
    if step.unit.quantity != "voltage":
        place = (*path, "source-resistance")
        blame.error(place, f"this is for a voltage, not for a {step.unit.quantity}; take it out")


def _fixed_limits(step: Step) -> Iterator[Limit]:
    """The limits of fixed numbers; of a table, the rows that can hold when it is read."""
    rules = [step.limit] if step.limit else []
    if step.table is not None:
        states = [need.state for need in step.needs if need.condition == step.table.by]
        rules += [row.limit for row in step.table.rows if row.key in states or not states]
    for rule in rules:
        limit = _fixed(rule)
        if limit is not None:
            yield limit


def _fixed(rule: LimitExpression) -> Limit | None:
    """The limit, unless it needs readings or cannot be, which is blamed elsewhere."""
    if rule.names:
        return None
    try:
        return rule.fill({})
    except MeasureError:
        return None


def _check_plausible(path: Path, step: Step, limit: Limit, blame: FaultCollector) -> None:
    if step.plausible is None:
        return
    lowest, highest = step.plausible
    ends = [end for end in (limit.low, limit.high) if end is not None]
    if any(not _same_kind(lowest, end) for end in ends):
        return  # blamed with the units
    if any(end < lowest or highest < end for end in ends):
        message = f"{lowest} to {highest} does not hold the limit"
        blame.warning((*path, "plausible"), f"{message}, so a good reading would be questioned")


def _overlap(one: Limit, other: Limit) -> bool:
    """True when a value can be within both."""
    return _reaches(one.low, other.high) and _reaches(other.low, one.high)


def _holds(whole: Limit, part: Limit) -> bool:
    """True when all that is within ``part`` is within ``whole``."""
    low = whole.low is None or (part.low is not None and _reaches(whole.low, part.low))
    return low and (
        whole.high is None or (part.high is not None and _reaches(part.high, whole.high))
    )


def _reaches(low: Quantity | None, high: Quantity | None) -> bool:
    if low is None or high is None:
        return True
    return _same_kind(low, high) and low <= high


def _same_kind(one: Quantity, other: Quantity) -> bool:
    return one.unit.quantity == other.unit.quantity

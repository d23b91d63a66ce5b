"""What to do about a value that the meter cannot tell from its limit."""

from voiceassist.measure.meter import MeterRange, bound
from voiceassist.procedure.model import Step
from voiceassist.procedure.parts.leads import in_line
from voiceassist.session.session import Result, Session, SessionSetup
from voiceassist.session.shown import short
from voiceassist.session.skipping import why_not_skip


def advice(setup: SessionSetup, session: Session, step: Step, result: Result) -> str:
    """What to do about a value that the meter cannot tell from its limit."""
    if result.meaning is None:
        return setup.book("advice.parts")
    if session.tries:
        return setup.book("advice.stuck" if why_not_skip(setup, session) else "advice.skip")
    if step.when_close:
        return setup.book("advice.own", text=step.when_close)
    if result.wander is not None:
        return setup.book("advice.wanders")
    finer = None if in_line(step) else _finer(setup, result)
    if finer is not None:
        return setup.book("advice.range", range=short(finer.top))
    return setup.book("advice.again")


def doubt_named(setup: SessionSetup, step: Step, result: Result) -> list[str]:
    """How far the range that a step tells may be off, where a lower one would tell more."""
    if setup.meter is None or step.meter is None or result.quantity is None:
        return []
    used = setup.meter.range_for(result.quantity, step.meter)
    if used is None or used == setup.meter.range_for(result.quantity):
        return []
    off = short(bound(used, result.quantity))
    return [setup.book("advice.doubt", range=short(used.top), off=off)]


def _finer(setup: SessionSetup, result: Result) -> MeterRange | None:
    """A range that shows more digits; of a meter in line, another range is another socket."""
    if setup.meter is None or result.quantity is None:
        return None
    return setup.meter.finer_range(result.quantity)

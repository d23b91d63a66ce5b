"""What to do about a value that the meter cannot tell from its limit."""

from voiceassist.measure.meter import MeterRange, bound
from voiceassist.procedure.model import Step
from voiceassist.procedure.parts.leads import in_line
from voiceassist.session.copying import replace
from voiceassist.session.session import Result, Session, SessionSetup
from voiceassist.session.shown import short
from voiceassist.session.skipping import why_not_skip

#: How the mark begins that a range was told.
_RANGE = "range "


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
    if finer is not None and _mark(finer) not in session.explained:
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


def range_told(session: Session, told: MeterRange) -> Session:
    """The meter was said to be set to the range ``told``, and to no other any more."""
    others = {each for each in session.explained if not each.startswith(_RANGE)}
    return replace(session, explained=frozenset({*others, _mark(told)}))


def _mark(used: MeterRange) -> str:
    return f"{_RANGE}{short(used.top)}"


def _finer(setup: SessionSetup, result: Result) -> MeterRange | None:
    """A range that shows more digits; of a meter in line, another range is another socket."""
    if setup.meter is None or result.quantity is None:
        return None
    return setup.meter.finer_range(result.quantity)

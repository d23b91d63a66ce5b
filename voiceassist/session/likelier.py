"""Which of several numbers that the same words can mean is possible at a step."""

from collections.abc import Sequence
from decimal import Decimal

from voiceassist.language.meanings import Meaning, Reading
from voiceassist.measure.quantity import Quantity
from voiceassist.session.possible import Bounds, bounds, limit_or_none
from voiceassist.session.session import Session, SessionSetup

#: Of two numbers ten- or a hundredfold apart, the one within the first factor of its limit was
#: meant, if no other is within the second.
_NEAR, _FAR = 3, 10


def possible_value(
    setup: SessionSetup, session: Session, meanings: Sequence[Meaning]
) -> Reading | None:
    """The one number of ``meanings`` that is possible here; None when not just one is.

    What the procedure calls plausible decides; else a limit with two ends, and else what can be
    read in a vehicle at all. A limit with one end passes what is far from it: it tells nothing.
    A limit never decides for a good value where a bad one can be read as well.
    """
    readings = [m for m in meanings if isinstance(m, Reading)]
    unit = setup.step(session).unit
    if unit is None or len(readings) < len(meanings):
        return None
    values = [Quantity(r.value, r.unit or unit) for r in readings]
    if any(value.unit.quantity != unit.quantity for value in values):
        return None
    step = setup.step(session)
    widest = bounds(setup, session, step)
    can_be = [at for at, value in enumerate(values) if _within(widest, value)]
    if widest is not None and len(can_be) == 1:
        return readings[can_be[0]]
    if step.plausible:
        return None
    likely, others = (_near_limit(setup, session, can_be, values, by) for by in (_NEAR, _FAR))
    if len(likely) != 1 or others != likely or _is_good(setup, session, values[likely[0]]):
        return None
    return readings[likely[0]]


def _within(ends: Bounds | None, value: Quantity) -> bool:
    return ends is None or ends[0] <= value <= ends[1]


def _is_good(setup: SessionSetup, session: Session, value: Quantity) -> bool:
    """Whether it lies within the limit, which has both ends here."""
    limit = limit_or_none(setup, session, setup.step(session))
    if limit is None or limit.low is None or limit.high is None:
        return False
    return limit.low <= value <= limit.high


def _near_limit(
    setup: SessionSetup,
    session: Session,
    among: Sequence[int],
    values: Sequence[Quantity],
    factor: int,
) -> Sequence[int]:
    """Which of ``values`` lie within a factor of both ends of the limit; none without two ends."""
    limit = limit_or_none(setup, session, setup.step(session))
    if limit is None or limit.low is None or limit.high is None or limit.low.value <= 0:
        return ()
    by = Decimal(factor)
    ends = (
        Quantity(limit.low.value / by, limit.low.unit),
        Quantity(limit.high.value * by, limit.high.unit),
    )
    return [at for at in among if _within(ends, values[at])]

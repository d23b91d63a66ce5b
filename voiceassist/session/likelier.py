"""Which of several numbers that the same words can mean is possible at a step."""

from collections.abc import Sequence
from decimal import Decimal

from voiceassist.language.meanings import Meaning, Reading
from voiceassist.measure.quantity import Quantity
from voiceassist.session.possible import bounds, limit_or_none
from voiceassist.session.session import Desk, Session

#: Of two numbers ten- or a hundredfold apart, the one within this factor of its limit was meant.
_NEAR = 3


def possible_value(desk: Desk, session: Session, meanings: Sequence[Meaning]) -> Reading | None:
    """The one number of ``meanings`` that is possible here; None when not just one is.

    What the procedure calls plausible decides; else a limit with two ends, and else what can be
    read in a vehicle at all. A limit with one end passes what is far from it: it tells nothing.
    """
    readings = [m for m in meanings if isinstance(m, Reading)]
    unit = desk.step(session).unit
    if unit is None or len(readings) < len(meanings):
        return None
    values = [Quantity(r.value, r.unit or unit) for r in readings]
    if any(value.unit.quantity != unit.quantity for value in values):
        return None
    step = desk.step(session)
    found = step.plausible or _near_limit(desk, session) or bounds(desk, session, step)
    if found is None:
        return None
    low, high = found
    inside = [r for r, value in zip(readings, values, strict=True) if low <= value <= high]
    return inside[0] if len(inside) == 1 else None


def _near_limit(desk: Desk, session: Session) -> tuple[Quantity, Quantity] | None:
    """What lies within a factor of both ends of the limit; None without two ends above zero."""
    limit = limit_or_none(desk, session, desk.step(session))
    if limit is None or limit.low is None or limit.high is None or limit.low.value <= 0:
        return None
    low, high = limit.low, limit.high
    near = Decimal(_NEAR)
    return Quantity(low.value / near, low.unit), Quantity(high.value * near, high.unit)

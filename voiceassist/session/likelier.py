"""Which of several numbers that the same words can mean is possible at a step."""

from collections.abc import Sequence
from decimal import Decimal

from voiceassist.errors import MeasureError
from voiceassist.language.meanings import Meaning, Reading
from voiceassist.measure.quantity import Quantity
from voiceassist.session.limits import limit_now
from voiceassist.session.session import Desk, Session

#: Of two numbers ten- or a hundredfold apart, the one within this factor of its limit was meant.
_NEAR = 3


def possible_value(desk: Desk, session: Session, meanings: Sequence[Meaning]) -> Reading | None:
    """The one number of ``meanings`` that is possible here; None when not just one is.

    What the procedure calls plausible decides; else a limit with two ends. A limit with one end
    passes what is far from it, so it tells nothing.
    """
    readings = [m for m in meanings if isinstance(m, Reading)]
    unit = desk.step(session).unit
    if unit is None or len(readings) < len(meanings):
        return None
    values = [Quantity(r.value, r.unit or unit) for r in readings]
    if any(value.unit.quantity != unit.quantity for value in values):
        return None
    bounds = desk.step(session).plausible or _near_limit(desk, session)
    if bounds is None:
        return None
    low, high = bounds
    inside = [r for r, value in zip(readings, values, strict=True) if low <= value <= high]
    return inside[0] if len(inside) == 1 else None


def _near_limit(desk: Desk, session: Session) -> tuple[Quantity, Quantity] | None:
    """What lies within a factor of both ends of the limit; None without two ends above zero."""
    try:
        filled = limit_now(desk, session, desk.step(session))
    except MeasureError:
        return None
    if filled is None or filled.limit.low is None or filled.limit.high is None:
        return None
    low, high = filled.limit.low, filled.limit.high
    if low.value <= 0:
        return None
    near = Decimal(_NEAR)
    return Quantity(low.value / near, low.unit), Quantity(high.value * near, high.unit)

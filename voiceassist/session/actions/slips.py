"""A number a thousand times off: most likely its prefix was left out or mistaken."""

from voiceassist.errors import MeasureError
from voiceassist.language.meanings import Reading
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import units_of
from voiceassist.session.copying import replace
from voiceassist.session.judge import judge
from voiceassist.session.limits import limit_now
from voiceassist.session.session import Desk, Session

#: Neighbouring prefixes differ by this power of ten.
_THOUSAND = 3
#: An open limit passes too much: a slip brings the number within this factor of an end.
_NEAR = 10


def prefix_slip(
    desk: Desk, session: Session, reading: Reading, passes: bool | None
) -> tuple[Reading, ...]:
    """The two readings that a number may be; none when it is plain.

    It is plain when it passes as it stands, or would come near its limit with no neighbouring
    prefix: "fifty" where at most 100 mV pass is not plain, nor is "eight point four millivolts"
    where 8 V do. A meter chooses the prefix so that it shows 1 to 999, so a bare number outside
    is not in doubt. ``passes`` tells whether it does as it stands; None when that is not known.
    """
    own = desk.step(session).unit
    if own is None or (reading.unit is None and not 1 <= abs(reading.value) < 1000):
        return ()
    said = reading.unit or own
    if said.quantity != own.quantity or passes is not False:
        return ()
    for other in units_of(said.quantity):
        slipped = replace(reading, unit=other)
        neighbour = abs(other.exponent - said.exponent) == _THOUSAND
        if neighbour and _near(desk, session, slipped) and _passes(desk, session, slipped):
            return (replace(reading, unit=said), slipped)
    return ()


def _passes(desk: Desk, session: Session, reading: Reading) -> bool:
    """Whether it passes; False too when it cannot be told."""
    result = judge(desk, session, reading).result
    return result is not None and result.passed


def _near(desk: Desk, session: Session, reading: Reading) -> bool:
    """True for a reading within a factor of an end of the step's limit, and within what can be."""
    step = desk.step(session)
    if reading.unit is None:
        return False
    value = Quantity(reading.value, reading.unit)
    if step.plausible is not None and not step.plausible[0] <= value <= step.plausible[1]:
        return False
    try:
        filled = limit_now(desk, session, step)
    except MeasureError:
        return False
    ends = (filled.limit.low, filled.limit.high) if filled is not None else ()
    size = abs(value.in_base)
    return any(
        abs(end.in_base) <= size * _NEAR and size <= abs(end.in_base) * _NEAR for end in ends if end
    )

"""Which readings a meter can show on the range that a step has it set to."""

from collections.abc import Sequence
from decimal import Decimal
from itertools import chain

from voiceassist.language.meanings import Plain, Reading
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import a_thousand_apart, units_of
from voiceassist.procedure.model import Step
from voiceassist.session.copying import replace

#: What a hand meter shows on one range: so many steps, and a little over its top. Common practice.
_COUNTS = 10_000
OVER_TOP = Decimal("1.1")
#: A good bench meter shows as many. Common practice.
_MOST_COUNTS = 100_000


def on_the_range(step: Step, reading: Reading) -> tuple[Reading, ...]:
    """A bare number in each unit in which the range of the step can show it; none without one."""
    top, own = step.meter, step.unit
    if top is None or own is None or reading.unit is not None or not reading.value:
        return ()
    if top.unit.quantity != own.quantity:
        return ()
    near = (u for u in units_of(own.quantity) if u == own or a_thousand_apart(u, own))
    meant = (replace(reading, unit=unit) for unit in near)
    return tuple(each for each in meant if _can_show(top, each))


def all_on_the_range(step: Step, meanings: Sequence[Plain]) -> Sequence[Plain]:
    """Those of several readings that the range can show, each value once; all if it shows none.

    "One eighty five milliamps" is not 1.85 mA on the range of 10 A, and "four twenty" may be
    4.20 A there.
    """
    readings = [each for each in meanings if isinstance(each, Reading) and each.value]
    if step.meter is None or step.unit is None or len(readings) < len(meanings):
        return meanings
    shown: dict[Decimal, Plain] = {}
    for reading in chain.from_iterable(_shown(step, step.meter, each) for each in readings):
        assert reading.unit is not None
        shown.setdefault(Quantity(reading.value, reading.unit).in_base, reading)
    return tuple(shown.values()) or meanings


def _shown(step: Step, top: Quantity, reading: Reading) -> tuple[Reading, ...]:
    bare = on_the_range(step, reading)
    if bare:
        return bare
    said = replace(reading, unit=reading.unit or step.unit)
    other = said.unit is None or said.unit.quantity != top.unit.quantity
    return (said,) if other or _can_show(top, said, _MOST_COUNTS) else ()


def _can_show(top: Quantity, reading: Reading, counts: int = _COUNTS) -> bool:
    """True when a meter on the range ``top`` can show ``reading`` with its last digit."""
    assert reading.unit is not None
    value = Quantity(reading.value, reading.unit)
    last = value.unit.size_to_base(value.step)
    return abs(value.in_base) <= top.in_base * OVER_TOP and last * counts >= top.in_base

"""The technician's meter in use: it errs within its data sheet and shows so many digits."""

from decimal import Decimal

import numpy as np

from voiceassist.language.meanings import OverRange, Reading
from voiceassist.measure.meter import Meter, MeterRange
from voiceassist.measure.quantity import Quantity

#: Digits of a meter that no range is known of; common practice, no source.
_DIGITS = 4


class MeterInUse:
    """One meter with the errors it happens to have.

    Its gain is off by an even share of the percentage of the range, the same for all readings on
    that range; each reading is off by an even share of the counts besides. Together they never
    leave what the data sheet bounds.

    Args:
        meter: by its data sheet; None for one without error.
        rng: where the errors are drawn from.
    """

    def __init__(self, meter: Meter | None, rng: np.random.Generator) -> None:
        self._meter = meter
        self._rng = rng
        self._gains: dict[Quantity, float] = {}

    def read(self, true: Quantity, on: Quantity | None = None) -> Reading | OverRange:
        """What the meter shows of ``true``, which is in a base unit.

        ``on`` is the range or socket that it is set to; None for the smallest that holds it.
        """
        kind = true.unit.quantity
        ranges = [r for r in self._meter.ranges if r.quantity == kind] if self._meter else []
        if self._meter is None or not ranges:
            return Reading(_rounded(true.value), true.unit)
        used = self._used(true, on)
        shown = self._shown(true, used) if used is not None else None
        if shown is not None and used is not None and not used.holds(shown):
            used = self._used(shown, on)  # its error takes it over the top of its range
            shown = self._shown(true, used) if used is not None else None
        return OverRange() if shown is None else Reading(shown.value, shown.unit)

    def top_for(self, expected: Quantity) -> Quantity | None:
        """The range for ``expected``, by its top; None when no range is known that holds it."""
        found = self._meter.range_for(expected) if self._meter is not None else None
        return found.top if found is not None else None

    def _used(self, value: Quantity, on: Quantity | None) -> MeterRange | None:
        """The smallest range that holds ``value``, of those that the meter is set to."""
        assert self._meter is not None
        if on is None:
            return self._meter.range_for(value)
        there = [each for each in self._meter.ranges if each.holds(value) and each.is_on(on)]
        smallest = min(there, key=lambda each: each.top.in_base, default=None)
        return smallest or self._meter.range_for(value)

    def _shown(self, true: Quantity, used: MeterRange) -> Quantity:
        if used.top not in self._gains:
            self._gains[used.top] = float(self._rng.uniform(-1, 1))
        unit = used.resolution.unit
        value = true.to(unit).value
        gain = Decimal(repr(self._gains[used.top])) * used.accuracy.percent / 100
        counts = round(float(self._rng.uniform(-1, 1)) * used.accuracy.counts)
        off = value + value * gain + counts * used.resolution.value
        return Quantity(off.quantize(used.resolution.value), unit)


def _rounded(value: Decimal) -> Decimal:
    """``value`` with as many digits as a meter shows, written without an exponent."""
    if not value:
        return Decimal(0)
    return value.quantize(Decimal(1).scaleb(value.adjusted() - _DIGITS + 1))

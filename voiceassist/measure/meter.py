"""A meter by its data sheet: ranges, accuracy, input resistance; and the doubt of a reading."""

from dataclasses import dataclass
from decimal import ROUND_UP, Decimal

from voiceassist.errors import MeasureError
from voiceassist.measure.accuracy import Accuracy
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.uncertainty import Estimate

_Parts = tuple[tuple[str, Decimal], ...]


@dataclass(frozen=True, slots=True)
class MeterRange:
    """One range of a meter.

    Parts:
        quantity: what it measures ("voltage").
        top: the largest value it shows.
        resolution: one count of its last digit.
        accuracy: percent of the reading and counts of ``resolution``.
        socket: where the red lead is for it, told by the top of that socket; None for the usual.
    """

    quantity: str
    top: Quantity
    resolution: Quantity
    accuracy: Accuracy
    socket: Quantity | None = None

    def __post_init__(self) -> None:
        if self.top.unit.quantity != self.quantity:
            raise MeasureError(
                f"a range for {self.quantity} cannot end at {self.top}",
                remedy=f"give its top in a unit of {self.quantity}",
            )
        if not self.resolution.value > 0 or not self.resolution < self.top:
            raise MeasureError(
                f"a range to {self.top} cannot show steps of {self.resolution}",
                remedy="give a resolution above zero and below the top",
            )
        if self.socket is not None and not self._within(self.socket):
            raise MeasureError(
                f"a range to {self.top} cannot be in a socket for {self.socket}",
                remedy="name the socket by its own top, such as 10 A",
            )

    def _within(self, socket: Quantity) -> bool:
        return socket.unit.quantity == self.quantity and self.top <= socket

    def is_on(self, setting: Quantity) -> bool:
        """True when it is the range ``setting``, or one of those in the socket of that name."""
        return setting in {self.top, self.socket} if self.socket else setting == self.top

    def shows(self, reading: Quantity) -> bool:
        """True when its last digit can show ``reading`` as it was said."""
        return not reading.in_base % self.resolution.in_base

    def holds(self, reading: Quantity) -> bool:
        """True when ``reading`` can be shown on it."""
        return reading.unit.quantity == self.quantity and abs(reading.in_base) <= self.top.in_base


@dataclass(frozen=True, slots=True)
class Meter:
    """A meter that picks the smallest range that holds the reading.

    Parts:
        name: tells it from other meters, whose errors are independent of its own.
        ranges: in any order.
        input_resistance: on its voltage ranges; None when not known.
    """

    name: str
    ranges: tuple[MeterRange, ...]
    input_resistance: Quantity | None = None

    def __post_init__(self) -> None:
        if not self.name or not self.ranges:
            raise MeasureError("a meter needs a name and a range", remedy="give both")
        tops = {(each.quantity, each.top.in_base) for each in self.ranges}
        if len(tops) < len(self.ranges):
            raise MeasureError(
                f"meter {self.name!r} has two ranges with the same top", remedy="take one out"
            )
        if self.input_resistance is not None:
            _check_resistance(self.input_resistance)
            if not self.input_resistance.in_base:
                raise MeasureError(
                    f"meter {self.name!r} cannot have an input resistance of zero",
                    remedy="give it as in the data sheet, such as 10 MΩ",
                )

    def range_for(self, reading: Quantity, on: Quantity | None = None) -> MeterRange | None:
        """The smallest range that holds ``reading``; None when there is none.

        Where the meter is set to the range or socket ``on`` and can show ``reading`` there, the
        smallest of those.
        """
        size, kind = abs(reading.in_base), reading.unit.quantity
        holding = [r for r in self.ranges if r.quantity == kind and size <= r.top.in_base]
        there = [each for each in holding if on is not None and each.is_on(on)]
        shown = [each for each in there if each.shows(reading)]
        return min(shown or holding, key=lambda each: each.top.in_base, default=None)

    def finer_range(self, reading: Quantity) -> MeterRange | None:
        """The finest range that holds ``reading`` and shows more digits than it was given with."""
        holding = (
            each
            for each in self.ranges
            if each.holds(reading) and each.resolution.size_in_base < _step(reading)
        )
        return min(holding, key=lambda each: each.resolution.size_in_base, default=None)

    def estimate(
        self,
        name: str,
        reading: Quantity,
        wander: Quantity | None = None,
        on: Quantity | None = None,
    ) -> Estimate:
        """``reading`` with its doubt.

        The data sheet bounds the error by a = percent of reading + counts, taken as
        rectangular: a/√3 (JCGM 100 4.3.7). Of that, counts/√3 belongs to this reading alone;
        the rest is shared by all readings of this meter on the same range, and so cancels
        between them. Digits left unsaid bring step/√12, a wandering reading its span/√12
        (half-width over √3 both). A reading beyond the ranges keeps the doubt of its last
        digit only; a count has none.

        Args:
            name: of the reading; its own doubt is named after it.
            reading: as said, with its digits.
            wander: from the lowest to the highest value seen.
            on: range or socket that the meter is set to; None for the smallest that holds it.

        Raises:
            MeasureError: ``wander`` is below zero or of another kind.
        """
        parts = self._range_parts(name, reading, on)
        if wander is not None:
            parts += ((f"wander {name}", _span(reading, wander) / _root(12)),)
        return Estimate(reading, parts)

    def unloaded(self, reading: Quantity, source: Quantity) -> Quantity:
        """The voltage there would be without the meter: V x (1 + source / input resistance).

        Other readings, and those of a meter whose input resistance is not known, stay as they
        are. ``source`` is the resistance that the meter sees.

        Raises:
            MeasureError: ``source`` is no resistance, or below zero.
        """
        _check_resistance(source)
        if self.input_resistance is None or reading.unit.quantity != "voltage":
            return reading
        whole = source + self.input_resistance
        return Quantity(reading.value * whole.in_base, reading.unit).over(
            self.input_resistance.in_base
        )

    def _range_parts(self, name: str, reading: Quantity, on: Quantity | None) -> _Parts:
        if reading.unit.quantity == "count":
            return ()
        step = _step(reading)
        rounding = ((f"digits {name}", step / _root(12)),)
        used = self.range_for(reading, on)
        if used is None:
            return rounding
        gain = abs(reading.size_in_base) * used.accuracy.percent / 100
        counts = used.accuracy.counts * used.resolution.size_in_base
        shared = ((gain * gain + 2 * gain * counts) / 3).sqrt().copy_sign(reading.value)
        return (
            (f"gain {self.name} {used.quantity} {used.top}", shared),
            (f"counts {name}", counts / _root(3)),
            *(rounding if step > used.resolution.size_in_base else ()),
        )


def bound(used: MeterRange, reading: Quantity) -> Quantity:
    """The most that ``used`` may be off at ``reading``, by the data sheet."""
    percent = abs(reading.in_base) * used.accuracy.percent / 100
    off = percent + used.accuracy.counts * used.resolution.in_base
    unit = used.resolution.unit
    counted = off.scaleb(-unit.exponent).quantize(used.resolution.value, ROUND_UP)
    return Quantity(counted, unit)


def _step(reading: Quantity) -> Decimal:
    """One count of the last digit given, in the base unit."""
    return reading.unit.size_to_base(reading.step)


def _root(number: int) -> Decimal:
    return Decimal(number).sqrt()


def _span(reading: Quantity, wander: Quantity) -> Decimal:
    wander.to(reading.unit)  # made for its check only
    span = wander.size_in_base
    if span < 0:
        raise MeasureError(f"a reading cannot wander by {wander}", remedy="give zero or more")
    return span


def _check_resistance(quantity: Quantity) -> None:
    if quantity.unit.quantity != "resistance" or quantity.in_base < 0:
        raise MeasureError(
            f"{quantity} is not a resistance that a source or meter can have",
            remedy="write it like 10 MΩ",
        )

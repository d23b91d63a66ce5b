"""Where a reading lies on its limit, for the eye: from the parts of a verdict's line."""

from decimal import Decimal

from voiceassist.errors import MeasureError
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.scale import Scale
from voiceassist.record.lines import VerdictLine

__all__ = ["Scale", "scale_of"]


def scale_of(line: VerdictLine) -> Scale | None:
    """The scale of a "verdict" line; None where there is nothing to measure out, as for lamps.

    Args:
        line: the guards may be missing. A reading without a figure beside a limit in figures is
            a meter over its range.
    """
    low, high = _quantity(line.low), _quantity(line.high)
    reading = line.reading
    over = not any(letter.isdigit() for letter in reading)
    values = [] if over else [_quantity(part) for part in reading.split(" to ")]
    if (low is None and high is None) or None in values or len(values) > 2:
        return None
    known = [value for value in (*values, low, high) if value is not None]
    if len({value.unit.quantity for value in known}) > 1:
        return None
    if low is not None and high is not None and high.in_base < low.in_base:
        return None  # no session wrote that
    return Scale(
        tuple(sorted(value.in_base for value in values if value is not None)),
        low.in_base if low else None,
        high.in_base if high else None,
        _base(line.guard_low),
        _base(line.guard_high),
        str(low or ""),
        str(high or ""),
    )


def _base(text: str) -> Decimal | None:
    found = _quantity(text)
    return found.in_base if found else None


def _quantity(text: str) -> Quantity | None:
    try:
        return Quantity.parse(text) if text else None
    except MeasureError:
        return None

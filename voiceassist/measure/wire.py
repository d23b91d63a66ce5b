"""Resistance of copper wire, and the voltage it drops.

Sources: IEC 60028 (copper of 100 % IACS: 1.7241e-8 Ω·m at 20 °C, 0.00393 per K), ASTM B258
(gauge to diameter), IEC 60228 table 3 (flexible conductors of class 5, plain, the most they may
have at 20 °C).
"""

from decimal import Decimal, localcontext
from types import MappingProxyType

from voiceassist.errors import MeasureError
from voiceassist.measure.quantity import QUOTIENT_DIGITS, Quantity
from voiceassist.measure.units import unit

#: Ω·mm² per m at 20 °C.
COPPER = Decimal("0.017241")
PER_KELVIN = Decimal("0.00393")

#: Nominal area in mm² -> Ω per km at 20 °C. Strands lie askew and fill the area only in part,
#: so this is 10 to 16 % above resistivity over area.
CLASS_5 = MappingProxyType(
    {
        Decimal(area): Decimal(resistance)
        for area, resistance in (
            ("0.5", "39.0"),
            ("0.75", "26.0"),
            ("1", "19.5"),
            ("1.5", "13.3"),
            ("2.5", "7.98"),
            ("4", "4.95"),
            ("6", "3.30"),
            ("10", "1.91"),
            ("16", "1.21"),
            ("25", "0.780"),
            ("35", "0.554"),
            ("50", "0.386"),
        )
    }
)

ROOM = Quantity.parse("20 °C")
# Where wire is used; the straight line of PER_KELVIN is good there. Common practice, no source.
_COLDEST, _HOTTEST = Quantity.parse("-60 °C"), Quantity.parse("200 °C")
_THICKEST, _THINNEST = -3, 40
_PI = Decimal("3.14159265358979323846")


def copper_resistance(
    size: Quantity | int, length: Quantity, temperature: Quantity = ROOM
) -> Quantity:
    """Resistance of one copper wire, in Ω with 12 significant digits at most.

    Args:
        size: nominal area of a flexible wire (class 5), or the AWG number of a solid one;
            0 for 1/0, -1 for 2/0.
        length: of the wire; there and back counts twice.
        temperature: of the copper.

    Raises:
        MeasureError: a size that is not made, a length below zero, a temperature that no wire
            stands, or a unit of another kind.
    """
    metres = length.to(unit("m")).value
    if metres < 0:
        raise MeasureError(f"a wire of {length} cannot be", remedy="give zero or more")
    with localcontext(prec=QUOTIENT_DIGITS):
        per_metre = _solid(size) if isinstance(size, int) else _flexible(size)
        return Quantity(per_metre * metres * _warmer(temperature), unit("Ω"))


def voltage_drop(
    size: Quantity | int, length: Quantity, current: Quantity, temperature: Quantity = ROOM
) -> Quantity:
    """Voltage that ``current`` drops along one copper wire, in V.

    Args and errors are those of ``copper_resistance``; ``current`` in a unit of current.
    """
    return current.to(unit("A")) * copper_resistance(size, length, temperature)


def gauge_diameter(gauge: int) -> Quantity:
    """Diameter of a solid wire by its AWG number, in mm: 0.127 mm x 92^((36 - n) / 39).

    Raises:
        MeasureError: a gauge below -3 (4/0) or above 40.
    """
    if not _THICKEST <= gauge <= _THINNEST:
        raise MeasureError(
            f"there is no gauge {gauge}", remedy=f"use {_THICKEST} (for 4/0) to {_THINNEST}"
        )
    with localcontext(prec=QUOTIENT_DIGITS):
        thicker = Decimal(92) ** (Decimal(36 - gauge) / 39)
        return Quantity(Decimal("0.127") * thicker, unit("mm"))


def _solid(gauge: int) -> Decimal:
    """Ω per m at 20 °C."""
    radius = gauge_diameter(gauge).value / 2
    return COPPER / (_PI * radius * radius)


def _flexible(area: Quantity) -> Decimal:
    """Ω per m at 20 °C."""
    size = area.to(unit("mm²")).value
    if size not in CLASS_5:
        raise MeasureError(
            f"{area} is not a size of flexible wire",
            remedy="use one of " + ", ".join(map(str, CLASS_5)) + " mm²",
        )
    return CLASS_5[size] / 1000


def _warmer(temperature: Quantity) -> Decimal:
    """How many times its resistance at 20 °C copper has."""
    if temperature < _COLDEST or temperature > _HOTTEST:
        raise MeasureError(
            f"no wire is used at {temperature}", remedy=f"give {_COLDEST} to {_HOTTEST}"
        )
    return 1 + PER_KELVIN * (temperature - ROOM).in_base

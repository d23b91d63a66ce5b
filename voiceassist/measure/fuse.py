"""Colours of blade fuses by their rating.

Source: ISO 8820-3 and SAE J1284; 1 A to 30 A as public tables print them, 35 A and 40 A
from memory. A colour alone does not tell the rating: red is 10 A, or 50 A in the large style.
"""

from collections.abc import Mapping
from decimal import Decimal
from types import MappingProxyType

from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import unit

#: Rating in A -> colour, for blade fuses of the small and the usual size.
FUSE_COLOURS: Mapping[Decimal, str] = MappingProxyType(
    {
        Decimal("1"): "black",
        Decimal("2"): "grey",
        Decimal("3"): "violet",
        Decimal("4"): "pink",
        Decimal("5"): "tan",
        Decimal("7.5"): "brown",
        Decimal("10"): "red",
        Decimal("15"): "blue",
        Decimal("20"): "yellow",
        Decimal("25"): "clear",
        Decimal("30"): "green",
        Decimal("35"): "blue-green",
        Decimal("40"): "amber",
    }
)


def fuse_colour(rating: Quantity) -> str | None:
    """The colour of a blade fuse; None when none of this rating has one.

    Raises:
        MeasureError: ``rating`` is not a current.
    """
    return FUSE_COLOURS.get(rating.to(unit("A")).value)

"""Colours of blade fuses by their rating.

Source: ISO 8820-3 and SAE J1284; 1 A to 30 A as public tables print them, 35 A, 40 A and the
large style from memory. A colour alone does not tell the rating: red is 10 A or 50 A.
"""

from collections.abc import Mapping
from decimal import Decimal
from types import MappingProxyType

from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import unit


def _by_rating(colours: Mapping[str, str]) -> Mapping[Decimal, str]:
    return MappingProxyType({Decimal(rating): colour for rating, colour in colours.items()})


#: Rating in A -> colour, for blade fuses of the small and the usual size.
FUSE_COLOURS = _by_rating(
    {
        "1": "black",
        "2": "grey",
        "3": "violet",
        "4": "pink",
        "5": "tan",
        "7.5": "brown",
        "10": "red",
        "15": "blue",
        "20": "yellow",
        "25": "clear",
        "30": "green",
        "35": "blue-green",
        "40": "amber",
    }
)
#: The same for large blade fuses.
LARGE_FUSE_COLOURS = _by_rating(
    {
        "20": "yellow",
        "30": "green",
        "40": "amber",
        "50": "red",
        "60": "blue",
        "70": "tan",
        "80": "clear",
    }
)


def fuse_colour(rating: Quantity, large: bool = False) -> str | None:
    """The colour of a blade fuse; None when none of this rating has one.

    Raises:
        MeasureError: ``rating`` is not a current.
    """
    amperes = rating.to(unit("A")).value
    return (LARGE_FUSE_COLOURS if large else FUSE_COLOURS).get(amperes)

"""The colours of wires, by their letters.

Source: IEC 60757:2021, code for designation of colours; from memory.
"""

import re
from types import MappingProxyType

from voiceassist.errors import CircuitError

#: Letters to the word for the colour.
COLOURS = MappingProxyType(
    {
        "BK": "black",
        "BN": "brown",
        "RD": "red",
        "OG": "orange",
        "YE": "yellow",
        "GN": "green",
        "BU": "blue",
        "VT": "violet",
        "GY": "grey",
        "WH": "white",
        "PK": "pink",
        "TQ": "turquoise",
    }
)
_LETTERS = MappingProxyType({word: letters for letters, word in COLOURS.items()})
_WORDS = re.compile(r"\b(" + "|".join(_LETTERS) + r")\b", re.IGNORECASE)
#: A wire has a colour, and perhaps a stripe of another.
_MOST = 2


def colour(written: str) -> str:
    """The letters of a wire's colour and, if it has one, of its stripe: "BN", "GNYE".

    Raises:
        CircuitError: they are none of ``COLOURS``, or more than two.
    """
    codes = [written[i : i + 2] for i in range(0, len(written), 2)]
    if not 0 < len(codes) <= _MOST or any(code not in COLOURS for code in codes):
        raise CircuitError(
            f"{written!r} is not a wire colour",
            remedy=f"use one or two of {', '.join(COLOURS)}, such as BN or GNYE",
        )
    return written


def colour_in(name: str) -> str:
    """The letters of the first two colours that the name of a wire tells; empty for none."""
    return "".join(_LETTERS[word.lower()] for word in _WORDS.findall(name)[:_MOST])

"""Units by symbol: SI base and prefix, and the few others a workshop reads.

Source: SI Brochure, 9th edition, chapter 3 table 7 (prefixes) and chapter 2
table 4 (names); from memory. Spoken unit names live in ``grammars/``.
"times" counts what happens a whole number of times, such as flashes.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from types import MappingProxyType

from voiceassist.errors import MeasureError

PREFIXES = MappingProxyType({"p": -12, "n": -9, "µ": -6, "m": -3, "": 0, "k": 3, "M": 6, "G": 9})

#: Quantities that can be spoken as a reading -> base symbol.
QUANTITIES = MappingProxyType(
    {
        "voltage": "V",
        "current": "A",
        "resistance": "Ω",
        "power": "W",
        "frequency": "Hz",
        "capacitance": "F",
        "time": "s",
        "pressure": "Pa",
        "ratio": "%",
        "temperature": "°C",
        "rotation": "rpm",
        "torque": "N·m",
        "count": "times",
    }
)
#: Quantities that stand in limits and formulas but are not spoken as a reading -> base symbol.
WRITTEN_ONLY = MappingProxyType({"length": "m", "area": "mm²"})
_KNOWN = MappingProxyType({**QUANTITIES, **WRITTEN_ONLY})

_PREFIXED = MappingProxyType(
    {
        **dict.fromkeys(("V", "A", "Ω", "W", "Hz", "F", "s", "Pa"), tuple(PREFIXES)),
        "m": ("m", "", "k"),
    }
)
_OTHER_SPELLINGS = MappingProxyType(
    {"ohm": "Ω", "Ohm": "Ω", "ohms": "Ω", "Nm": "N·m", "degC": "°C", "C": "°C", "mm2": "mm²"}
)


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit of measure.

    Parts:
        symbol: as written, with prefix ("mV").
        base: symbol without prefix ("V").
        exponent: power of ten from ``symbol`` to ``base`` (-3).
        quantity: what it measures ("voltage").
    """

    symbol: str
    base: str
    exponent: int
    quantity: str

    @property
    def factor(self) -> Decimal:
        """How many base units one of these is."""
        return Decimal(1).scaleb(self.exponent)

    def __str__(self) -> str:
        return self.symbol


def _all() -> Iterator[Unit]:
    for quantity, base in _KNOWN.items():
        for prefix in _PREFIXED.get(base, ("",)):
            yield Unit(prefix + base, base, PREFIXES[prefix], quantity)


_BY_SYMBOL = MappingProxyType({unit.symbol: unit for unit in _all()})


@cache
def unit(symbol: str) -> Unit:
    """Return the unit written ``symbol``; "uA", "kohm" and "Nm" are also taken.

    Raises:
        MeasureError: no such unit.
    """
    for spelling in _spellings(symbol.strip()):
        if spelling in _BY_SYMBOL:
            return _BY_SYMBOL[spelling]
    raise MeasureError(
        f"{symbol!r} is not a unit known here", remedy="use one of " + ", ".join(_common())
    )


def base_unit(quantity: str) -> Unit:
    """Return the unprefixed unit of ``quantity`` ("voltage").

    Raises:
        MeasureError: no such quantity.
    """
    if quantity not in _KNOWN:
        raise MeasureError(
            f"{quantity!r} is not a quantity known here",
            remedy="use one of " + ", ".join(_KNOWN),
        )
    return _BY_SYMBOL[_KNOWN[quantity]]


def units_of(quantity: str) -> tuple[Unit, ...]:
    """Return every unit of ``quantity``, smallest first."""
    return tuple(u for u in _BY_SYMBOL.values() if u.quantity == quantity)


def _spellings(symbol: str) -> Iterator[str]:
    yield symbol
    micro = symbol.replace("μ", "µ").replace("\N{OHM SIGN}", "Ω")
    yield micro
    yield "µ" + micro[1:] if micro[:1] == "u" else micro
    for written, ours in _OTHER_SPELLINGS.items():
        if micro.endswith(written):
            head = micro.removesuffix(written)
            yield ("µ" if head == "u" else head) + ours


def _common() -> list[str]:
    return [*_KNOWN.values(), "mV", "mA", "kΩ", "MΩ", "kPa", "ms"]

"""Units by symbol: SI base and prefix, and the few others a workshop reads.

Source: SI Brochure, 9th edition, chapter 3 table 7 (prefixes) and chapter 2
table 4 (names); from memory. Spoken unit names live in ``grammars/``.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from types import MappingProxyType

from voiceassist.errors import MeasureError

PREFIXES = MappingProxyType({"p": -12, "n": -9, "µ": -6, "m": -3, "": 0, "k": 3, "M": 6, "G": 9})

#: quantity -> base symbol; the first eight take prefixes.
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
    }
)
_PREFIXED = frozenset({"V", "A", "Ω", "W", "Hz", "F", "s", "Pa"})
_OTHER_SPELLINGS = MappingProxyType(
    {"ohm": "Ω", "Ohm": "Ω", "ohms": "Ω", "Nm": "N·m", "degC": "°C", "C": "°C"}
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
    for quantity, base in QUANTITIES.items():
        for prefix, exponent in PREFIXES.items() if base in _PREFIXED else (("", 0),):
            yield Unit(prefix + base, base, exponent, quantity)


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
    if quantity not in QUANTITIES:
        raise MeasureError(
            f"{quantity!r} is not a quantity known here",
            remedy="use one of " + ", ".join(QUANTITIES),
        )
    return _BY_SYMBOL[QUANTITIES[quantity]]


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
    return [*QUANTITIES.values(), "mV", "mA", "kΩ", "MΩ", "kPa", "ms"]

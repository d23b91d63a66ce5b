"""Units by symbol: SI base and prefix, and the few others a workshop reads.

Source: SI Brochure, 9th edition, chapter 3 table 7 (prefixes), chapter 2 table 4 (names) and
chapter 4 (minute, hour); NIST SP 811, appendix B (psi, degree Fahrenheit); from memory. Spoken
unit names live in ``grammars/``. "times" counts what happens a whole number of times, such as
flashes; ":1" is a plain ratio, as in 14.7:1.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal, localcontext
from fractions import Fraction
from functools import cache
from types import MappingProxyType

from voiceassist.errors import MeasureError

#: Powers of ten between two prefixes that follow each other.
_THOUSAND = 3
PREFIXES = MappingProxyType({"p": -12, "n": -9, "µ": -6, "m": -3, "": 0, "k": 3, "M": 6, "G": 9})

#: Quantities that can be spoken as a reading -> base symbol.
QUANTITIES = MappingProxyType(
    {
        "voltage": "V",
        "ac-voltage": "V AC",
        "current": "A",
        "resistance": "Ω",
        "power": "W",
        "charge": "A·h",
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
        "V AC": ("m", "", "k"),
        "A·h": ("m", ""),
    }
)
#: A pound-force on a square inch, in pascals: both are defined by SI units.
_PSI = Fraction("4.4482216152605") / Fraction("0.0254") ** 2
#: Units with other names or other factors: symbol, quantity, power of ten, factor, zero.
_OTHERS = (
    ("mbar", "pressure", 2, Fraction(1), Fraction(0)),
    ("bar", "pressure", 5, Fraction(1), Fraction(0)),
    ("psi", "pressure", 0, _PSI, Fraction(0)),
    ("min", "time", 0, Fraction(60), Fraction(0)),
    ("h", "time", 0, Fraction(3600), Fraction(0)),
    ("°F", "temperature", 0, Fraction(5, 9), Fraction(-160, 9)),
    (":1", "ratio", 2, Fraction(1), Fraction(0)),
)
_OTHER_SPELLINGS = MappingProxyType(
    {
        "ohm": "Ω",
        "Ohm": "Ω",
        "ohms": "Ω",
        "Nm": "N·m",
        "mm2": "mm²",
        "Ah": "A·h",
        "degC": "°C",
        "C": "°C",
        "degF": "°F",
        "VAC": "V AC",
        "V~": "V AC",
    }
)


_ONE, _NONE = Fraction(1), Fraction(0)


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit of measure.

    Parts:
        symbol: as written, with prefix ("mV").
        base: symbol of the base unit of its quantity ("V").
        exponent: power of ten from ``symbol`` to ``base`` (-3).
        quantity: what it measures ("voltage").
        times: what comes on top of that power of ten (60 for min).
        zero: its zero in the base unit (-160/9 for °F).
    """

    symbol: str
    base: str
    exponent: int
    quantity: str
    times: Fraction = _ONE
    zero: Fraction = _NONE

    @property
    def factor(self) -> Fraction:
        """How many base units one of these is."""
        return self.times * Fraction(10) ** self.exponent

    @property
    def is_decimal(self) -> bool:
        """True when only a power of ten lies between it and the base unit."""
        # most are the very same fractions, and a proof asks this a thousand times a walk
        return (self.times is _ONE or self.times == _ONE) and (self.zero is _NONE or not self.zero)

    def to_base(self, value: Decimal) -> Decimal:
        """``value`` of these in base units; exact, or to 28 digits where none are enough."""
        if self.is_decimal:
            return value.scaleb(self.exponent)
        return _decimal(Fraction(value) * self.factor + self.zero)

    def convert(self, value: Decimal, other: "Unit") -> Decimal:
        """``value`` of these in ``other``, a unit of the same quantity; exact as ``to_base``."""
        if self.is_decimal and other.is_decimal:
            return value.scaleb(self.exponent - other.exponent)
        if self == other:
            return value
        base = Fraction(value) * self.factor + self.zero
        return _decimal((base - other.zero) / other.factor)

    def size_to_base(self, size: Decimal) -> Decimal:
        """A difference of ``size`` of these in base units."""
        if self.is_decimal:
            return size.scaleb(self.exponent)
        return _decimal(Fraction(size) * self.factor)

    def size_from_base(self, size: Decimal) -> Decimal:
        """A difference of ``size`` base units in these."""
        if self.is_decimal:
            return size.scaleb(-self.exponent)
        return _decimal(Fraction(size) / self.factor)

    def __str__(self) -> str:
        return self.symbol


def _decimal(number: Fraction) -> Decimal:
    with localcontext(prec=28):
        return Decimal(number.numerator) / Decimal(number.denominator)


def _all() -> Iterator[Unit]:
    for quantity, base in _KNOWN.items():
        for prefix in _PREFIXED.get(base, ("",)):
            yield Unit(prefix + base, base, PREFIXES[prefix], quantity)
    for symbol, quantity, exponent, times, zero in _OTHERS:
        yield Unit(symbol, _KNOWN[quantity], exponent, quantity, times, zero)


_BY_SYMBOL = MappingProxyType({unit.symbol: unit for unit in _all()})
#: Names of units as people write them out, in the singular, and how they are written here.
_BY_NAME = MappingProxyType(
    {
        "volt": "V", "millivolt": "mV", "amp": "A", "ampere": "A", "milliamp": "mA",
        "milliampere": "mA", "ohm": "Ω", "kilohm": "kΩ", "kiloohm": "kΩ", "megohm": "MΩ",
        "watt": "W", "kilowatt": "kW", "hertz": "Hz", "percent": "%", "per cent": "%",
        "second": "s", "sec": "s", "minute": "min", "hour": "h", "hr": "h", "bar": "bar",
        "metre": "m", "meter": "m", "millimetre": "mm", "millimeter": "mm", "degree": "°C",
        "degc": "°C", "celsius": "°C",
    }
)  # fmt: skip


@cache
def unit(symbol: str) -> Unit:
    """Return the unit written ``symbol``; "uA", "kohm" and "Nm" are also taken.

    Raises:
        MeasureError: no such unit.
    """
    for spelling in _spellings(symbol.strip()):
        if spelling in _BY_SYMBOL:
            return _BY_SYMBOL[spelling]
    raise MeasureError(f"{symbol!r} is not a known unit", remedy=unit_remedy(symbol))


def unit_remedy(word: str) -> str:
    """What to write for ``word``: the unit that it calls by its name, else one of the common."""
    plain = word.strip().casefold().removesuffix(".")
    names = (_BY_NAME.get(name) for name in (plain, plain.removesuffix("s")))
    meant = next((f"write {symbol}, or " for symbol in names if symbol), "")
    return f"{meant}use one of " + ", ".join(_common())


def base_unit(quantity: str) -> Unit:
    """Return the unprefixed unit of ``quantity`` ("voltage").

    Raises:
        MeasureError: no such quantity.
    """
    if quantity not in _KNOWN:
        raise MeasureError(
            f"{quantity!r} is not a known quantity", remedy="use one of " + ", ".join(_KNOWN)
        )
    return _BY_SYMBOL[_KNOWN[quantity]]


def units_of(quantity: str) -> tuple[Unit, ...]:
    """Return every unit of ``quantity``, smallest first."""
    found = (u for u in _BY_SYMBOL.values() if u.quantity == quantity)
    return tuple(sorted(found, key=lambda each: each.factor))


def a_thousand_apart(one: Unit, other: Unit) -> bool:
    """True when a prefix that was missed makes one of the other, such as mV of V."""
    return one.is_decimal and other.is_decimal and abs(one.exponent - other.exponent) == _THOUSAND


@cache
def written_symbols(*, spoken: bool = False) -> tuple[str, ...]:
    """Every way to write a unit, longest first; ``spoken`` leaves out what is never a reading."""
    wanted = [u.symbol for u in _BY_SYMBOL.values() if not spoken or u.quantity in QUANTITIES]
    found = {*wanted}
    for written, ours in _OTHER_SPELLINGS.items():
        found |= {s.removesuffix(ours) + written for s in wanted if s.endswith(ours)}
    found |= {s.replace("Ω", "\N{OHM SIGN}") for s in found}
    found |= {letter + s[1:] for s in found if s[0] == "µ" for letter in "uμ"}
    return tuple(sorted(found, key=lambda symbol: (-len(symbol), symbol)))


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
    return [
        *_KNOWN.values(),
        "mV",
        "mA",
        "kΩ",
        "MΩ",
        "kPa",
        "bar",
        "psi",
        "ms",
        "min",
        "h",
        "°F",
        ":1",
    ]

"""A decimal number with its unit; digits are kept as they were given."""

import re
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation, localcontext
from types import MappingProxyType

from voiceassist.errors import MeasureError
from voiceassist.measure.units import Unit, base_unit, unit

_WRITTEN = re.compile(r"\s*([+\-−]?\s*\d+(?:\.\d+)?|[+\-−]?\s*\.\d+)\s*(?![\d.])(\S+(?: AC)?)\s*")
_NUMBER = re.compile(r"\s*\d+(?:\.\d+)?\s*")

#: Significant digits of what is divided; no meter in a workshop shows more than seven.
QUOTIENT_DIGITS = 12
#: Ohm's law and electrical power; the factors may stand in either order.
_PRODUCTS = MappingProxyType(
    {("voltage", "current"): "power", ("current", "resistance"): "voltage"}
)
_QUOTIENTS = MappingProxyType(
    {
        ("voltage", "current"): "resistance",
        ("voltage", "resistance"): "current",
        ("power", "voltage"): "current",
        ("power", "current"): "voltage",
    }
)


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value and its unit.

    Parts:
        value: finite Decimal in ``unit``; trailing zeros matter (12.60 is finer than 12.6).
        unit: its unit.
    """

    value: Decimal
    unit: Unit

    def __post_init__(self) -> None:
        if not isinstance(self.value, Decimal):
            raise TypeError(f"a Quantity holds a Decimal, not {type(self.value).__name__}")
        if not self.value.is_finite():
            raise MeasureError(f"{self.value} is not a reading")

    @classmethod
    def parse(cls, text: str, kind: str = "") -> "Quantity":
        """Read "8.4 V" or "-20 mA"; ``kind`` is the quantity that is wanted, for the remedy.

        Raises:
            MeasureError: not a number with a unit.
        """
        match = _WRITTEN.fullmatch(text)
        if match is None:
            number = text.strip() if kind and _NUMBER.fullmatch(text) else "8.4"
            raise MeasureError(
                f"{text!r} is not a number with a unit",
                remedy=f"write it like {number} {base_unit(kind or 'voltage')}",
            )
        try:
            value = Decimal(match[1].replace("−", "-").replace(" ", ""))
        except InvalidOperation as error:
            raise MeasureError(f"{text!r} holds no number") from error
        return cls(value, unit(match[2]))

    @property
    def in_base(self) -> Decimal:
        """The value in the base unit (84 mV gives 0.084)."""
        return self.unit.to_base(self.value)

    @property
    def size_in_base(self) -> Decimal:
        """The value of a difference in the base unit: 9 °F more are 5 °C more."""
        return self.unit.size_to_base(self.value)

    @property
    def step(self) -> Decimal:
        """One count of the last digit given, in ``unit`` (12.60 gives 0.01, 60 gives 1)."""
        exponent = self.value.as_tuple().exponent
        assert isinstance(exponent, int)  # finite, checked when made
        return Decimal(1).scaleb(exponent)

    def to(self, other: Unit) -> "Quantity":
        """The same quantity in another unit of its kind.

        Raises:
            MeasureError: the units measure different things.
        """
        self._same_kind(other)
        return Quantity(self.unit.convert(self.value, other), other)

    def as_read(self, other: Unit) -> "Quantity":
        """The same in another unit, as fine as it was given: 70 °F is 21.1 °C.

        Raises:
            MeasureError: the units measure different things.
        """
        exact = self.to(other)
        count = other.size_from_base(self.unit.size_to_base(self.step))
        return Quantity(exact.value.quantize(Decimal(1).scaleb(count.adjusted())), other)

    def __add__(self, other: "Quantity") -> "Quantity":
        self._one_zero(other)
        return Quantity(self.value + other.to(self.unit).value, self.unit)

    def __sub__(self, other: "Quantity") -> "Quantity":
        self._one_zero(other)
        return Quantity(self.value - other.to(self.unit).value, self.unit)

    def __mul__(self, other: "Quantity") -> "Quantity":
        """A product of electrical quantities, or a share in percent of any quantity.

        Raises:
            MeasureError: the two make no quantity known here.
        """
        kinds = (self.unit.quantity, other.unit.quantity)
        if kinds[1] == "ratio":
            return self.times(other.value / 100)
        if kinds[0] == "ratio":
            return other * self
        product = _PRODUCTS.get(kinds) or _PRODUCTS.get(kinds[::-1])
        if product is None:
            raise MeasureError(
                f"{kinds[0]} times {kinds[1]} is not a known quantity",
                remedy="multiply V by A, A by Ω, or a reading by a number or a percentage",
            )
        return Quantity(self.in_base * other.in_base, base_unit(product))

    def __truediv__(self, other: "Quantity") -> "Quantity":
        """A quotient of electrical quantities, or in percent of two of one kind.

        It has 12 significant digits at most.

        Raises:
            MeasureError: division by zero, or the two make no quantity known here.
        """
        kinds = (self.unit.quantity, other.unit.quantity)
        if kinds[1] == "ratio":
            return self.over(other.value / 100)
        # degrees Celsius have no zero to take shares from
        if kinds[0] == kinds[1] != "temperature":
            return Quantity(_quotient(self.in_base * 100, other.in_base), base_unit("ratio"))
        quotient = _QUOTIENTS.get(kinds)
        if quotient is None:
            raise MeasureError(
                f"{kinds[0]} divided by {kinds[1]} is not a known quantity",
                remedy="divide V by A or Ω, W by V or A, or two readings of one kind",
            )
        return Quantity(_quotient(self.in_base, other.in_base), base_unit(quotient))

    def over(self, divisor: Decimal) -> "Quantity":
        """Divided by ``divisor``, a plain number; 12 significant digits at most.

        Raises:
            MeasureError: division by zero.
        """
        return Quantity(_quotient(self.value, divisor), self.unit)

    def __neg__(self) -> "Quantity":
        return Quantity(-self.value, self.unit)

    def times(self, factor: Decimal) -> "Quantity":
        """This many times ``factor``, a plain number."""
        return Quantity(self.value * factor, self.unit)

    def __lt__(self, other: "Quantity") -> bool:
        self._same_kind(other.unit)
        return self.in_base < other.in_base

    def __le__(self, other: "Quantity") -> bool:
        self._same_kind(other.unit)
        return self.in_base <= other.in_base

    def same_as(self, other: "Quantity") -> bool:
        """True when both are the same amount, however written (0.084 V and 84 mV)."""
        return self.unit.quantity == other.unit.quantity and self.in_base == other.in_base

    def __str__(self) -> str:
        return f"{self.value:f}{'' if self.unit.symbol == ':1' else ' '}{self.unit}"

    def _one_zero(self, other: "Quantity") -> None:
        """Refuse a sum over two zeros: 5 °C more than 70 °F has nothing to do with 41 °F."""
        self._same_kind(other.unit)
        if self.unit.zero != other.unit.zero:
            raise MeasureError(
                f"{self} and {other} cannot be added or subtracted",
                remedy=f"write both in {base_unit(self.unit.quantity)}",
            )

    def _same_kind(self, other: Unit) -> None:
        if self.unit.quantity != other.quantity:
            raise MeasureError(
                f"{self} is a {self.unit.quantity}, and {other} measures {other.quantity}",
                remedy="use the same kind of unit on both sides",
            )


def _quotient(top: Decimal, bottom: Decimal) -> Decimal:
    if not bottom:
        raise MeasureError("nothing can be divided by zero", remedy="check the reading below the /")
    with localcontext(prec=QUOTIENT_DIGITS):
        return top / bottom

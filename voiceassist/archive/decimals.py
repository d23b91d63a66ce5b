"""Decimals in a database: kept as text, digit for digit, and put in order by a text key.

SQLite has binary numbers only, and NUMERIC of other databases drops or adds zeros. So 12.60
stays "12.60", and order comes from a second column whose texts sort as the numbers do.
"""

from decimal import Decimal, InvalidOperation

from sqlalchemy import Dialect, Text
from sqlalchemy.types import TypeDecorator

from voiceassist.errors import ArchiveContentError

#: Powers of ten between minus and plus this many can be put in order.
_SPAN = 50_000
_COMPLEMENT = str.maketrans("0123456789", "9876543210")


def sort_key(value: Decimal) -> str:
    """A text that sorts, by code points, among others as ``value`` does among numbers.

    A sign (0 negative, 1 zero, 2 positive), the power of ten in five digits, then the digits.
    Negative numbers carry the nines' complement, and "~" behind it: of two with the same
    beginning the longer is the smaller.

    Raises:
        ValueError: not finite, or beyond 10 to the power of plus or minus 50 000.
    """
    if not value.is_finite():
        raise ValueError(f"{value} has no place among numbers")
    sign, figures, exponent = value.as_tuple()
    assert isinstance(exponent, int)  # finite
    digits = "".join(map(str, figures)).lstrip("0")
    if not digits:
        return "1"
    power = exponent + len(digits) - 1
    if abs(power) >= _SPAN:
        raise ValueError(f"{value} is out of all proportion")
    size = f"{power + _SPAN:05d}{digits.rstrip('0')}"
    return f"0{size.translate(_COMPLEMENT)}~" if sign else f"2{size}"


class ExactDecimal(TypeDecorator[Decimal]):
    """A column of decimals that come back with every digit they went in with."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Decimal | None, dialect: Dialect) -> str | None:
        """As text."""
        return None if value is None else str(value)

    def process_result_value(self, value: str | None, dialect: Dialect) -> Decimal | None:
        """From text.

        Raises:
            ArchiveContentError: somebody has put something there that is no number.
        """
        try:
            return None if value is None else Decimal(value)
        except (InvalidOperation, TypeError):
            raise ArchiveContentError(
                f"the archive holds {value!r} where a number belongs",
                remedy="make it anew: voiceassist records rebuild",
            ) from None

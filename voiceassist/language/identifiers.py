"""Vehicle identification numbers: what the characters must be, and the check digit.

Source: 49 CFR 565.15(c), tables III (values of the letters), IV (weights) and V (an example).
The check digit is required in the United States and Canada only; elsewhere a number may fail
it and still be right, so a failed check is a warning.
"""

VIN_LENGTH = 17
_CHECK_PLACE = 8
_WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
_VALUES = {
    **{str(digit): digit for digit in range(10)},
    **dict(zip("ABCDEFGH", range(1, 9), strict=True)),
    **dict(zip("JKLMN", range(1, 6), strict=True)),
    "P": 7,
    "R": 9,
    **dict(zip("STUVWXYZ", range(2, 10), strict=True)),
}


def is_vin(text: str) -> bool:
    """True for 17 digits and capital letters without I, O and Q."""
    return len(text) == VIN_LENGTH and all(char in _VALUES for char in text)


def check_digit(vin: str) -> str:
    """What the ninth character of ``vin`` should be: a digit or X.

    Raises:
        ValueError: ``vin`` is not 17 characters a VIN may have.
    """
    if not is_vin(vin):
        raise ValueError(f"{vin!r} is not a vehicle identification number")
    remainder = sum(_VALUES[c] * w for c, w in zip(vin, _WEIGHTS, strict=True)) % 11
    return "X" if remainder == 10 else str(remainder)


def passes_check(vin: str) -> bool:
    """True when the ninth character is the check digit. See above for what failing means."""
    return check_digit(vin) == vin[_CHECK_PLACE]

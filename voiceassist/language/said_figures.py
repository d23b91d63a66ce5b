"""Figures as they are said, for a guess that has learned from words alone."""

import re
from collections.abc import Iterator, Sequence

_FIGURES = re.compile(r"(\d+)(?:\.(\d+))?")
_ONES = (
    *("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"),
    *("eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen"),
    "nineteen",
)
_TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_UNITS = {"v": "volts", "a": "amps", "mv": "millivolts", "ma": "milliamps"}


def as_said(words: Sequence[str]) -> list[str]:
    """``words`` with figures spelled out: "12.3 v" is "twelve point three volts"."""
    said, figures = list[str](), False
    for word in words:
        found = _FIGURES.fullmatch(word)
        unit = _UNITS.get(word, word) if figures else word
        said += _spelled(found[1], found[2] or "") if found else [unit]
        figures = found is not None
    return said


def _spelled(whole: str, behind: str) -> Iterator[str]:
    yield from _whole(whole)
    if behind:
        yield "point"
        yield from (_ONES[int(digit)] for digit in behind)


def _whole(digits: str) -> Iterator[str]:
    number = int(digits)
    if number >= 100:
        yield from (_ONES[int(digit)] for digit in digits)
    elif number < len(_ONES):
        yield _ONES[number]
    else:
        yield _TENS[number // 10 - 2]
        if number % 10:
            yield _ONES[number % 10]

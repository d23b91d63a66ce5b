"""Typed figures: how they are read, and what must not be passed over in them.

A sign that is left out can make another number of a figure.
"""

import re
from collections.abc import Set

from voiceassist.measure.units import written_symbols

_UNCLEAR = re.compile(
    r"""
    \d \s* [-−–—‑+*×/;:<>=±]+ \s* \d   # 3-5  1/2  5 ± 0.2  8;4
    | \d \. \s+ \d                     # 8. 4
    | \d \s+ \d{2}                     # 1 000  1 05
    | [–—‑±<>=+] \s* \d                # –12  <5
    | [-−] (?: \s+ | [-−]+ \s* ) \d    # - 12  --5
    """,
    re.VERBOSE,
)


def unclear_figures(text: str) -> str:
    """The first figures in ``text`` that are no plain number; empty when all are.

    A plain number has its minus directly before it and no sign or gap inside.
    """
    found = _UNCLEAR.search(text)
    return found[0].strip() if found else ""


#: Where a figure begins, and not the middle of a name or of a longer figure.
_BEGINS = r"(?<![\w.,:])"
_NO_MORE = r"(?![.,]?\d)"
_POINT_FIRST = re.compile(rf"{_BEGINS}\.(?=\d)")
#: "1,200,000", "1,200.5": they can only part thousands; "1.200,5" as well.
_THOUSANDS = re.compile(
    rf"{_BEGINS}[1-9]\d{{0,2}}(?:(?:,\d{{3}}){{2,}}|(?:,\d{{3}})+\.\d+){_NO_MORE}"
)
_THOUSANDS_BY_POINTS = re.compile(rf"{_BEGINS}[1-9]\d{{0,2}}(?:\.\d{{3}})+,\d+{_NO_MORE}")
#: "1,200": thousands or a decimal comma.
_EITHER = re.compile(rf"{_BEGINS}([1-9]\d{{0,2}}),(\d{{3}}){_NO_MORE}")
_DECIMAL_COMMA = re.compile(rf"{_BEGINS}(\d+),(\d+){_NO_MORE}")
#: "4k7", "12v5": the letter stands for the point, as IEC 60062 marks parts.
_LETTER_FOR_POINT = re.compile(rf"{_BEGINS}(\d+)([kKMrRvV])(\d+)(?!\w)")
#: "87a" is a terminal of a relay, by DIN 72552.
_STUCK = re.compile(rf"{_BEGINS}(?!87a\b)(\d+(?:\.\d+)?)( ?)(°?[^\W\d_]+)(?![\w°])")
#: Letters that no unit is written with; what they are read as.
_LETTERS = {"M": "meg", "r": "Ω", "R": "Ω"}
_DIRECT_OR_NOT = {"vdc": "V", "vac": "V AC", "adc": "A"}


def comma_ways(text: str) -> tuple[str, ...]:
    """``text`` with a point in each figure that has a decimal comma, and no other commas in it.

    There are two ways where a comma may part thousands or decimals: "1,200".
    """
    text = _THOUSANDS.sub(lambda found: found[0].replace(",", ""), text)
    text = _THOUSANDS_BY_POINTS.sub(lambda found: found[0].replace(".", "").replace(",", "."), text)
    ways = (_EITHER.sub(r"\1\2", text), _EITHER.sub(r"\1.\2", text))
    return tuple(dict.fromkeys(_DECIMAL_COMMA.sub(r"\1.\2", way) for way in ways))


def unstuck(text: str, unit_words: Set[str]) -> str:
    """``text`` with a gap before a unit that is stuck to its figure, and the unit as it is written.

    "12.5v" is 12.5 V and "1.2k" is 1.2 k; letters that are neither a unit nor among ``unit_words``
    stay with their figure: "2nd".
    """
    text = _POINT_FIRST.sub("0.", text)
    text = _LETTER_FOR_POINT.sub(r"\1.\3\2", text)
    return _STUCK.sub(lambda found: _parted(found, unit_words), text)


def _parted(found: re.Match[str], unit_words: Set[str]) -> str:
    number, gap, letters = found.groups()
    plain = letters.lower()
    if letters in _SYMBOLS or (gap and plain not in _DIRECT_OR_NOT):
        return found[0]
    read_as = _LETTERS.get(letters) or _DIRECT_OR_NOT.get(plain) or _IN_SMALL.get(plain)
    if read_as is not None:
        return f"{number} {read_as}"
    return f"{number} {letters}" if plain in unit_words else found[0]


def _in_small() -> dict[str, str]:
    """Units by their small letters, where these tell which one is meant: "mv" but not "mw"."""
    known: dict[str, set[str]] = {}
    for symbol in _SYMBOLS:
        known.setdefault(symbol.lower(), set()).add(symbol)
    return {small: symbols.pop() for small, symbols in known.items() if len(symbols) == 1}


_SYMBOLS = frozenset(written_symbols(spoken=True))
_IN_SMALL = _in_small()

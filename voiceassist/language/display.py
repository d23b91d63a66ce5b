"""Turns figures and unit symbols in a text meant for the eye into words for the ear."""

import re
from collections.abc import Callable
from decimal import Decimal

from voiceassist.errors import LanguageError, MeasureError
from voiceassist.language.meanings import Meaning, Reading
from voiceassist.measure.units import Unit, unit, written_symbols

_FIGURE = re.compile(
    r"(?:(?<![\w.,:)\]%°-])(?P<minus>[-−])|(?<![\w.,:]))"
    r"(?P<number>\d{1,9}(?:\.\d{1,9})?)"
    r"(?:[ \u00a0\u202f]?(?P<unit>"
    + "|".join(map(re.escape, written_symbols(spoken=True)))
    + r")(?![\w°Ω]))?"
    r"(?!\d|[.,:]\d|[A-Za-z])"
)
_WORD_BEHIND = re.compile(r" (\w+)")


def spoken(
    text: str,
    say: Callable[[Meaning], str],
    rated: Callable[[Unit, str], str | None] = lambda unit, noun: None,
) -> str:
    """``text`` with every figure, and the unit symbol behind it, in words; digits kept.

    A hyphen counts as a minus only at the start of a word. Figures that the language cannot
    say, and those inside names ("H4", "08:30"), stay as they are. ``rated`` gives the word for
    a unit that belongs to the noun behind it ("30 A fuse"), or None.
    """

    def words(match: re.Match[str]) -> str:
        value = Decimal(match["number"])
        value = -value if match["minus"] else value
        symbol = _unit(match["unit"])
        noun = _WORD_BEHIND.match(text, match.end())
        before_noun = rated(symbol, noun[1]) if symbol is not None and noun else None
        try:
            if before_noun is not None:
                return f"{say(Reading(value))} {before_noun}"
            return say(Reading(value, symbol))
        except LanguageError:
            return match[0]

    return _FIGURE.sub(words, text)


def _unit(symbol: str | None) -> Unit | None:
    if symbol is None:
        return None
    try:
        return unit(symbol)
    except MeasureError:
        return None

"""Phrases that a phrase could be taken for: the ear learns to tell them apart.

The rest of a grammar, in small: what differs in one word that sounds alike, in one digit, in
the unit, or in a word left out or added.
"""

from collections.abc import Callable
from random import Random

from training.numbers import DIGITS, TEENS, TENS

_PAIRS = dict(zip(TEENS[3:], TENS[1:], strict=True))
_PAIRS.update({ten: teen for teen, ten in _PAIRS.items()})
_UNITS = (
    *("volts", "millivolts", "amps", "milliamps", "ohms", "kilohms", "megohms", "hertz"),
    *("percent", "watts", "seconds", "degrees", "volt", "amp", "ohm", "kilohertz"),
)
#: A digit, its teen and its ten: eight, eighteen, eighty.
_LONGER = tuple(zip(DIGITS[2:], ("twelve", *TEENS[3:]), TENS, strict=True))
_OF_A_KIND = {word: tuple(w for w in kin if w != word) for kin in _LONGER for word in kin}
_ALIKE = {
    "nine": ("five", "niner", "one"),
    "five": ("nine", "four"),
    "oh": ("four", "zero"),
    "one": ("nine", "four"),
    "four": ("five", "forty", "fourteen"),
    "zero": ("oh", "two"),
    "ten": ("two", "seven"),
    "seven": ("eleven", "seventy"),
    "eleven": ("seven",),
    "six": ("sixty", "sixteen"),
    "eight": ("eighty", "eighteen"),
    "three": ("thirty", "two"),
    "two": ("three", "ten"),
    "twelve": ("twenty",),
    "twenty": ("twelve", "seventy"),
    "go": ("no",),
    "no": ("go", "note"),
    "on": ("off",),
    "off": ("on",),
    "yes": ("yeah",),
    "louder": ("slower",),
    "slower": ("louder", "softer"),
    "softer": ("slower",),
}
_KNOWN = frozenset((*DIGITS, *TEENS, *TENS, *_UNITS, "oh", "point", "hundred"))

Change = Callable[[list[str], int, Random], list[str] | None]


def rivals(text: str, count: int, rng: Random) -> list[str]:
    """Up to ``count`` phrases near the text, none of them the text."""
    words = text.split()
    found: dict[str, None] = {}
    for _ in range(4 * count):
        changed = rng.choice(_CHANGES)(list(words), rng.randrange(len(words)), rng)
        near = " ".join(changed) if changed else ""
        if near and near != text:
            found[near] = None
        if len(found) == count:
            break
    return list(found)


def _pair(words: list[str], _: int, rng: Random) -> list[str] | None:
    places = [k for k, word in enumerate(words) if word in _PAIRS]
    if not places:
        return None
    k = rng.choice(places)
    words[k] = _PAIRS[words[k]]
    return words


def _alike(words: list[str], at: int, rng: Random) -> list[str] | None:
    if words[at] not in _ALIKE:
        return None
    words[at] = rng.choice(_ALIKE[words[at]])
    return words


def _longer(words: list[str], _: int, rng: Random) -> list[str] | None:
    places = [k for k, word in enumerate(words) if word in _OF_A_KIND]
    if not places:
        return None
    k = rng.choice(places)
    words[k] = rng.choice(_OF_A_KIND[words[k]])
    return words


def _number(words: list[str], at: int, rng: Random) -> list[str] | None:
    kind = next((k for k in (DIGITS, TEENS, TENS, _UNITS) if words[at] in k), None)
    if kind is None:
        return None
    words[at] = rng.choice(kind)
    return words


def _left_out(words: list[str], at: int, _: Random) -> list[str] | None:
    if words[at] not in _KNOWN or len(words) < 2:
        return None
    return words[:at] + words[at + 1 :]


def _added(words: list[str], at: int, rng: Random) -> list[str] | None:
    if words[at] not in _KNOWN:
        return None
    word = rng.choice((rng.choice(DIGITS), "oh", "point", "and", rng.choice(_UNITS)))
    return [*words[:at], word, *words[at:]]


def _digit_more(words: list[str], _: int, rng: Random) -> list[str] | None:
    """Twenty six point five, twenty six point eight five: a digit more, or one fewer."""
    places = [k for k, word in enumerate(words) if word in DIGITS or word == "oh"]
    if not places:
        return None
    k = rng.choice(places)
    if rng.random() < 0.5 and len(words) > 1:
        return words[:k] + words[k + 1 :]
    k += rng.randrange(2)
    return [*words[:k], rng.choice(DIGITS), *words[k:]]


def _swapped(words: list[str], at: int, _: Random) -> list[str] | None:
    if at + 1 >= len(words) or words[at] == words[at + 1]:
        return None
    words[at], words[at + 1] = words[at + 1], words[at]
    return words


_CHANGES: tuple[Change, ...] = (
    *(2 * (_pair, _number, _digit_more)),
    *(_alike, _longer, _left_out, _added, _swapped),
)

"""Ratings of fuses that are told in words, beside those of the circuit."""

import re
from collections.abc import Iterator

from voiceassist.procedure.fuses import fuses_of
from voiceassist.procedure.model import Procedure
from voiceassist.prove.hazard import Danger, Hazard

#: "a new fuse of one hundred amps", "fuse of 7.5 A", "a ten amp fuse".
_RATING = re.compile(
    r"\bfuse of ([\w. -]+?) ?(?:amps?|A)\b|\b([\w.]+)[ -]amps? fuse\b", re.IGNORECASE
)
_FITS = re.compile(r"\b(?:fit|change|renew|put)\b")
_ONES = (
    *("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"),
    *("eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen"),
    "nineteen",
)
_TENS = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]


def told_ratings(procedure: Procedure) -> Iterator[Hazard]:
    """Fuses that the words have fitted, of a rating that no fuse of the circuit has."""
    right = {float(rating.in_base) for _, rating in fuses_of(procedure)}
    for place, text in _fitted(procedure):
        for one in _RATING.finditer(text):
            ampere = _number(one[1] or one[2])
            if right and ampere and ampere not in right:
                belongs = " or ".join(f"{rating:g} A" for rating in sorted(right))
                finding = f"the words fit a fuse of {ampere:g} A where {belongs} belongs"
                message = f"{finding}; a larger one lets the wires burn"
                yield Hazard(Danger.FUSE_RATING, place, message)


def _fitted(procedure: Procedure) -> Iterator[tuple[str, str]]:
    """Where something is fitted, and the words: of repairs, and of states of the vehicle."""
    for name, step in procedure.repairs.items():
        yield name, f"{step.text}, {', '.join(step.details.parts)}"
    for states in procedure.conditions.values():
        yield from (("", text) for text in states.values() if _FITS.search(text))


def _number(words: str) -> float:
    """The number that ``words`` tell in figures or in English; 0 for none."""
    try:
        return float(words)
    except ValueError:
        return float(_spelled(words))


def _spelled(words: str) -> int:
    total = 0
    for word in re.split(r"[ -]", words.lower()):
        if word == "hundred":
            total = max(total, 1) * 100
        elif word in _ONES:
            total += _ONES.index(word)
        elif word in _TENS:
            total += 10 * (_TENS.index(word) + 2)
    return total

"""Values as meters show them, and the ways a technician reads them out.

The ranges and shares are common practice, no source.
"""

import random
from collections.abc import Callable, Mapping
from decimal import Decimal

from benchmarks.hearing.steps import STEPS, english, is_heard

from voiceassist.language.meanings import Reading
from voiceassist.measure.units import unit

#: Pairs that differ in little more than their ending, and the pair of digits mixed up most.
TEENS_AND_TENS = (
    "13",
    "30",
    "14",
    "40",
    "15",
    "50",
    "16",
    "60",
    "17",
    "70",
    "18",
    "80",
    "19",
    "90",
)
_FIVES_AND_NINES = "59"
_SOUND_ALIKE, _NEGATIVE = 0.3, 0.04
_LEADS = ("it reads", "i have", "i've got", "reading")

_Value = tuple[str, str]
_Maker = Callable[[random.Random], _Value]


def _between(low: str, high: str, places: int, symbol: str) -> _Maker:
    """Values of so many places, all as likely."""

    def make(rng: random.Random) -> _Value:
        ends = [int(Decimal(end).scaleb(places)) for end in (low, high)]
        return str(Decimal(rng.randint(*ends)).scaleb(-places)), symbol

    return make


def _alike(wholes: tuple[str, ...], symbol: str) -> _Maker:
    """Values that sound like others: whole ones, or with fives and nines after the point."""

    def make(rng: random.Random) -> _Value:
        whole = rng.choice(wholes)
        if rng.random() < 0.5:
            return whole, symbol
        places = rng.choice((1, 1, 2))
        return f"{whole}.{''.join(rng.choice(_FIVES_AND_NINES) for _ in range(places))}", symbol

    return make


def _whole(numbers: tuple[str, ...], symbol: str) -> _Maker:
    return lambda rng: (rng.choice(numbers), symbol)


_USUAL: Mapping[str, tuple[_Maker, ...]] = {
    "voltage": (
        _between("11.50", "14.80", 2, "V"),
        _between("11.5", "14.8", 1, "V"),
        _between("0.00", "1.50", 2, "V"),
        _between("4.60", "5.40", 2, "V"),
        _between("0.0", "15.0", 1, "V"),
        _between("0.00", "15.00", 2, "V"),
    ),
    "drop": (
        _between("1", "99", 0, "mV"),
        _between("1", "500", 0, "mV"),
        _between("0.5", "50.0", 1, "mV"),
        _between("0.01", "0.50", 2, "V"),
    ),
    "current": (
        _between("0.02", "9.99", 2, "A"),
        _between("1.0", "40.0", 1, "A"),
        _between("1", "99", 0, "mA"),
        _between("100", "950", 0, "mA"),
    ),
    "resistance": (
        _between("0.1", "9.9", 1, "Ω"),
        _between("10", "999", 0, "Ω"),
        _between("1.00", "9.99", 2, "kΩ"),
        _between("10.0", "99.9", 1, "kΩ"),
    ),
}
_ALIKE: Mapping[str, tuple[_Maker, ...]] = {
    "voltage": (_alike(("5", "9", "13", "14", "15"), "V"),),
    "drop": (_whole(TEENS_AND_TENS, "mV"), _alike(("5", "9", *TEENS_AND_TENS[:6]), "mV")),
    "current": (_alike(("5", "9", *TEENS_AND_TENS[:4]), "A"), _whole(TEENS_AND_TENS, "mA")),
    "resistance": (_whole(TEENS_AND_TENS, "Ω"), _alike(("5", "9", *TEENS_AND_TENS), "kΩ")),
}


def reading(step: str, rng: random.Random) -> tuple[str, Reading]:
    """Words and meaning of a reading taken at ``step``; not every way is in its heard grammar."""
    kinds = (_ALIKE if rng.random() < _SOUND_ALIKE else _USUAL)[step]
    text, symbol = rng.choice(kinds)(rng)
    value = Decimal(text)
    if step != "resistance" and value and rng.random() < _NEGATIVE:
        value = -value
    said = Reading(value, unit(symbol))
    plain = english().say(said)
    varied = _as_people_say(plain, rng)
    words = varied if is_heard(varied, step) else plain
    own = STEPS[step].unit
    if own is not None and own.symbol == symbol and rng.random() < 0.15:
        words, said = words.rsplit(" ", 1)[0], Reading(value)
    return _led(words, rng), said


def _as_people_say(words: str, rng: random.Random) -> str:
    """Our own words changed here and there to other words for the same."""
    before, point, after = words.partition(" point ")
    if rng.random() < 0.4:
        after = after.replace("zero", "oh")
    if rng.random() < 0.05:
        after = after.replace("nine", "niner")
    if rng.random() < 0.5:
        before = before.replace("hundred ", "hundred and ")
    if rng.random() < 0.3:
        before = before.replace("minus", "negative")
    if before == "zero" and rng.random() < 0.2:
        return f"point {after}"
    return before + point + after


def _led(words: str, rng: random.Random) -> str:
    return f"{rng.choice(_LEADS)} {words}" if rng.random() < 0.1 else words

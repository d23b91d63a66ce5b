"""Phrases that differ in little, and long ones: what an ear mixes up most when it meets few."""

from collections.abc import Callable
from random import Random

from training.numbers import (
    DIGITS,
    TENS,
    below_hundred,
    counted,
    decimal,
    digit,
    one_of_a_pair,
    reading,
)

#: Each unit beside those that it is taken for.
_OHMS = ("kilohms", "kilohms", "kilohms", "kilohm", "megohms", "ohms", "milliohms", "kilovolts")
_VOLTS = ("volts", "millivolts", "millivolts", "volts", "amps", "milliamps")
#: Numbers that are taken for one another.
_ALIKE = (
    *("eleven", "eleven", "eleven", "seven", "ten", "twelve", "twenty", "seventy", "nine", "five"),
    *("oh", "four", "one", "fourteen", "forty"),
)
#: Short answers and commands, said by themselves, that are taken for one another.
_SHORT = (
    *("stiff", "stiff", "skip", "skip", "skip it", "it's stiff", "skip this", "skip this one"),
    *("stuck", "still", "steady", "it's steady", "free", "it's free", "turns", "it turns"),
    *("bright", "right", "dim", "dark", "off", "on", "dead", "pass", "fast", "past"),
    *("done", "done", "done", "done", "it's done", "all done", "i'm done", "that's done"),
    *("yes", "yep", "yeah", "no", "nope", "go", "go on", "go ahead", "go back", "back", "next"),
    *("repeat", "read back", "louder", "slower", "softer", "faster", "help", "why", "how", "stop"),
    *("wait", "hold on", "ready", "okay", "open", "closed", "over range", "over limit", "infinite"),
    *(
        "undo",
        "correction",
        "cancel",
        "quiet",
        "pause",
        "resume",
        "note",
        "finish",
        "limit",
        "same",
    ),
)
#: The spelling alphabet (ICAO Annex 10, volume II), written as the grammars write it.
_SPELLED = (
    *("alfa", "bravo", "charlie", "delta", "echo", "foxtrot", "golf", "hotel", "india"),
    *("juliett", "kilo", "lima", "mike", "november", "oscar", "papa", "quebec", "romeo"),
    *("sierra", "tango", "uniform", "victor", "whiskey", "x ray", "yankee", "zulu"),
)
_NUMBER_OF = ("", "", "serial number ", "chassis number ", "the number is ", "part number ")


def contrast(rng: Random) -> str:
    """One side of a pair that is easily mixed up."""
    numbers = (_after_zeros, _resistance, _last_digit, _string, _teen_or_ten, _alike, _kin)
    words = (_short, _alone)
    return rng.choices((*numbers, *words), (15, 20, 20, 10, 15, 10, 15, 25, 20))[0](rng)


def long(rng: Random) -> str:
    """Seven to twelve seconds without a pause: a whole serial number, or several readings."""
    kinds: tuple[Callable[[Random], str], ...] = (_serial, _figures, _readings)
    return rng.choices(kinds, (50, 20, 30))[0](rng)


def _after_zeros(rng: Random) -> str:
    zeros = " ".join(digit("0", rng) for _ in range(rng.choice((0, 1, 1, 2))))
    after = digit(rng.choice("123456789"), rng) if zeros else digit(rng.choice("0123456789"), rng)
    before = rng.choice(("zero point ", "point ", "oh point ", "zero point "))
    hundreds = f"{rng.choice(DIGITS[1:])} hundred"
    said = rng.choice((f"{before}{zeros} {after}", "zero", hundreds, rng.choice(TENS)))
    return f"{said} {rng.choice(_VOLTS)}"


def _resistance(rng: Random) -> str:
    some = rng.choice((decimal, decimal, lambda r: counted(r.randrange(1, 100), r)))(rng)
    return f"{some} {rng.choice(_OHMS)}"


def _last_digit(rng: Random) -> str:
    """Four, four two, four point two: a digit more or less at the end."""
    said = counted(rng.choice((rng.randrange(1, 10), rng.randrange(10, 30))), rng)
    for _ in range(rng.choice((0, 1, 1, 1, 2))):
        said += " " + digit(rng.choice("0123456789"), rng)
    said = said.replace(" ", " point ", 1) if rng.random() < 0.2 else said
    return f"{said} {rng.choice(_VOLTS)}" if rng.random() < 0.35 else said


def _string(rng: Random) -> str:
    return " ".join(digit(rng.choice("0123456789"), rng) for _ in range(rng.randrange(3, 8)))


def _teen_or_ten(rng: Random) -> str:
    said = one_of_a_pair(rng)
    return said if rng.random() < 0.5 else f"{said} {rng.choice((*_VOLTS, 'ohms'))}"


def _alike(rng: Random) -> str:
    """Eleven point five, seven volts: the first word decides."""
    said = rng.choice(_ALIKE)
    if rng.random() < 0.6:
        said += " point " + " ".join(digit(rng.choice("0123456789"), rng) for _ in range(2))
        said = said if rng.random() < 0.5 else said.rpartition(" ")[0]
    return said if rng.random() < 0.25 else f"{said} {rng.choice((*_VOLTS, 'volt', 'ohms'))}"


def _kin(rng: Random) -> str:
    """Eight, eighteen or eighty point four: the end of the first word decides."""
    size = rng.randrange(2, 10)
    said = counted(rng.choice((size, size, size + 10, 10 * size)), rng)
    said += " point " + " ".join(digit(c, rng) for c in f"{rng.randrange(100)}"[:2])
    return f"{said} {rng.choice(_VOLTS)}" if rng.random() < 0.7 else said


def _short(rng: Random) -> str:
    return rng.choice(_SHORT)


def _alone(rng: Random) -> str:
    """A number word by itself: nothing around it helps to tell it from another."""
    return below_hundred(rng.choice((*range(21), *range(30, 100, 10), 1, 1)))


def _sign(rng: Random) -> str:
    if rng.random() < 0.55:
        return digit(rng.choice("0123456789"), rng)
    return rng.choice(_SPELLED)


def _serial(rng: Random) -> str:
    """A vehicle's number has 17 signs (ISO 3779); others have fewer."""
    count = rng.choice((17, 17, rng.randrange(11, 17)))
    return rng.choice(_NUMBER_OF) + " ".join(_sign(rng) for _ in range(count))


def _figures(rng: Random) -> str:
    count = rng.randrange(12, 20)
    said = [digit(rng.choice("0123456789"), rng) for _ in range(count)]
    return rng.choice(_NUMBER_OF) + " ".join(said)


def _readings(rng: Random) -> str:
    join = rng.choice((" and ", " then ", " and then "))
    return join.join(reading(rng) for _ in range(rng.randrange(4, 6)))

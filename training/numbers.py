"""Numbers as people say them: plain ways far more often than odd ones."""

from random import Random

DIGITS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
TEENS = (
    *("ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen"),
    *("eighteen", "nineteen"),
)
TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
#: The pairs that are told apart by their last syllable alone.
PAIRS = tuple((n, (n - 10) * 10) for n in range(13, 20))

UNITS: tuple[tuple[str, int], ...] = (
    *(("volts", 24), ("millivolts", 14), ("amps", 12), ("milliamps", 10), ("ohms", 12)),
    *(("volt", 3), ("amp", 3), ("ohm", 2), ("millivolt", 2), ("milliamp", 2), ("kilovolts", 1)),
    *(("kilohms", 5), ("megohms", 3), ("milliohms", 2), ("k", 2), ("meg", 2), ("kiloohms", 1)),
    *(("hertz", 3), ("kilohertz", 2), ("percent", 4), ("per cent", 1), ("seconds", 3)),
    *(("milliseconds", 2), ("watts", 3), ("milliwatts", 1), ("kilowatts", 1), ("times", 2)),
    *(("microfarads", 1), ("nanofarads", 1), ("picofarads", 1), ("kilopascals", 2)),
    *(("degrees", 3), ("degrees celsius", 2), ("revs", 2), ("r p m", 3), ("m v", 1), ("m a", 1)),
    *(("v", 1), ("newton metres", 2), ("microamps", 1), ("megahertz", 1), ("flashes", 2)),
    *(("minutes", 1), ("milli volts", 1), ("milli amps", 1), ("mils", 1), ("pascals", 1)),
)


def reading(rng: Random) -> str:
    """A value, mostly with a unit."""
    said = value(rng)
    if rng.random() < 0.76:
        said += " " + rng.choices([u for u, _ in UNITS], [w for _, w in UNITS])[0]
    return said


def value(rng: Random) -> str:
    """A value of any size a meter shows."""
    kinds = (decimal, one_of_a_pair, whole, by_digits, with_half, round_one)
    said = rng.choices(kinds, (52, 14, 20, 6, 2, 6))[0](rng)
    return rng.choice(("minus ", "minus ", "negative ")) + said if rng.random() < 0.07 else said


def decimal(rng: Random) -> str:
    """Twelve point six and its like, around what a vehicle's meter shows."""
    ranges = ((0, 1), (0, 3), (0, 15), (10, 15), (12, 13), (20, 30), (0, 100), (0, 1000))
    low, high = rng.choices(ranges, (10, 14, 26, 20, 8, 8, 10, 4))[0]
    size = rng.randrange(low, high)
    places = rng.choices((1, 2, 3, 4), (52, 36, 11, 1))[0]
    part = "".join(rng.choice("0123456789") for _ in range(places))
    before = rng.choice(("zero ", "zero ", "", "oh ")) if size == 0 else counted(size, rng) + " "
    point = "decimal" if rng.random() < 0.04 else "point"
    return f"{before}{point} {_after_point(part, rng)}"


def _after_point(part: str, rng: Random) -> str:
    if len(part) == 2 and part[0] != "0" and rng.random() < 0.2:
        return below_hundred(int(part))
    return " ".join(digit(c, rng) for c in part)


def one_of_a_pair(rng: Random) -> str:
    """A teen or a ten, alone or in something larger."""
    said = below_hundred(rng.choice(rng.choice(PAIRS)))
    if rng.random() < 0.4:
        said = rng.choice(DIGITS[1:]) + rng.choice((" hundred ", " hundred and ", " ")) + said
    if rng.random() < 0.25:
        said += " point " + digit(rng.choice("0123456789"), rng)
    return said


def whole(rng: Random) -> str:
    """A whole number below ten thousand, small ones more often."""
    ranges = ((0, 30), (0, 100), (100, 1000), (1000, 10_000))
    low, high = rng.choices(ranges, (30, 30, 32, 8))[0]
    return counted(rng.randrange(low, high), rng)


def round_one(rng: Random) -> str:
    """A round number."""
    step, most = rng.choice(((10, 100), (50, 1000), (100, 2000), (1000, 20_000)))
    return counted(step * rng.randrange(1, most // step), rng)


def by_digits(rng: Random) -> str:
    """One to five digits one by one, a double now and then, with a point or without."""
    said = [digit(rng.choice("0123456789"), rng) for _ in range(rng.randrange(1, 6))]
    if rng.random() < 0.4 and len(said) > 1:
        said.insert(rng.randrange(1, len(said)), "point")
    if rng.random() < 0.08:
        said.append("double " + rng.choice(DIGITS))
    return " ".join(said)


def with_half(rng: Random) -> str:
    """A small number and a part of one."""
    part = rng.choice(("and a half", "and a half", "and a quarter", "and three quarters"))
    return f"{counted(rng.randrange(1, 30), rng)} {part}"


def counted(number: int, rng: Random) -> str:
    """A whole number in words, sometimes digit by digit."""
    if number > 9 and rng.random() < 0.08:
        return " ".join(digit(c, rng) for c in str(number))
    if number < 1000:
        return below_thousand(number, rng)
    hundreds, rest = divmod(number, 100)
    if rest == 0 and hundreds % 10 and hundreds < 100 and rng.random() < 0.4:
        return below_hundred(hundreds) + " hundred"
    thousands, rest = divmod(number, 1000)
    said = below_thousand(thousands, rng) + " thousand"
    return said if rest == 0 else said + _and(rest < 100, rng) + below_thousand(rest, rng)


def below_thousand(number: int, rng: Random) -> str:
    """A number from 0 to 999; the hundred may be left out."""
    hundreds, rest = divmod(number, 100)
    if hundreds == 0:
        return below_hundred(rest)
    if rest >= 10 and rng.random() < 0.12:
        return f"{DIGITS[hundreds]} {below_hundred(rest)}"
    name = "a" if hundreds == 1 and rng.random() < 0.3 else DIGITS[hundreds]
    said = name + " hundred"
    return said if rest == 0 else said + _and(True, rng) + below_hundred(rest)


def below_hundred(number: int) -> str:
    """A number from 0 to 99."""
    if number < 10:
        return DIGITS[number]
    if number < 20:
        return TEENS[number - 10]
    tens, rest = divmod(number, 10)
    return TENS[tens - 2] + (f" {DIGITS[rest]}" if rest else "")


def digit(sign: str, rng: Random) -> str:
    """One digit; zero and nine have other names."""
    if sign == "0":
        return rng.choices(("zero", "oh", "nought", "nil"), (60, 34, 4, 2))[0]
    if sign == "9" and rng.random() < 0.12:
        return "niner"
    return DIGITS[int(sign)]


def _and(possible: bool, rng: Random) -> str:
    return " and " if possible and rng.random() < 0.5 else " "

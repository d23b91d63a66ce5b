"""From a meaning to the tags that say it; the way back from ``semantics.fold``."""

from collections.abc import Iterator
from dataclasses import dataclass

from voiceassist.language.meanings import (
    Answer,
    Command,
    Correction,
    Identifier,
    Lamp,
    Meaning,
    Note,
    OverRange,
    Reading,
    Series,
    Spread,
    readings_in,
)
from voiceassist.language.tags import split

Tags = tuple[str, ...]
#: Numbers with more digits are never counted out.
LONGEST_COUNTED = 9
_MILLION = 1_000_000


@dataclass(frozen=True, slots=True)
class Counting:
    """The counting words of a language.

    Parts:
        adds: values of its plain words, largest first.
        times: its multipliers, largest first.
    """

    adds: tuple[int, ...]
    times: tuple[int, ...]

    @classmethod
    def among(cls, tags: frozenset[str]) -> "Counting":
        """The counting words behind these tags."""
        found = [split(tag) for tag in tags]

        def of(kind: str) -> tuple[int, ...]:
            return tuple(sorted((int(n) for word, n in found if word == kind), reverse=True))

        return cls(of("add"), of("times"))

    def count(self, number: int, *, with_one: bool) -> Tags:
        """Tags of a whole number above zero; ``with_one`` says "one hundred", not "hundred"."""
        for factor in self.times:
            if number >= factor:
                many, rest = divmod(number, factor)
                head = () if many == 1 and not with_one else self.count(many, with_one=with_one)
                tail = self.count(rest, with_one=with_one) if rest else ()
                return (*head, f"times {factor}", *tail)
        add = next(a for a in self.adds if a <= number)
        rest = number - add
        return (f"add {add}", *(self.count(rest, with_one=with_one) if rest else ()))


def unfold(meaning: Meaning, counting: Counting, *, singly: bool = False) -> Iterator[Tags]:
    """Tags that fold into ``meaning``: every way worth trying, the usual one first.

    ``singly`` says each digit by itself. A note has no tags of its own.
    """
    match meaning:
        case Correction(inner, of):
            for tags in unfold(inner, counting, singly=singly):
                yield (*_about(of), "correction", *tags)
        case Reading() | Spread() | Series():
            yield from _readings(meaning, counting, singly=singly)
        case OverRange():
            yield ("over-range",)
        case Lamp(name):
            yield (f"lamp {name}",)
        case Answer(name):
            yield (f"answer {name}",)
        case Command(name, about):
            yield (f"command {name}", *_about(about))
        case Identifier(name, text):
            spelled, _, word = text.partition(" ")
            chars = [_char(char) for char in spelled]
            yield (f"identifier {name}", *chars, *([f"char {word}"] if word else ()))
        case Note():
            return


def _about(name: str) -> Tags:
    return (f"about {name}",) if name else ()


def _readings(
    meaning: Reading | Spread | Series, counting: Counting, *, singly: bool
) -> Iterator[Tags]:
    parts = readings_in(meaning)
    for in_millions in (True, False) if any(_is_millions(part) for part in parts) else (False,):
        for with_one in (True,) if singly else (True, False):
            tags: list[str] = ["spread"] * isinstance(meaning, Spread)
            for number, part in enumerate(parts):
                tags += ["then"] * (number > 0)
                tags += _reading(part, counting, with_one, singly, in_millions)
            yield tuple(tags)


def _is_millions(part: Reading) -> bool:
    """A plain number that nobody says digit by digit: 13 000 000, which is thirteen meg."""
    return part.unit is None and abs(part.value) >= _MILLION and not part.value % 1


def _reading(
    part: Reading, counting: Counting, with_one: bool, singly: bool, in_millions: bool
) -> Iterator[str]:
    value, in_millions = abs(part.value), in_millions and _is_millions(part)
    if in_millions:
        value = (value / _MILLION).normalize()
    whole, _, fraction = f"{value:f}".partition(".")
    if part.label:
        yield f"label {part.label}"
    if part.value < 0:
        yield "minus"
    if singly or len(whole) > LONGEST_COUNTED or not int(whole) or not counting.adds:
        yield from (f"digit {digit}" for digit in whole)
    else:
        yield from counting.count(int(whole), with_one=with_one)
    if fraction:
        yield "point"
        yield from (f"digit {digit}" for digit in fraction)
    if part.unit is not None:
        yield f"unit {part.unit.symbol}"
    elif in_millions:
        yield "lone M"


def _char(char: str) -> str:
    return f"digit {char}" if char.isdecimal() else f"char {char}"

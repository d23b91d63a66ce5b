"""Folds the tags of one way through a phrase into its meaning."""

from dataclasses import dataclass, field, replace
from decimal import Decimal

from voiceassist.errors import MeasureError
from voiceassist.language.meanings import (
    Answer,
    Command,
    Correction,
    Identifier,
    Lamp,
    Meaning,
    OverRange,
    Plain,
    Reading,
    Series,
    Spread,
)
from voiceassist.language.spoken_number import SpokenNumber
from voiceassist.language.tags import split
from voiceassist.measure.units import Unit, unit

#: Which units a prefix said alone can belong to: shop talk, common practice, no source.
_LONE = {
    "m": ("V", "V AC", "A", "A·h", "s"),
    "k": ("V", "Ω", "Hz", "W", "Pa"),
    "M": ("Ω", "Hz", "Pa"),
}
#: Powers of ten that a lone prefix means where no unit is known.
_PLAIN_FACTORS = {"k": 3, "M": 6}
#: A number is only nearly another where it is as near as this.
_NEARLY = Decimal("0.6")
#: Tags that make up a number.
NUMBER_TAGS = frozenset({"digit", "add", "times", "join", "point", "plus", "minus", "scale"})


def fold(tags: tuple[str, ...], step_unit: Unit | None = None) -> Meaning | None:
    """The meaning of ``tags``; None when they do not fit together.

    ``step_unit`` is what a lone prefix ("four point seven k") is a prefix of.
    """
    taker = _Taker(step_unit)
    for tag in tags:
        taker.take(*split(tag))
    meaning = taker.meaning()
    if meaning is None:
        return None
    return Correction(meaning, taker.about) if taker.correction else meaning


@dataclass(slots=True)
class _Part:
    """One reading as it is gathered."""

    number: SpokenNumber = field(default_factory=SpokenNumber)
    check: SpokenNumber | None = None
    unit: str = ""
    prefix: str = ""
    lone: str = ""
    label: str = ""
    contradicts: bool = False

    def name(self, what: str, argument: str) -> None:
        """Take its unit, prefix or label; the same again when its digits are checked."""
        before = getattr(self, what)
        self.contradicts = self.contradicts or before not in ("", argument)
        setattr(self, what, argument)


@dataclass(slots=True)
class _Spelling:
    """An identifier as it is gathered."""

    name: str
    text: str = ""
    number: SpokenNumber = field(default_factory=SpokenNumber)

    def take(self, word: str, argument: str) -> None:
        if word == "char":
            self._settle()
            # A whole word, such as a unit, stands apart from the characters.
            self.text += argument if len(argument) == 1 else f" {argument}"
        else:
            self.number.take(word, argument)

    def meaning(self) -> Identifier | None:
        self._settle()
        return Identifier(self.name, self.text) if self.text.strip() else None

    def _settle(self) -> None:
        self.number.settle()
        self.text += self.number.whole
        self.number = SpokenNumber()


@dataclass(slots=True)
class _Taker:
    """Takes tags one by one."""

    step_unit: Unit | None
    parts: list[_Part] = field(default_factory=lambda: [_Part()])
    replaced: _Part | None = None
    aside: tuple[str, _Part] | None = None
    plain: Plain | None = None
    identifier: _Spelling | None = None
    correction: bool = False
    spread: bool = False
    about: str = ""

    def take(self, word: str, argument: str) -> None:
        part = self.parts[-1]
        if self.identifier is not None:
            self.identifier.take(word, argument)
        elif word in NUMBER_TAGS:
            (part.check or part.number).take(word, argument)
        else:
            self._take_other(part, word, argument)

    def _take_other(self, part: _Part, word: str, argument: str) -> None:
        match word:
            case "unit" | "prefix" | "lone" | "label":
                part.name(word, argument)
            case "then":
                self.parts.append(_Part())
            case "check":
                part.check = SpokenNumber()
            case "identifier":
                self.identifier = _Spelling(argument)
            case "restart" | "instead" | "nearly" | "mends":
                self._begin_anew(word, part)
            case "correction":
                self.correction = True
            case "about":
                self.about = argument
            case "spread":
                self.spread = True
            case "answer":
                self.plain = Answer(argument)
            case "command":
                self.plain = Command(argument)
            case "lamp":
                self.plain = Lamp(argument)
            case "over-range":
                self.plain = OverRange()

    def _begin_anew(self, how: str, before: _Part) -> None:
        if how in {"nearly", "mends"}:
            self.aside = how, before
        else:
            self.replaced = before if how == "instead" else None
            self.spread, self.plain = False, None
        self.parts = [_Part()]

    def meaning(self) -> Plain | None:
        """All taken together."""
        if isinstance(self.plain, Command):
            return replace(self.plain, about=self.about)
        if self.plain is not None:
            return self.plain
        if self.identifier is not None:
            return self.identifier.meaning()
        readings = self._readings()
        if not readings:
            return None
        if self.spread:
            return _spread(readings)
        return readings[0] if len(readings) == 1 else Series(tuple(readings))

    def _readings(self) -> list[Reading]:
        readings = []
        for part in self.parts:
            reading = self._reading(part)
            if reading is None:
                return []
            readings.append(reading)
        last = readings[-1].unit
        # "two point one, three point three volts": the unit at the end is for all of them.
        if last is not None and all(r.unit is None for r in readings[:-1]):
            readings = [replace(r, unit=last) for r in readings]
        before = self._reading(self.replaced) if self.replaced is not None else None
        if self.aside is not None:
            first = self._reading(self.aside[1])
            before = before or first
            if first is None or not _goes_before(self.aside[0], first, readings[0]):
                return []
        return readings if before is None else [r.in_place_of(before) for r in readings]

    def _reading(self, part: _Part) -> Reading | None:
        value = part.number.value()
        if value is None or part.contradicts:
            return None
        if part.check is not None and not _agree(part.check, value):
            return None
        if part.lone:
            return self._with_lone_prefix(part, value)
        if not part.unit:
            return Reading(value, None, part.label)
        try:
            return Reading(value, self._as_at_the_step(part.prefix + part.unit), part.label)
        except MeasureError:
            return None

    def _as_at_the_step(self, symbol: str) -> Unit:
        """Where alternating voltage is read, volts are volts of that."""
        found = unit(symbol)
        alternating = self.step_unit is not None and self.step_unit.quantity == "ac-voltage"
        return unit(f"{symbol} AC") if alternating and found.quantity == "voltage" else found

    def _with_lone_prefix(self, part: _Part, value: Decimal) -> Reading | None:
        if self.step_unit is None:
            factor = _PLAIN_FACTORS.get(part.lone)
            if factor is None:
                return None
            return Reading(Decimal(f"{value.scaleb(factor):f}"), None, part.label)
        base = self.step_unit.base
        if base not in _LONE.get(part.lone, ()) or not self.step_unit.symbol.endswith(base):
            return None
        return Reading(value, unit(part.lone + base), part.label)


def _goes_before(how: str, first: Reading, number: Reading) -> bool:
    """Whether what was said first goes with the number: it is near that, or the end of it."""
    if how == "mends":
        different = first.value != number.value
        return different and _figures(number.value).endswith(_figures(first.value))
    one, other = first.value, number.value
    if first.unit is not None and number.unit is not None:
        one, other = first.unit.to_base(one), number.unit.to_base(other)
    return abs(one - other) <= _NEARLY * abs(one)


def _figures(value: Decimal) -> str:
    return str(value).replace(".", "").lstrip("-0")


def _agree(check: SpokenNumber, value: Decimal) -> bool:
    """Whether the digits said are those of the value; its sign need not be said twice."""
    said = check.value()
    return said is not None and str(said) in {str(value), str(abs(value))}


def _spread(readings: list[Reading]) -> Spread | None:
    """Two readings, the lower one said first."""
    if len(readings) != 2:
        return None
    low, high = readings
    high = replace(high, unit=high.unit or low.unit)
    if low.unit is not None and high.unit is not None:
        if low.unit.quantity != high.unit.quantity:
            return None
        in_order = low.unit.to_base(low.value) < high.unit.to_base(high.value)
    else:
        in_order = low.value < high.value
    return Spread(low, high) if in_order else None

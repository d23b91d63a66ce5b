"""What a phrase was understood as.

A ``Meaning`` is one of the frozen classes below. ``kind`` is the word used in
the JSON interface. None of them holds a word of any language: names are ours
("affirm", "repeat", "bright"), a procedure's own ("runs-on"), or a unit.
"""

from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum
from typing import ClassVar

from voiceassist.measure.units import Unit


@dataclass(frozen=True, slots=True)
class Reading:
    """A measured value. ``unit`` is None when none was spoken; ``label`` names it among several."""

    kind: ClassVar[str] = "reading"
    value: Decimal
    unit: Unit | None = None
    label: str = ""

    def in_place_of(self, other: "Reading") -> "Reading":
        """In the unit of ``other`` where it has none itself: "ninety millivolts, no, nineteen".

        But no meter shows less than one of a small unit: "ninety millivolts, no, point two".
        """
        small = other.unit is not None and other.unit.factor < 1 and 0 < abs(self.value) < 1
        return self if self.unit or small else replace(self, unit=other.unit)

    def amending(self, other: "Reading", *, bare: bool) -> tuple["Reading", ...]:
        """What is meant in the place of ``other``: of a part of its digits either, the part or all.

        "Twelve point five, sorry, point six", "twelve six, sorry, eleven". ``bare`` tells that
        nothing was said before its point.
        """
        new = self.in_place_of(other)
        whole, part = divmod(other.value, 1)
        if self.unit or self.value < 0 or not part or whole < 1:
            return (new,)
        if 0 < self.value < 1 and bare:
            return new, replace(new, value=whole + self.value)
        other_whole = not self.value % 1 and self.value != whole
        return (new, replace(new, value=self.value + part)) if other_whole else (new,)


@dataclass(frozen=True, slots=True)
class Spread:
    """A wandering value: its lowest and highest reading."""

    kind: ClassVar[str] = "reading"
    low: Reading
    high: Reading


@dataclass(frozen=True, slots=True)
class Series:
    """Several readings in one breath, in the order spoken."""

    kind: ClassVar[str] = "reading"
    readings: tuple[Reading, ...]


@dataclass(frozen=True, slots=True)
class OverRange:
    """The meter shows that the value is beyond its range."""

    kind: ClassVar[str] = "over_range"


@dataclass(frozen=True, slots=True)
class Lamp:
    """How the test lamp shines: "bright", "dim", "flickering" or "off"."""

    kind: ClassVar[str] = "lamp"
    name: str


@dataclass(frozen=True, slots=True)
class Answer:
    """An answer: "affirm", "affirm-reading", "negative", "done" or a procedure's own choice."""

    kind: ClassVar[str] = "answer"
    name: str


@dataclass(frozen=True, slots=True)
class Command:
    """A command of the session, by its name in ``COMMANDS``; ``about`` names what it is about."""

    kind: ClassVar[str] = "command"
    name: str
    about: str = ""


@dataclass(frozen=True, slots=True)
class Note:
    """Free words to keep; ``text`` holds those caught, unverified."""

    kind: ClassVar[str] = "note"
    text: str


@dataclass(frozen=True, slots=True)
class Identifier:
    """An identifier: ``name`` is "vin", "repair-order" or "odometer", ``text`` its characters."""

    kind: ClassVar[str] = "identifier"
    name: str
    text: str


Plain = Reading | Spread | Series | OverRange | Lamp | Answer | Command | Note | Identifier


@dataclass(frozen=True, slots=True)
class Correction:
    """``meaning`` takes the place of what was said before, or of what step ``of`` gave."""

    meaning: Plain
    of: str = ""

    @property
    def kind(self) -> str:
        """The kind of what it puts in place."""
        return self.meaning.kind


Meaning = Plain | Correction


def readings_in(meaning: Meaning) -> tuple[Reading, ...]:
    """The readings that a meaning holds, in the order spoken; none for other meanings."""
    match meaning:
        case Correction(inner):
            return readings_in(inner)
        case Reading():
            return (meaning,)
        case Spread(low, high):
            return (low, high)
        case Series(readings):
            return readings
        case _:
            return ()


class CommandName(StrEnum):
    """Every command, by name. Each language's commands.jsgf has words for all of them."""

    REPEAT = "repeat"
    GO_BACK = "go-back"
    SKIP = "skip"
    WHY = "why"
    EXPLAIN = "explain"
    HOW = "how"
    LIMIT = "limit"
    WHERE = "where"
    HOW_FAR = "how-far"
    READ_BACK = "read-back"
    REVISE = "revise"
    DISREGARD = "disregard"
    NOTE = "note"
    STAND_BY = "stand-by"
    PARK = "park"
    GO_AHEAD = "go-ahead"
    SLOWER = "slower"
    FASTER = "faster"
    LOUDER = "louder"
    SOFTER = "softer"
    HELP = "help"
    FINISH = "finish"
    NEXT = "next"
    SAME = "same"
    NOT_SURE = "not-sure"
    UNSTABLE = "unstable"
    COMES_AND_GOES = "comes-and-goes"
    FORGOT = "forgot"
    MISTAKE = "mistake"
    READ_LAST = "read-last"
    TOOL = "tool"
    RANGE = "range"
    CAUSE = "cause"
    SURE = "sure"
    ADVISE = "advise"
    AGAINST = "against"
    FOUND = "found"
    GO_TO = "go-to"
    LESS = "less"
    MORE = "more"
    DIFFERS = "differs"
    DANGER = "danger"
    UNSAFE = "unsafe"


COMMANDS = frozenset(name.value for name in CommandName)
#: Those that a sentence answers, whatever the session is at: ``reply.NAME`` of each language.
ANSWERED = (CommandName.NOT_SURE, CommandName.COMES_AND_GOES)


@dataclass(frozen=True, slots=True)
class Parsed:
    """All that a phrase can mean.

    Parts:
        text: the words, as given.
        meanings: each distinct meaning once, the likeliest first; empty when there is none.
        reason: why there is none; empty otherwise.
    """

    text: str
    meanings: tuple[Meaning, ...] = ()
    reason: str = ""

    @property
    def ambiguous(self) -> bool:
        """True when the words alone do not tell which meaning was meant."""
        return len(self.meanings) > 1

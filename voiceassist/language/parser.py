"""From words to everything they can mean at one step."""

import re
from collections.abc import Callable, Iterable, Sequence, Set
from dataclasses import dataclass, replace

from voiceassist.language.expectation import Expectation
from voiceassist.language.figures import comma_ways, unclear_figures
from voiceassist.language.identifiers import is_vin
from voiceassist.language.loose.loosely import Loosely, no_loose_talk
from voiceassist.language.loose.phrases import Tags
from voiceassist.language.meanings import (
    Answer,
    Identifier,
    Meaning,
    Note,
    Parsed,
    Reading,
    Spread,
    readings_in,
)
from voiceassist.language.plainest import COMMA, distinct, is_series, plainest, reason
from voiceassist.language.semantics import NUMBER_TAGS, fold
from voiceassist.language.walking import Walker
from voiceassist.language.words import cut
from voiceassist.measure.quantity import Quantity

#: More words than any phrase but a note has.
MOST_WORDS = 80
#: A name and what may part it from the phrase.
_CALL = r"\s*{}(?:[\s,]+|$)"
#: Fewer are said as they are typed.
_FIGURES = re.compile(r"\d{3,}")
#: So many digits without a point may be one with it: "four seven" for 4.7.
_POINT_LEFT_OUT = 2
_TOO_LONG = f"this is longer than {MOST_WORDS} words; say it in parts"


@dataclass(frozen=True, slots=True)
class Parser:
    """Understands phrases at one step.

    Parts:
        root: walks through all that is understood here.
        note: walks through the words that begin a note.
        expectation: what the step is ready to hear.
        known: every word of the language, and of the step's own answers.
        own: the step's own answers, name and words of each way to say it.
        in_words: turns figures and unit symbols, which people type, into words.
        loosely: gives what loose talk means here, where all else finds nothing.
        either: takes two digits said one by one with a point between them as well.
        name: must be said first, words with single spaces; empty for none.
    """

    root: Walker
    note: Walker
    expectation: Expectation
    known: Set[str]
    own: Sequence[tuple[str, list[str]]]
    in_words: Callable[[str], str]
    loosely: Callable[[], Loosely] = no_loose_talk
    name: str = ""
    either: bool = False

    def parse(self, text: str) -> Parsed:
        """All that ``text`` can mean. Never raises for any text."""
        if not self.name:
            return self._parsed(text)
        called = re.match(_CALL.format(re.escape(self.name)), text, re.IGNORECASE)
        if called is None:
            return Parsed(text, reason=f"it does not begin with {self.name!r}")
        rest = text[called.end() :]
        if not rest:
            return Parsed(text, reason=f"nothing was said after {self.name!r}")
        return replace(self._parsed(rest), text=text)

    def _parsed(self, text: str) -> Parsed:
        ways = [self._understood(way) for way in comma_ways(text)]
        readings = tuple(m for way in ways for m in way.meanings if readings_in(m))
        if len(ways) > 1 and readings:
            ways = [Parsed(text, self._likely(readings))]
        understood = replace(ways[0], text=text)
        unclear = unclear_figures(text)
        if not unclear or not any(readings_in(meaning) for meaning in understood.meanings):
            return understood
        return Parsed(text, reason=f"{unclear!r} is no plain number")

    def _understood(self, text: str) -> Parsed:
        words = cut(self.in_words(text), self.known)
        bare = [word for word in words if word != COMMA]
        if not bare:
            return Parsed(text, reason="nothing was said")
        known = self._own_answers(bare) or self._typed_vin(text)
        if known:
            return Parsed(text, known)
        if len(bare) > MOST_WORDS:
            note = self._note(bare)
            return Parsed(text, note, "" if note else _TOO_LONG)
        way = self.root.walk(words)
        meanings = self.meanings(way.tags)
        if words != bare:
            # A comma that can belong inside one value does: "eight thousand, five hundred".
            meanings = tuple(m for m in meanings if not is_series(m)) or meanings
            if not meanings:
                way = self.root.walk(bare)
                meanings = self.meanings(way.tags)
        meanings = meanings or self._note(bare) or self._typed_number(text) or self._loosely(bare)
        if meanings:
            return Parsed(text, meanings)
        return Parsed(text, reason=reason(way, bare))

    def _own_answers(self, words: list[str]) -> tuple[Meaning, ...]:
        """The step's own answers said in exactly their words; nothing else can be meant."""
        named = dict.fromkeys(name for name, phrase in self.own if phrase == words)
        return tuple(map(Answer, named))

    def _typed_vin(self, text: str) -> tuple[Meaning, ...]:
        typed = re.sub(r"[\s-]", "", text).upper()
        wanted = self.expectation.identifier == "vin" and is_vin(typed)
        return (Identifier("vin", typed),) if wanted else ()

    def _loosely(self, words: list[str]) -> tuple[Meaning, ...]:
        """What it means as loose talk: without what stands around it, else by a part of it."""
        loosely = self.loosely()
        for plainer in loosely.around.plainer(words):
            found = self._own_answers(plainer) or self.meanings(self.root.walk(plainer).tags)
            found = found or plainest(self.meanings(loosely.phrases.tags(plainer)))
            found = found or self._note(plainer)
            found = found or self._value(*loosely.values.of_its_name(plainer))
            if found:
                return found
        part = loosely.phrases.of_a_part(words, lambda tags: bool(self.meanings(tags)))
        return plainest(self.meanings(part))

    def _value(self, words: list[str], told: bool) -> tuple[Meaning, ...]:
        """The value that ``words`` tell; none where they tell something else.

        A mere figure that is not ``told`` as one may be a part of the name: "battery two".
        """
        meanings = self.meanings(self.root.walk(words).tags) if words else ()
        values = tuple(m for m in meanings if isinstance(m, Reading | Spread))
        plain = told or all(isinstance(m, Spread) or _is_measured(m) for m in values)
        return values if plain and len(values) == len(meanings) else ()

    def meanings(self, ways: Tags) -> tuple[Meaning, ...]:
        """What the tags of each way through a phrase can mean here."""
        more = [_with_point(tags) for tags in ways] if self.either else []
        folded = (fold(tags, self.expectation.unit) for tags in (*ways, *more))
        return self._likely(m for m in folded if m is not None)

    def _likely(self, meanings: Iterable[Meaning]) -> tuple[Meaning, ...]:
        """Each once, and of several those that are plausible here."""
        different = list(distinct(meanings))
        if len(different) < 2:
            return tuple(different)
        plausible = tuple(m for m in different if self._plausible(m))
        return plausible or tuple(different)

    def _plausible(self, meaning: Meaning) -> bool:
        return all(self._within(reading) for reading in readings_in(meaning))

    def _within(self, reading: Reading) -> bool:
        expected = self.expectation
        unit = reading.unit or expected.unit
        if unit is None:
            return True
        value = Quantity(reading.value, unit)
        for bound, below in ((expected.lowest, True), (expected.highest, False)):
            if bound is None:
                continue
            if bound.unit.quantity != unit.quantity:
                return False
            if value < bound if below else bound < value:
                return False
        return True

    def _typed_number(self, text: str) -> tuple[Meaning, ...]:
        """A number of the job that was typed in figures, of which each is a digit.

        With a dash it is not all said.
        """
        singly = _FIGURES.sub(lambda figures: " ".join(figures[0]), text)
        words = [word for word in cut(self.in_words(singly), self.known) if word != COMMA]
        plain = singly != text and "-" not in text
        found = self.meanings(self.root.walk(words).tags) if plain else ()
        return tuple(m for m in found if isinstance(m, Identifier))

    def _note(self, words: list[str]) -> tuple[Meaning, ...]:
        begun = 0 if self.loosely().notes.recalls(words) else self.note.longest_prefix(words)
        if 0 < begun < len(words):
            return (Note(" ".join(words[begun:])),)
        ended = list(self.loosely().notes.noted(words))
        answers = any(isinstance(m, Answer) for m in self._loosely(ended)) if ended else True
        return () if answers else (Note(" ".join(ended)),)


def _with_point(tags: tuple[str, ...]) -> tuple[str, ...]:
    """The tags of two digits with a point between them; none of any other number."""
    numbers = [(at, tag) for at, tag in enumerate(tags) if tag.split()[0] in NUMBER_TAGS]
    digits = [at for at, tag in numbers if tag.startswith("digit")]
    if not len(numbers) == len(digits) == _POINT_LEFT_OUT or "digit 0" in tags:
        return ()
    return (*tags[: digits[1]], "point", *tags[digits[1] :])


def _is_measured(reading: Reading) -> bool:
    """Whether it has a unit or a fraction."""
    return reading.unit is not None or reading.value != int(reading.value)

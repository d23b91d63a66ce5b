"""The numbers in a text of which the rest means nothing, and what they are of."""

from dataclasses import dataclass, replace

from voiceassist.language.amid_words import AmidWords
from voiceassist.language.figures import comma_ways
from voiceassist.language.loose.matching import plain_words
from voiceassist.language.meanings import Reading
from voiceassist.language.parser import Parser
from voiceassist.language.words import cut


@dataclass(frozen=True, slots=True)
class NumbersSaid:
    """Finds the numbers in what is said at a step; they are for asking about, not for acting on.

    Parts:
        parser: understands phrases there.
    """

    parser: Parser

    def told_in(self, text: str) -> tuple[Reading, ...]:
        """The numbers in ``text``, each once, whatever stands around them.

        There are none where figures are left over.
        """
        found = (number for way in comma_ways(text) for number in self._numbers_of(way))
        return tuple(dict.fromkeys(found))

    def _numbers_of(self, text: str) -> tuple[Reading, ...]:
        at = self.parser
        words = cut(at.in_words(text), at.known)
        return AmidWords(at.root.walk, at.loosely(), at.meanings).numbers(words)

    def either_way(self, text: str) -> tuple[Reading, ...]:
        """The numbers in ``text``; two digits said one by one with a point between them as well."""
        return NumbersSaid(replace(self.parser, either=True)).told_in(text)

    def amended_in(self, text: str) -> tuple[Reading, ...]:
        """The numbers behind the last word by which another is taken back: "sixteen no sixty"."""
        number_words = self.parser.loosely().number_words
        words = cut(self.parser.in_words(text), self.parser.known)
        behind = number_words.behind_amends(words)
        found = self.told_in(" ".join(behind))
        before = self.told_in(" ".join(words[: len(words) - len(behind)])) if found else ()
        if not before or len(found) != 1:
            return found
        return found[0].amending(before[0], bare=number_words.begins_at_point(behind))

    def count_only(self, text: str) -> bool:
        """Whether all figures in ``text`` number or count something else than a value."""
        number_words, words = self.parser.loosely().number_words, self._words(text)
        return bool(number_words.figures & set(words)) and not number_words.values_at(words)

    def name_unit(self, text: str) -> bool:
        """Whether there is the word of a unit in ``text``."""
        return bool(self.parser.loosely().number_words.measures & set(self._words(text)))

    def values_of(self, text: str) -> tuple[str, ...]:
        """What ``text`` tells a value of, by name: steps and test points."""
        values, words = self.parser.loosely().values, self._words(text)
        return tuple(
            choice.name
            for choice in self.parser.expectation.names
            if any(values.is_value_of(words, way.split()) for way in choice.phrases)
        )

    def _words(self, text: str) -> list[str]:
        return plain_words(self.parser.in_words(text))

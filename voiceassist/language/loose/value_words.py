"""Of what a value is told: by the name of what is measured, as a guess, or of no meter at all."""

from collections.abc import Sequence, Set
from dataclasses import dataclass

from voiceassist.language.loose.around_phrase import AroundPhrase
from voiceassist.language.loose.matching import anywhere, plain_words, prefix
from voiceassist.language.loose.rules import Rules
from voiceassist.language.walking import Walker


@dataclass(frozen=True, slots=True)
class ValueWords:
    """Words that tell what a value is of.

    Parts:
        tells: between the name of a value and the value, "is" or "reads".
        here: what the value that is awaited is called, each in words.
        articles: may stand before that name.
        at_name: between a value and the name of what it is of: "at the feed".
        of_another: behind a number it tells by name what this is the value of.
        roughly: by one of these a number is only about right.
        as_it_should: one of these may tell what should be, and not what is.
        being: in front of one of these stands what something is told of.
        of_meter: one of these, there, is a meter or what it shows.
        of_somebody: behind one of these something else is spoken of, unless it is of the meter.
        around: what may stand around them.
    """

    tells: Walker | None
    here: Sequence[Sequence[str]]
    articles: Set[str]
    at_name: Set[str]
    of_another: Walker | None
    roughly: Set[str]
    as_it_should: Set[str]
    being: Set[str]
    of_meter: Set[str]
    of_somebody: Set[str]
    around: AroundPhrase

    @classmethod
    def of(cls, rules: Rules, around: AroundPhrase) -> "ValueWords":
        """Those of a language, where no value has a name yet."""
        return cls(
            tells=rules.walker("talking.tells"),
            here=(),
            articles=rules.words("talk.the"),
            at_name=rules.words("talking.at-name"),
            of_another=rules.walker("talking.of-another"),
            roughly=rules.words("talking.roughly"),
            as_it_should=rules.words("talking.as-it-should"),
            being=rules.words("talking.being"),
            of_meter=rules.words("talking.of-meter"),
            of_somebody=rules.words("talking.of-somebody"),
            around=around,
        )

    def of_its_name(self, words: Sequence[str]) -> tuple[list[str], bool]:
        """What is told of the awaited value behind its name, and whether it "is" or "reads" so.

        Empty where it is not named.
        """
        return next(filter(any, (self._behind(words, name) for name in self.here)), ([], False))

    def is_value_of(self, words: Sequence[str], name: Sequence[str]) -> bool:
        """Whether they tell by name what something is or reads: the name before it, or behind."""
        figures = self.around.number_words.figures
        if figures >= set(name):  # "three" is not what fuse three gives
            return False
        plain = self.around.fluent(words)
        before = (self._behind(plain[at:], name) for at in self.around.starts(plain))
        if any(figures & set(rest[: 1 + told]) for rest, told in before):
            return True
        ends = plain[: len(plain) - len(name)] if plain[-len(name) :] == list(name) else []
        ends = ends[: len(ends) - bool(self.articles & set(ends[-1:]))]
        return bool(self.at_name & set(ends[-1:]) and figures & set(ends))

    def _behind(self, words: Sequence[str], name: Sequence[str]) -> tuple[list[str], bool]:
        """What is told behind ``name``, and whether it "is" or "reads" so."""
        words = words[bool(self.articles & set(words[:1])) :]
        called, rest = list(words[: len(name)]), list(words[len(name) :])
        if called and called[-1] == f"{name[-1]}'s" and called[:-1] == list(name[:-1]):
            return rest[prefix(self.tells, rest) :], True
        if called == list(name):
            told = prefix(self.tells, rest)
            return rest[told:], bool(told)
        return [], False

    def is_of_another(self, text: str) -> bool:
        """Whether a number in ``text`` is by name that of something else: "was the battery"."""
        words = plain_words(text)
        return anywhere(self.of_another, words) and not self._ends_in_this(words)

    def is_of_this(self, text: str) -> bool:
        """Whether a number in ``text`` is by name the value of the step: "was the feed"."""
        words = plain_words(text)
        return anywhere(self.of_another, words) and self._ends_in_this(words)

    def _ends_in_this(self, words: Sequence[str]) -> bool:
        return any(list(words[-len(name) :]) == list(name) for name in self.here)

    def is_rough(self, text: str) -> bool:
        """Whether there is a word in ``text`` by which a number is only about right."""
        return bool(self.roughly & set(plain_words(text)))

    def is_as_it_should(self, text: str) -> bool:
        """Whether there is a word in ``text`` that may tell what should be, and not what is."""
        return bool(self.as_it_should & set(plain_words(text)))

    def is_off_meter(self, text: str) -> bool:
        """Whether ``text`` tells of what is no meter, and what none shows: "my savings are"."""
        words = plain_words(text)
        at = next((n for n, word in enumerate(words) if word in self.being), 0)
        subject = [word for word in words[:at] if word not in self.articles]
        return bool(subject) and not self.of_meter & set(subject)

    def is_of_somebody(self, text: str) -> bool:
        """Whether ``text`` speaks of what is somebody's: "my savings"."""
        return bool(self.of_somebody & set(plain_words(text)))

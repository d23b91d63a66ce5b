"""Phrases of loose talk: told whole, or known by a part of them."""

from collections.abc import Callable, Sequence, Set
from dataclasses import dataclass, replace

from voiceassist.language.loose.around_phrase import AroundPhrase
from voiceassist.language.loose.matching import prefix
from voiceassist.language.loose.rules import Rules
from voiceassist.language.walking import Walker

#: So many words before a part may deny it.
CLOSELY = 3

Tags = Sequence[tuple[str, ...]]
Folds = Callable[[Tags], bool]


@dataclass(frozen=True, slots=True)
class Phrases:
    """Phrases, whole and by a part.

    Parts:
        said: whole phrases.
        told_here: those of them that are said only where just that is awaited.
        first: known by any part, whatever else is said.
        begins, holds: phrases known by their beginning, or by any part where that tells nothing.
        denial: where one stands closely before a part, that is not what is meant.
        around: what may stand around them.
    """

    said: Walker | None
    told_here: Walker | None
    first: Walker | None
    begins: Walker | None
    holds: Walker | None
    denial: Set[str]
    around: AroundPhrase

    @classmethod
    def of(cls, rules: Rules, around: AroundPhrase) -> "Phrases":
        """Those of a language at a step."""
        return cls(
            said=rules.walker("talking.said"),
            told_here=rules.walker("talking.told-here"),
            first=rules.walker("talking.first"),
            begins=rules.walker("talking.begins"),
            holds=rules.walker("talking.holds"),
            denial=rules.words("talking.denial"),
            around=around,
        )

    def whole(self) -> "Phrases":
        """The same without what is known by a part."""
        return replace(self, first=None, begins=None, holds=None)

    def tags(self, words: Sequence[str]) -> Tags:
        """The tags of each way that all of ``words`` are one phrase."""
        return self.said.walk(words).tags if self.said is not None else ()

    def is_told_here(self, words: Sequence[str]) -> bool:
        """Whether they are a phrase for just this place, with what may stand around it."""
        plainer = self.around.plainer(words)
        return any(prefix(self.told_here, each) == len(each) for each in plainer)

    def of_a_part(self, words: Sequence[str], folds: Folds) -> Tags:
        """The tags of the part by which the phrase is known.

        ``folds`` tells whether the tags of a part mean something.
        """
        plain = self.around.fluent(words)
        return (
            _anywhere(self.first, plain, folds)[2]
            or self._of_the_beginning(plain, folds)
            or self._held(plain, folds)
        )

    def _held(self, words: Sequence[str], folds: Folds) -> Tags:
        """The tags of any part; no number where another is told: "nearly a short, point four"."""
        at, taken, tags = _anywhere(self.holds, words, folds, self.denial)
        left = [*words[:at], "", *words[at + taken :]]
        numbers = self.around.number_words
        beside = {left[place] for place in numbers.values_at(left)}
        return () if _is_number(tags) and beside - numbers.measures - numbers.none else tags

    def _of_the_beginning(self, words: Sequence[str], folds: Folds) -> Tags:
        numbers = self.around.number_words
        for start in self.around.starts(words):
            taken, tags = _longest(self.begins, words[start:], folds)
            said, left = words[start : start + taken], words[start + taken :]
            if self.around.cuts(words, start + taken):
                continue
            goes_on = (numbers.digits - numbers.joined) & set(left[:1]) and _is_value(tags)
            if not taken or goes_on:  # "one volt, one"
                continue
            more = bool(numbers.figures & set(left)) and _is_value(tags)
            if not more or self._is_repeated(said, left):
                return tags
        return ()

    def _is_repeated(self, said: Sequence[str], left: Sequence[str]) -> bool:
        """Whether the figures that are left over are those of the number once more, in their order.

        "Point oh six" behind "point six" is another number.
        """
        numbers = self.around.number_words
        parts = numbers.figures | numbers.joined | numbers.digits
        again = [word for word in left if word in parts]
        rest = iter(word for word in said if word in parts)
        return all(word in rest for word in again)


def _is_value(tags: Tags) -> bool:
    """Whether it is a number, and not a command or an answer that holds one."""
    return not any(tag.startswith(("command", "answer", "lamp")) for way in tags for tag in way)


def _is_number(tags: Tags) -> bool:
    return any(tag.startswith("digit") for way in tags for tag in way)


def _anywhere(
    walker: Walker | None, words: Sequence[str], folds: Folds, denial: Set[str] = frozenset()
) -> tuple[int, int, Tags]:
    """Where the longest part begins, how many words it has, and its tags."""
    starts = (n for n in range(len(words)) if not denial & set(words[max(n - CLOSELY, 0) : n]))
    found = ((start, *_longest(walker, words[start:], folds)) for start in starts)
    return max(found, key=lambda one: one[1], default=(0, 0, ()))


def _longest(walker: Walker | None, words: Sequence[str], folds: Folds) -> tuple[int, Tags]:
    """How many of the first words are a part that means something, and its tags."""
    taken = prefix(walker, words)
    if walker is None or not taken:
        return 0, ()
    tags = walker.walk(words[:taken]).tags
    return (taken, tags) if folds(tags) else (0, ())

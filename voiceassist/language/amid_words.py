"""The numbers in words of which the rest means nothing: all digits of each, with its unit."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import chain, pairwise, product

from voiceassist.language.loose.loosely import Loosely
from voiceassist.language.loose.phrases import Tags
from voiceassist.language.meanings import Meaning, Reading
from voiceassist.language.walking import PhraseWalk


@dataclass(frozen=True, slots=True)
class AmidWords:
    """Finds numbers amid other words.

    Parts:
        walk: through a phrase of the step.
        loosely: what loose talk means there.
        meanings: of the tags of each way through a phrase.
    """

    walk: Callable[[Sequence[str]], PhraseWalk]
    loosely: Loosely
    meanings: Callable[[Tags], tuple[Meaning, ...]]

    def numbers(self, words: Sequence[str]) -> tuple[Reading, ...]:
        """Those in ``words``; none where figures are left over."""
        plain = [self._figure_of(word) for word in words]
        at = self.loosely.number_words.values_at(plain)
        return _in_one_unit((self._numbers(plain, at) or ()) if at else ())

    def _figure_of(self, word: str) -> str:
        """ "Twenty" of "twenty's"."""
        figure = word.removesuffix("'s")
        return figure if figure in self.loosely.number_words.figures else word

    def _numbers(self, words: list[str], at: list[int]) -> tuple[Reading, ...] | None:
        """The numbers of the figures ``at`` these places; None where they make none.

        What is not one number is parted where most stands between its figures.
        """
        one = self._number(words, at[0], at[-1])
        half = at[: len(at) // 2]
        if not one and half and words[at[0] : half[-1] + 1] == words[half[-1] + 1 : at[-1] + 1]:
            return self._numbers(words[: half[-1] + 1], half)  # "sixty one, sixty one"
        if not one and at[1:] and self._is_of_no_number(words, at[0]):
            return self._told_by(words[at[0]], self._numbers(words, at[1:]))
        if not one and at[2:] and self._is_not_one(words, at):
            return self._told_by(words[at[1]], self._numbers(words, at[2:]))
        closest = all(after - before == 1 for before, after in pairwise(at))
        return one or (None if closest else self._parted(words, at))

    def _parted(self, words: list[str], at: list[int]) -> tuple[Reading, ...] | None:
        """The numbers of the figures on both sides of where most stands between them."""
        gaps = [after - before for before, after in pairwise(at)]
        cut_at = gaps.index(max(gaps)) + 1
        alone = at[cut_at:] == at[-1:]
        if alone and self._is_of_no_number(words, at[-1]):  # "thirty of your millivolts"
            last = at[cut_at - 1] + 1
            return self._number([*words[:last], words[at[-1]]], at[0], last) or None
        left, right = ([words[place] for place in part] for part in (at[:cut_at], at[cut_at:]))
        if right[: len(left)] == left:  # "forty, uh, forty three"
            return self._numbers(words, at[cut_at:])
        between = words[at[cut_at - 1] + 1 : at[cut_at]]
        if self._number(between, 0, len(between) - 1):  # it may belong to either
            return None
        parts = [self._numbers(words, part) for part in (at[:cut_at], at[cut_at:])]
        return None if None in parts else tuple(m for part in parts for m in part or ())

    def _is_of_no_number(self, words: list[str], at: int) -> bool:
        """Whether there is the word of a unit at this place, and no number that is of it."""
        return words[at] in self.loosely.number_words.measures and not self._number(words, at, at)

    def _is_not_one(self, words: list[str], at: list[int]) -> bool:
        """Whether the first figures tell what it is less than: "not even one volt, point eight"."""
        numbers, denial = self.loosely.number_words, self.loosely.answers.denial
        one_of = words[at[0]] in numbers.digits and words[at[1]] in numbers.measures
        return one_of and bool(denial & set(words[max(at[0] - 2, 0) : at[0]]))

    def _told_by(
        self, measure: str, numbers: tuple[Reading, ...] | None
    ) -> tuple[Reading, ...] | None:
        """``numbers`` by the unit that was told before them: "in millivolts two hundred"."""
        number_words = self.loosely.number_words
        figures = sorted(number_words.figures - number_words.measures)
        told = (m for each in figures for m in self.meanings(self.walk([each, measure]).tags))
        unit = next((m for m in told if isinstance(m, Reading) and m.unit), None)
        if unit is None or numbers is None:
            return numbers
        return tuple(each.in_place_of(unit) for each in numbers)

    def _number(self, words: list[str], first: int, last: int) -> tuple[Reading, ...]:
        """What the figures between two places can mean as one number."""
        # "oh" and "one" are no figures by themselves, but may belong to the number, and so may
        # "one and a" before "quarter"
        number_words = self.loosely.number_words
        named = number_words.points_at(words[:first])  # "that's the one" before "thirty"
        figures = number_words.figures
        earliest = max((at + 1 for at in range(first) if words[at] in figures), default=0)
        starts: Sequence[int] = [first] if named else range(max(first - 3, earliest), first + 1)
        spans = product((last + 5, last + 3, last + 2, last + 1), starts)
        own, loosely = self.walk, self.loosely.phrases.tags  # "a tenth of an amp" is loose talk
        parts = [words[start:end] for end, start in spans]
        tags = chain((own(part).tags for part in parts), map(loosely, parts))
        values = (tuple(m for m in self.meanings(t) if isinstance(m, Reading)) for t in tags)
        return next(filter(None, values), ())


def _in_one_unit(numbers: tuple[Reading, ...]) -> tuple[Reading, ...]:
    """``numbers``, a small unit carried on: "three hundred millivolts, hold up, thirty"."""
    small = next((n for n in numbers if n.unit is not None and n.unit.factor < 1), None)
    return numbers if small is None else tuple(each.in_place_of(small) for each in numbers)

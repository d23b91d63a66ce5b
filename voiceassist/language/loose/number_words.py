"""Words of numbers, and which of them may tell a value."""

from collections.abc import Sequence, Set
from dataclasses import dataclass

from voiceassist.language.loose.matching import at_the_end, ends, prefix
from voiceassist.language.loose.rules import Rules
from voiceassist.language.walking import Walker


@dataclass(frozen=True, slots=True)
class NumberWords:
    """Words of numbers.

    Parts:
        figures: words of numbers; what has more of them than was understood is not understood.
        measures: those of them that tell no number by themselves.
        joined: words that may belong to the figure behind them, and then are not left out.
        digits: tell a digit beside a figure, and alone may tell none: "one".
        none: words of figures that tell none.
        point: parts the whole of a number from what is behind.
        numbered, counted: what a number is of that is no value, before it and behind it.
        pointed: names a thing by a word that may begin a number too: "that one" before "thirty".
        amends: by any of these the number before is taken back.
    """

    figures: Set[str]
    measures: Set[str]
    joined: Set[str]
    digits: Set[str]
    none: Set[str]
    point: Set[str]
    numbered: Walker | None
    counted: Walker | None
    pointed: Walker | None
    amends: Walker | None

    @classmethod
    def of(cls, rules: Rules) -> "NumberWords":
        """Those of a language."""
        measures = rules.words("talking.measures")
        return cls(
            figures=rules.words("talking.figures") | measures,
            measures=measures,
            joined=rules.words("talking.joined"),
            digits=rules.words("talking.digits"),
            none=rules.words("talk.no"),
            point=rules.words("numbers.point"),
            numbered=rules.walker("talking.numbered"),
            counted=rules.walker("talking.counted"),
            pointed=rules.walker("talking.pointed"),
            amends=rules.walker("talking.amends"),
        )

    def values_at(self, words: Sequence[str]) -> list[int]:
        """The places of figures that may be of a value: "pin three" is none, nor "ten mil bolt"."""
        runs: list[list[int]] = []
        for at, word in enumerate(words):
            if word in self.figures:
                if not (runs and runs[-1][-1] == at - 1):
                    runs.append(self._digits_before(words, at))
                runs[-1].append(at)
            elif runs and runs[-1][-1] == at - 1 and self._goes_on(words[at - 1], word):
                runs[-1].append(at)
        return [at for run in runs if not self._is_counted(words, run) for at in run]

    def _goes_on(self, before: str, word: str) -> bool:
        """Whether ``word`` is one more digit; "oh" behind a unit is none."""
        cry = word in self.joined and before in self.measures
        return word in self.digits and not cry

    def _digits_before(self, words: Sequence[str], at: int) -> list[int]:
        """The places right before a figure of what may tell a digit of the same number."""
        start = at
        while start and words[start - 1] in self.digits - self.joined:
            start -= 1
        names = self.points_at(words[:at]) or self._numbers_what(words[:start])
        return [] if names else list(range(start, at))

    def _is_counted(self, words: Sequence[str], run: Sequence[int]) -> bool:
        names = self._numbers_what(words[: run[0]])
        return names or any(self._is_counted_behind(words[at + 1 :]) for at in run)

    def _is_counted_behind(self, words: Sequence[str]) -> bool:
        """Whether the words behind a figure tell what it counts; "of those millivolts" does not."""
        counted = prefix(self.counted, words)
        return bool(counted) and not self.measures & set(words[counted : counted + 1])

    def _numbers_what(self, before: Sequence[str]) -> bool:
        """Whether the last of the words ``before`` a figure tell what it numbers: "pin"."""
        return at_the_end(self.numbered, before)

    def points_at(self, before: Sequence[str]) -> bool:
        """Whether something is named last in the words ``before`` a figure: "that's the one"."""
        return at_the_end(self.pointed, before)

    def behind_amends(self, words: Sequence[str]) -> Sequence[str]:
        """The words behind the last by which a number before it is taken back; none without."""
        last = max(ends(self.amends, words), default=0)
        return words[last:] if (self.figures - self.measures) & set(words[:last]) else ()

    def begins_at_point(self, words: Sequence[str]) -> bool:
        """Whether nothing is told before the point of the first number: "point six"."""
        return next((word for word in words if word in self.figures), "") in self.point

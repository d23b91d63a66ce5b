"""Words by which something is to be noted, or only recalled."""

from collections.abc import Sequence, Set
from dataclasses import dataclass

from voiceassist.language.loose.matching import prefix
from voiceassist.language.loose.number_words import NumberWords
from voiceassist.language.loose.phrases import CLOSELY
from voiceassist.language.loose.rules import Rules
from voiceassist.language.walking import Walker

#: Fewer words are nothing to be noted.
_NOTED = 3


@dataclass(frozen=True, slots=True)
class NoteWords:
    """Words of a note.

    Parts:
        recalling: what begins so is no note, though its first word begins one.
        to_be_noted: what ends so is a note.
        denial: where one stands closely before that end, it is none.
        number_words: a value is no note.
    """

    recalling: Walker | None
    to_be_noted: Walker | None
    denial: Set[str]
    number_words: NumberWords

    @classmethod
    def of(cls, rules: Rules, number_words: NumberWords) -> "NoteWords":
        """Those of a language."""
        return cls(
            recalling=rules.walker("talking.recalling"),
            to_be_noted=rules.walker("talking.to-be-noted"),
            denial=rules.words("talking.denial"),
            number_words=number_words,
        )

    def recalls(self, words: Sequence[str]) -> bool:
        """Whether they begin as talk of old times does."""
        return prefix(self.recalling, words) > 0

    def noted(self, words: Sequence[str]) -> Sequence[str]:
        """What is to be noted, by the end of it; none of a value, which is one all the same."""
        ends = range(_NOTED, len(words))
        end = next((n for n in ends if prefix(self.to_be_noted, words[n:]) == len(words) - n), 0)
        denied = self.denial & set(words[max(end - CLOSELY, 0) : end])
        return () if denied or self.number_words.values_at(words[:end]) else words[:end]

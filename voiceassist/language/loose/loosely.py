"""What people say around a phrase, and phrases known by a part of them.

It is asked only where the step's own grammar finds nothing, so that no phrase of that loses its
meaning. All words come from rules of the language, so that a person adds to them without code.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from voiceassist.language.loose.answer_words import AnswerWords
from voiceassist.language.loose.around_phrase import AroundPhrase
from voiceassist.language.loose.complaint_words import ComplaintWords
from voiceassist.language.loose.manner import Manner
from voiceassist.language.loose.matching import plain_words
from voiceassist.language.loose.note_words import NoteWords
from voiceassist.language.loose.number_words import NumberWords
from voiceassist.language.loose.phrases import Phrases
from voiceassist.language.loose.repair_words import RepairWords
from voiceassist.language.loose.rules import Rules
from voiceassist.language.loose.state_words import StateWords
from voiceassist.language.loose.value_words import ValueWords
from voiceassist.language.plainest import COMMA

#: So many letters tell which word it is: "turn" of "turns".
_STEM = 4


@dataclass(frozen=True, slots=True)
class Loosely:
    """What loose talk means at one step, by topic; each is empty where the language has no rules.

    Parts:
        number_words: words of numbers, and which of them may tell a value.
        around: what stands around a phrase and carries nothing.
        phrases: whole, and known by a part.
        values: of what a value is told.
        notes: what is to be noted.
        manner: how something is said: asked, called, told to a mate, only spoken of.
        answers: yes, no, all of it, with a reserve, taken back.
        states: states of the vehicle.
        complaints: what is wrong with it.
        repairs: what was done about that, and whether it works.
    """

    number_words: NumberWords
    around: AroundPhrase
    phrases: Phrases
    values: ValueWords
    notes: NoteWords
    manner: Manner
    answers: AnswerWords
    states: StateWords
    complaints: ComplaintWords
    repairs: RepairWords

    @classmethod
    def of(cls, rules: Rules) -> "Loosely":
        """That of a language at a step, where no value has a name yet."""
        number_words = NumberWords.of(rules)
        around = AroundPhrase.of(rules, number_words)
        return cls(
            number_words=number_words,
            around=around,
            phrases=Phrases.of(rules, around),
            values=ValueWords.of(rules, around),
            notes=NoteWords.of(rules, number_words),
            manner=Manner.of(rules, around),
            answers=AnswerWords.of(rules),
            states=StateWords.of(rules, around),
            complaints=ComplaintWords.of(rules, around),
            repairs=RepairWords.of(rules, around),
        )

    def awaiting(self, here: Sequence[str]) -> "Loosely":
        """The same where the awaited value is called by each of ``here``."""
        named = [name.split() for name in here]
        return replace(self, values=replace(self.values, here=named))

    def whole(self) -> "Loosely":
        """The same without what is known by a part."""
        return replace(self, phrases=self.phrases.whole())

    def shares(self, text: str, other: str) -> bool:
        """Whether a word that tells what ``text`` is about is one of ``other`` too."""
        return bool(self._stems(text) & self._stems(other))

    def _stems(self, text: str) -> frozenset[str]:
        small = self.states.lightly | self.states.between | {COMMA}
        words = set(plain_words(text)) - small - self.answers.denial - self.manner.asking
        return frozenset(word[:_STEM] for word in words if len(word) >= _STEM - 1)


_NOTHING = Loosely.of(Rules({}, {}))


def no_loose_talk() -> Loosely:
    """That of a language without: nothing is said loosely."""
    return _NOTHING

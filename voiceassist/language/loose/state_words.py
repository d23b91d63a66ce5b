"""Words around states of the vehicle, and by which one is told without its name."""

from collections.abc import Sequence, Set
from dataclasses import dataclass

from voiceassist.language.expectation import Choice
from voiceassist.language.loose.around_phrase import AroundPhrase
from voiceassist.language.loose.matching import anywhere, ends, plain_words
from voiceassist.language.loose.rules import Rules
from voiceassist.language.plainest import COMMA
from voiceassist.language.told_states import Around, ToldState, states_told
from voiceassist.language.walking import Walker


@dataclass(frozen=True, slots=True)
class StateWords:
    """Words around a state of the vehicle.

    Parts:
        lightly, between: carry nothing among the words of a state of the vehicle, and around it.
        denial: where one stands closely before a state, it is not so.
        no_setting: behind what may be a setting of the vehicle they tell that it is another.
        place: before one of these "in" and "on" tell a place.
        unlit: tells that the test lamp is out.
        of_it: behind it a state is told of what was asked for, without its name.
        told_before: by one of these what is told was so before, and spoilt a reading.
        not_made, forgotten: by one of these a change was not made.
        around: what may stand around them.
    """

    lightly: Set[str]
    between: Set[str]
    denial: Set[str]
    no_setting: Set[str]
    place: Set[str]
    unlit: Walker | None
    of_it: Walker | None
    told_before: Walker | None
    not_made: Walker | None
    forgotten: Walker | None
    around: AroundPhrase

    @classmethod
    def of(cls, rules: Rules, around: AroundPhrase) -> "StateWords":
        """Those of a language."""
        return cls(
            lightly=rules.words("talking.lightly"),
            between=rules.words("talking.between-states"),
            denial=rules.words("talking.denial"),
            no_setting=rules.words("talking.no-setting"),
            place=rules.words("talking.a-place"),
            unlit=rules.walker("talking.unlit"),
            of_it=rules.walker("talking.of-it"),
            told_before=rules.walker("talking.told-before"),
            not_made=rules.walker("talking.not-made"),
            forgotten=rules.walker("talking.forgotten"),
            around=around,
        )

    def told_in(
        self, text: str, named: Sequence[Choice], bare: Sequence[Choice]
    ) -> tuple[tuple[ToldState, ...], str]:
        """The states that ``text`` tells, and what else is in it that carries something."""
        words = plain_words(text)
        told = states_told(words, named, bare, self._around())
        taken = {at for one in told for at in range(one.start, one.end)}
        left = [word for at, word in enumerate(words) if at not in taken]
        nothing = self.lightly | self.between | self.around.hesitation | {COMMA}
        full = [at for at, word in enumerate(left) if word not in nothing]
        return told, " ".join(left[full[0] : full[-1] + 1]) if full else ""

    def _around(self) -> Around:
        return Around(
            self.lightly,
            self.denial,
            self.no_setting,
            self.around.number_words.figures,
            self.place,
            self.between | {COMMA},
        )

    def not_made_in(self, text: str, named: Sequence[Choice]) -> tuple[ToldState, ...]:
        """The states of which ``text`` tells that they were not brought about."""
        words = plain_words(text)
        if not anywhere(self.not_made, words):
            return ()
        return states_told(words, named, (), Around(self.lightly))

    def tells_before(self, text: str) -> bool:
        """Whether ``text`` tells how the vehicle was when it was read last."""
        return anywhere(self.told_before, plain_words(text))

    def tells_forgotten(self, text: str) -> bool:
        """Whether ``text`` tells that something was forgotten."""
        return anywhere(self.forgotten, plain_words(text))

    def is_unlit(self, text: str) -> bool:
        """Whether ``text`` tells that the test lamp is out."""
        return anywhere(self.unlit, plain_words(text))

    def told_of_it(self, text: str) -> str:
        """The state that ``text`` tells at its end without its name; empty without."""
        words = plain_words(text)
        found = () if self.denial & set(words) else ends(self.of_it, words)
        return " ".join(words[found[-1] :]) if found else ""

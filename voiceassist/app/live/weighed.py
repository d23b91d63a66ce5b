"""What words may be for that no grammar understands, and how likely each of it is."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field

from voiceassist.app.live.doubting import intents_of
from voiceassist.app.live.sureness import DONE, is_done
from voiceassist.language.guess import OTHER, VALUE, Guesser
from voiceassist.language.meanings import Meaning
from voiceassist.language.words import cut
from voiceassist.session.guessing import is_harmless
from voiceassist.session.states import State


@dataclass(frozen=True, slots=True)
class Weighed:
    """What the words may be for: the chance of each intent, what it would mean, and the sound.

    ``plainly`` holds what may be done at once though it was heard, each with how likely it has to
    be: see ``plainly.py``.
    """

    guesser: Guesser
    words: Sequence[str]
    chances: Mapping[str, float]
    options: Mapping[str, Meaning]
    faithful: float
    state: State
    plainly: Mapping[Meaning, float] = field(default_factory=dict)

    def of(self, meaning: Meaning) -> float:
        """How likely ``meaning`` is, by the words and by how they sounded."""
        return self.faithful * self.sum_of(*intents_of(meaning, self.options))

    def sum_of(self, *intents: str) -> float:
        """The chance of any of ``intents``."""
        return sum(self.chances.get(intent, 0.0) for intent in intents)

    def likeliest(self, chances: Mapping[str, float] | None = None) -> tuple[Meaning | None, float]:
        """What is likeliest meant, and how likely; None for what is not for us, or is a number.

        Intents that mean the same here count together.
        """
        summary: dict[Meaning | None, float] = {None: 0.0}
        for intent, chance in (self.chances if chances is None else chances).items():
            meaning = None if intent in (OTHER, VALUE) else self.options[intent]
            summary[meaning] = summary.get(meaning, 0.0) + chance
        best = max(summary, key=summary.__getitem__)
        return best, summary[best]

    def harmless(self, least: float, *, typed: bool) -> Meaning | None:
        """What may be done rather than to ask about something else, if it is so likely."""
        own = {i: p for i, p in self.chances.items() if self._is_harmless(i, p, typed=typed)}
        best, chance = self.likeliest(own)
        return best if chance >= least else None

    def _is_harmless(self, intent: str, chance: float, *, typed: bool) -> bool:
        option = self.options.get(intent)
        if option is None or not is_harmless(option, self.state):
            return False
        return is_done(option, max(chance, DONE), self.state, typed=typed)


def written_chances(
    guesser: Guesser, wordings: Mapping[str, float], options: Mapping[str, Meaning], at: str
) -> Mapping[str, float]:
    """The chance of each intent, in all the ways in which the words may be written."""
    found: dict[str, float] = {}
    total = sum(wordings.values())
    several = guesser.chances_of([cut(words, frozenset()) for words in wordings], options, at)
    for chances, share in zip(several, wordings.values(), strict=True):
        for intent, chance in chances.items():
            found[intent] = found.get(intent, 0.0) + chance * share / total
    return found


def as_other_talk(chances: Mapping[str, float], intents: Collection[str]) -> Mapping[str, float]:
    """``chances`` where none of ``intents`` is meant: what they had is for other talk."""
    kept = {intent: chance for intent, chance in chances.items() if intent not in intents}
    return {**kept, OTHER: 1.0 - sum(kept.values()) + kept.get(OTHER, 0.0)}

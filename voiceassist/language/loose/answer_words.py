"""Words by which an answer is a yes or a no, holds with a reserve, or is taken back."""

from collections.abc import Sequence, Set
from dataclasses import dataclass

from voiceassist.language.loose.matching import plain_words, prefix
from voiceassist.language.loose.rules import Rules
from voiceassist.language.walking import Walker


@dataclass(frozen=True, slots=True)
class AnswerWords:
    """Words that tell what an answer is worth.

    Parts:
        affirming: one of these answers yes.
        denial: by one of these something is not wanted.
        of_all: by one of these all is meant that was asked for.
        reserving: by one of these something is taken back.
        of_himself: by one of these one tells of himself, or of what is so.
        unheeding: by one of these it is not told that one does as a caution says.
        taking_back: who begins so puts an answer right.
        of_before: and tells by this that it is one that he has given.
    """

    affirming: Set[str]
    denial: Set[str]
    of_all: Set[str]
    reserving: Set[str]
    of_himself: Set[str]
    unheeding: Set[str]
    taking_back: Walker | None
    of_before: Walker | None

    @classmethod
    def of(cls, rules: Rules) -> "AnswerWords":
        """Those of a language."""
        return cls(
            affirming=rules.words("talking.affirming"),
            denial=rules.words("talking.denial"),
            of_all=rules.words("talking.of-all"),
            reserving=rules.words("talking.reserving"),
            of_himself=rules.words("talking.of-himself"),
            unheeding=rules.words("talking.unheeding"),
            taking_back=rules.walker("talking.taking-back"),
            of_before=rules.walker("talking.of-before"),
        )

    def affirms(self, text: str) -> bool:
        """Whether there is a word in ``text`` by which it is a yes."""
        return bool(self.affirming & set(plain_words(text)))

    def denies(self, text: str) -> bool:
        """Whether there is a word in ``text`` by which something is not wanted."""
        return bool(self.denial & set(plain_words(text)))

    def is_of_all(self, text: str) -> bool:
        """Whether there is a word in ``text`` by which all is meant that was asked for."""
        return bool(self.of_all & set(plain_words(text)))

    def reserves(self, text: str) -> bool:
        """Whether there is a word in ``text`` by which something is taken back."""
        return bool(self.reserving & set(plain_words(text)))

    def behind_reserve(self, text: str) -> str:
        """What is said behind the last word by which something is taken back; empty without."""
        words = plain_words(text)
        at = [n for n, word in enumerate(words) if word in self.reserving]
        return " ".join(words[at[-1] + 1 :]) if at else ""

    def is_unheeding(self, text: str) -> bool:
        """Whether by the words of ``text`` one may not do as a caution says: it tells of others."""
        words = set(plain_words(text))
        nothing = self.unheeding | self.reserving | self.denial
        so = self.of_himself & words or any(word.endswith("'s") for word in words)
        return bool(nothing & words) or not so

    def taken_back(self, words: Sequence[str]) -> tuple[Sequence[str], bool]:
        """What is said behind words that put an answer right, and whether they tell of one given.

        Nothing where there are no such words.
        """
        taken = prefix(self.taking_back, words)
        if taken == len(words):  # "no wait, no"
            taken = prefix(self.taking_back, words[:-1])
        told = any(prefix(self.of_before, words[at:]) for at in range(taken))
        return (words[taken:], told) if taken else ((), False)

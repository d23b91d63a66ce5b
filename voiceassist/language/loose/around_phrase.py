"""What people say around a phrase: it carries nothing, and is left out bit by bit."""

from collections.abc import Iterator, Sequence, Set
from dataclasses import dataclass

from voiceassist.language.loose.matching import anywhere, plain_words, prefix
from voiceassist.language.loose.number_words import NumberWords
from voiceassist.language.loose.rules import Rules
from voiceassist.language.walking import Walker

#: So many words at the end may carry nothing.
_TAIL = 5


@dataclass(frozen=True, slots=True)
class AroundPhrase:
    """What stands around a phrase.

    Parts:
        before, after: words that carry nothing, before a phrase and after it.
        hesitation: sounds of someone who thinks, wherever they come.
        together: words that are one saying, of which no part counts: "dead easy".
        number_words: some of them may belong to a number and then are not left out.
    """

    before: Walker | None
    after: Walker | None
    hesitation: Set[str]
    together: Walker | None
    number_words: NumberWords

    @classmethod
    def of(cls, rules: Rules, number_words: NumberWords) -> "AroundPhrase":
        """That of a language."""
        return cls(
            before=rules.walker("talk.before"),
            after=rules.walker("talk.after"),
            hesitation=rules.words("talk.hesitation"),
            together=rules.walker("talking.together"),
            number_words=number_words,
        )

    def plainer(self, words: Sequence[str]) -> Iterator[list[str]]:
        """The phrase with less and less around it, the fullest first."""
        yield list(words)
        plain = self.fluent(words)
        if len(plain) < len(words):
            yield plain
        for start in self.starts(plain):
            for end in (len(plain), *self._ends(plain, start)):
                if (start or end < len(plain)) and start < end and not self.cuts(plain, end):
                    yield plain[start:end]

    def fluent(self, words: Sequence[str]) -> list[str]:
        """The words without the sounds of someone who thinks."""
        return [word for word in words if word not in self.hesitation]

    def starts(self, words: Sequence[str]) -> Iterator[int]:
        """Where the phrase may begin: at its first word, and behind what carries nothing."""
        start = 0
        yield start
        while self.before is not None and start < len(words):
            taken = self.before.longest_prefix(words[start:])
            if not taken:
                return
            start += taken
            if not self._belongs_to_a_number(words, start):
                yield start

    def _belongs_to_a_number(self, words: Sequence[str], start: int) -> bool:
        """Whether the word before ``start`` may be of the number that begins there."""
        figures = self.number_words.figures & set(words[start:][:2])
        return words[start - 1] in self.number_words.joined and bool(figures)

    def _ends(self, words: Sequence[str], start: int) -> Iterator[int]:
        """Where it may end, before what carries nothing."""
        if self.after is None:
            return
        end = len(words)
        while end > start + 1 and len(words) - end < _TAIL:
            begins = range(end - 1, max(start, end - 1 - _TAIL), -1)
            tails = [at for at in begins if prefix(self.after, words[at:end]) == end - at]
            yield from tails
            if not tails:
                return
            end = tails[0]

    def cuts(self, words: Sequence[str], end: int) -> bool:
        """Whether a saying begins before ``end`` and goes on behind it."""
        return any(at + prefix(self.together, words[at:]) > end for at in range(end))

    def has_saying(self, text: str) -> bool:
        """Whether there is a saying in ``text`` of which no part counts: "dead right"."""
        return anywhere(self.together, plain_words(text))

"""How something is said: asked, called to the assistant, told to a mate, or only spoken of."""

from collections.abc import Set
from dataclasses import dataclass

from voiceassist.language.loose.around_phrase import AroundPhrase
from voiceassist.language.loose.matching import anywhere, plain_words, prefix
from voiceassist.language.loose.rules import Rules
from voiceassist.language.plainest import COMMA
from voiceassist.language.walking import Walker


@dataclass(frozen=True, slots=True)
class Manner:
    """Words that tell how something is said.

    Parts:
        asking, relating: what begins with one is a question, unless it begins with the other.
        hailing: who begins so speaks to the assistant.
        to_a_mate: by one of these somebody else is told what to do.
        aside: by any of these something is spoken of, and not told as it is here and now.
        supposing: by such a beginning too.
        around: what may stand around them.
    """

    asking: Set[str]
    relating: Walker | None
    hailing: Walker | None
    to_a_mate: Walker | None
    aside: Walker | None
    supposing: Walker | None
    around: AroundPhrase

    @classmethod
    def of(cls, rules: Rules, around: AroundPhrase) -> "Manner":
        """Those of a language."""
        return cls(
            asking=rules.words("talking.asking"),
            relating=rules.walker("talking.relating"),
            hailing=rules.walker("talking.hailing"),
            to_a_mate=rules.walker("talking.to-a-mate"),
            aside=rules.walker("talking.aside"),
            supposing=rules.walker("talking.supposing"),
            around=around,
        )

    def asks(self, text: str) -> bool:
        """Whether ``text`` begins as a question does, or was typed with its mark."""
        words = plain_words(text)
        begins = self.asking & set(words[:1]) and not prefix(self.relating, words)
        return bool(begins) or text.rstrip().endswith("?")

    def hails(self, text: str) -> bool:
        """Whether ``text`` begins as one does who speaks to the assistant."""
        return prefix(self.hailing, plain_words(text)) > 0

    def tells_a_mate(self, text: str) -> bool:
        """Whether somebody at the other end is told in ``text`` what to do."""
        return anywhere(self.to_a_mate, [word for word in plain_words(text) if word != COMMA])

    def is_aside(self, text: str) -> bool:
        """Whether ``text`` speaks of something, and does not tell that it is so here and now."""
        plain = self.around.fluent(plain_words(text))
        supposed = any(prefix(self.supposing, plain[at:]) for at in self.around.starts(plain))
        return supposed or anywhere(self.aside, plain)

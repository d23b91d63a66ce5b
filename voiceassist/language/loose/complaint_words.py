"""Words by which it is told what is wrong with a vehicle."""

from dataclasses import dataclass

from voiceassist.language.loose.around_phrase import AroundPhrase
from voiceassist.language.loose.matching import anywhere, at_the_end, plain_words, prefix
from voiceassist.language.loose.rules import Rules
from voiceassist.language.walking import Walker


@dataclass(frozen=True, slots=True)
class ComplaintWords:
    """Words of a complaint.

    Parts:
        complaining: who begins so tells what is wrong, as it was told to him.
        failing: by one of these a thing does not do what it should.
        pointing: who begins so names what it is: "it's the left indicator".
        asking_behind: who ends so asks.
        around: what may stand around them.
    """

    complaining: Walker | None
    failing: Walker | None
    pointing: Walker | None
    asking_behind: Walker | None
    around: AroundPhrase

    @classmethod
    def of(cls, rules: Rules, around: AroundPhrase) -> "ComplaintWords":
        """Those of a language."""
        return cls(
            complaining=rules.walker("talking.complaining"),
            failing=rules.walker("talking.failing"),
            pointing=rules.walker("talking.pointing"),
            asking_behind=rules.walker("talking.asking-behind"),
            around=around,
        )

    def complains(self, text: str) -> bool:
        """Whether ``text`` tells what is wrong with a thing, or that somebody says so."""
        words = plain_words(text)
        return anywhere(self.failing, words) or prefix(self.complaining, words) > 0

    def points_out(self, text: str) -> bool:
        """Whether ``text`` begins by naming what it is, and does not end as a question does."""
        words = plain_words(text)
        return prefix(self.pointing, words) > 0 and not at_the_end(self.asking_behind, words)

    def complaint_in(self, text: str) -> tuple[str, ...]:
        """The complaint that is told in ``text``, with less and less around it."""
        words = plain_words(text)
        told = words[prefix(self.complaining, words) :]
        return tuple(" ".join(each) for each in self.around.plainer(told))

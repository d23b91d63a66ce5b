"""Words of a repair: what was done, what is broken, and whether it works by now."""

from collections.abc import Sequence, Set
from dataclasses import dataclass

from voiceassist.language.loose.around_phrase import AroundPhrase
from voiceassist.language.loose.matching import anywhere, plain_words, prefix
from voiceassist.language.loose.rules import Rules
from voiceassist.language.walking import Walker


@dataclass(frozen=True, slots=True)
class RepairWords:
    """Words of a repair and of how things work.

    Parts:
        repairing: by one of these it is told what was found or done in a repair.
        undone: by one of these besides, not all that was asked for may be done.
        of_work: one of these tells how a thing works, and not how a lamp shines.
        as_it_works: all that is said so tells that, or that all is well: no danger, and no value.
        works_now, fails_still: all that is said so tells that what was mended works, or not.
        broken: tells by what it looks like that a thing is at fault: "stuck on".
        the_one: somewhere in words that tell so, it names the thing: "it's the".
        mending, to_mend: by one of these it is mended already, and by one of those not yet.
        around: what may stand around them.
    """

    repairing: Set[str]
    undone: Set[str]
    of_work: Set[str]
    as_it_works: Walker | None
    works_now: Walker | None
    fails_still: Walker | None
    broken: Walker | None
    the_one: Walker | None
    mending: Set[str]
    to_mend: Set[str]
    around: AroundPhrase

    @classmethod
    def of(cls, rules: Rules, around: AroundPhrase) -> "RepairWords":
        """Those of a language."""
        return cls(
            repairing=rules.words("talking.repairing"),
            undone=rules.words("talking.left-undone"),
            of_work=rules.words("talking.of-work"),
            as_it_works=rules.walker("talking.as-it-works"),
            works_now=rules.walker("talking.works-now"),
            fails_still=rules.walker("talking.fails-still"),
            broken=rules.walker("talk.broken-so"),
            the_one=rules.walker("talk.the-one"),
            mending=rules.words("talk.mending"),
            to_mend=rules.words("talk.to-mend"),
            around=around,
        )

    def tells_work(self, text: str) -> bool:
        """Whether there is a word in ``text`` that tells what was found or done in a repair."""
        return bool(self.repairing & set(plain_words(text)))

    def leaves_undone(self, text: str) -> bool:
        """Whether by a word of ``text`` not all that was asked for may be done."""
        return bool(self.undone & set(plain_words(text)))

    def is_of_work(self, text: str) -> bool:
        """Whether there is a word in ``text`` that tells how a thing works."""
        return bool(self.of_work & set(plain_words(text)))

    def is_as_it_works(self, text: str) -> bool:
        """Whether ``text`` tells how a thing works, or that all is well, and no more."""
        return self._is_all(self.as_it_works, plain_words(text))

    def tells_works(self, text: str) -> bool | None:
        """Whether ``text`` tells, behind its last comma, that what was mended works; else None."""
        words = plain_words(text.rsplit(",", maxsplit=1)[-1])
        for told, walker in ((True, self.works_now), (False, self.fails_still)):
            if self._is_all(walker, words):
                return told
        return None

    def _is_all(self, walker: Walker | None, words: Sequence[str]) -> bool:
        """Whether ``walker`` knows all of the words but what stands around them."""
        return any(prefix(walker, each) == len(each) for each in self.around.plainer(words))

    def is_mended(self, text: str) -> bool:
        """Whether ``text`` tells that something is mended already."""
        told = set(plain_words(text))
        return bool(self.mending & told) and not self.to_mend & told

    def tells_fault(self, text: str) -> bool:
        """Whether ``text`` names a thing, and tells that it is broken or that it is mended."""
        words = plain_words(text)
        told = anywhere(self.broken, words) or self.is_mended(text)
        return told and anywhere(self.the_one, words)

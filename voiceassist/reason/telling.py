"""Advice in sentences: how sure a cause is, which test tells most, what speaks against a cause.

The words for how sure something is stand for fixed numbers, which are said with them.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from voiceassist.language.phrasebook import Phrasebook
from voiceassist.reason.adviser import Adviser
from voiceassist.reason.infer import UNLISTED, Seen
from voiceassist.reason.next_test import Worth
from voiceassist.session.shown import spoken_name

#: From this probability on, a cause is called so. Ours; common practice, no source.
DEGREES = ((0.95, "nearly-sure"), (0.6, "probable"))
#: A likeliest one that is neither, and those that come after it.
_FIRST, _NEXT = "likeliest", "then"
#: So many causes are told at most, and none that is less likely than this beside a likelier one.
_MOST_CAUSES, _LEAST = 3, 0.05
#: A test that tells so many bits halves what is left.
_MUCH = 0.9


@dataclass(frozen=True, slots=True)
class Known:
    """What is known so far: the adviser with every test in its table, and what was seen."""

    adviser: Adviser
    seen: tuple[Seen, ...]

    @property
    def likeliest(self) -> Sequence[tuple[str, float]]:
        """The findings that are told, each with how likely it is."""
        ranked = self.adviser.belief(self.seen).ranked[:_MOST_CAUSES]
        return [each for each in ranked if each[1] >= _LEAST] or ranked[:1]

    def worths(self) -> Sequence[Worth]:
        """What each step that was not made yet is worth, the best first."""
        made = {self.step(one.place) for one in self.seen}
        steps = [name for name in self.adviser.setup.procedure.steps if name not in made]
        return self.adviser.next_tests(self.seen, steps)

    def step(self, place: int) -> str:
        """The step of a place of the table."""
        return self.adviser.samples.places[place].step


def how_sure(known: Known, book: Phrasebook) -> str:
    """The likeliest causes, by rank, with how sure each is."""
    return " ".join(
        book(
            "rehearse.likely",
            degree=book.plain(f"rehearse.{degree(share, first=not rank)}"),
            percent=round(100 * share),
            cause=_cause(known.adviser, finding, book),
        )
        for rank, (finding, share) in enumerate(known.likeliest)
    )


def degree(share: float, *, first: bool) -> str:
    """The key of the word for a probability; whatever is ``first`` is the likeliest."""
    return next((key for least, key in DEGREES if share >= least), _FIRST if first else _NEXT)


def _cause(adviser: Adviser, finding: str, book: Phrasebook) -> str:
    if finding == UNLISTED:
        return book.plain("rehearse.unlisted")
    found = adviser.setup.procedure.findings.get(finding)
    return found.cause if found is not None else spoken_name(finding)


def most_telling(known: Known, book: Phrasebook) -> str:
    """The test that would tell most."""
    best = next(iter(known.worths()), None)
    return told_most(known, best, book) if best is not None else book("rehearse.no-hint")


def told_most(known: Known, best: Worth, book: Phrasebook, key: str = "rehearse.hint") -> str:
    """A test with what it would tell, and about how long it takes."""
    minutes = max(1, round(best.minutes))
    return book(
        key,
        step=spoken_name(known.step(best.place)),
        bits=book.plain("rehearse.much" if best.bits >= _MUCH else "rehearse.little"),
        minutes=book.plain(
            "rehearse.minute" if minutes == 1 else "rehearse.minutes", count=minutes
        ),
    )


def from_here(
    known: Known, worths: Sequence[Worth], here: str, free: Collection[str], book: Phrasebook
) -> str:
    """What the file does next, what would be quicker, and what of that can be chosen now.

    Args:
        known: so far.
        worths: what each step that was not made yet is worth, the best first.
        here: the step under way.
        free: the steps that can be taken now before their turn.
        book: the sentences.
    """
    best = next(iter(worths), None)
    if best is None:
        return book("rehearse.no-hint")
    if known.step(best.place) == here:
        return told_most(known, best, book, "advised.here_most")
    in_order = book("advised.in_turn", step=spoken_name(here))
    if known.step(best.place) in free:
        return f"{in_order} {told_most(known, best, book, 'advised.quicker')}"
    told = f"{in_order} {told_most(known, best, book, 'advised.not_yet')}"
    mine = next((each.rate for each in worths if known.step(each.place) == here), 0.0)
    other = next((each for each in worths if known.step(each.place) in free), None)
    if other is None or other.rate <= mine:
        return told
    return f"{told} {told_most(known, other, book, 'advised.quicker')}"


def speaks_against(known: Known, finding: str, book: Phrasebook) -> str:
    """The reading that speaks most against a cause."""
    one = known.adviser.against(known.seen, finding)
    if one is None:
        return book("rehearse.nothing-against")
    return book("rehearse.against", step=spoken_name(known.step(one.place)))

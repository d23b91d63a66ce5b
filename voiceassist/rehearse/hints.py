"""What an instructor would answer: how sure a cause is, what would tell most, what speaks against.

The words for how sure something is stand for fixed numbers, which are said with them.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from voiceassist.language.phrasebook import Phrasebook
from voiceassist.reason.adviser import Adviser
from voiceassist.reason.infer import UNLISTED, Seen
from voiceassist.reason.sampling import NOTHING
from voiceassist.rehearse.acts import Act
from voiceassist.rehearse.tested import with_tests
from voiceassist.rehearse.wishes import Verb, Wish
from voiceassist.session.shown import spoken_name

#: From this probability on, a cause is called so. Ours; common practice, no source.
DEGREES = ((0.95, "nearly-sure"), (0.6, "probable"), (0.2, "possible"), (0.0, "doubtful"))
#: So many causes are told at most, and none that is less likely than this beside a likelier one.
_MOST_CAUSES, _LEAST = 3, 0.05
#: A test that tells so many bits parts what is left in two.
_MUCH = 0.9


@dataclass(frozen=True, slots=True)
class Known:
    """What is known so far: the adviser with every test in its table, and what was seen."""

    adviser: Adviser
    seen: tuple[Seen, ...]


def hint(adviser: Adviser, acts: Sequence[Act], wish: Wish) -> Act:
    """The answer to a question to the instructor, after ``acts``."""
    known = _known(adviser, acts)
    book = adviser.setup.book
    if wish.verb is Verb.SURE:
        return Act(wish, _sure(known, book), 0.0)
    if wish.verb is Verb.HINT:
        return Act(wish, _next(known, book), 0.0)
    return Act(wish, _against(known, wish.one, book), 0.0)


def _known(adviser: Adviser, acts: Sequence[Act]) -> Known:
    wiser, named = with_tests(adviser, acts)
    seen: dict[int, Seen] = {}
    for act in named:
        test = act.test
        place = wiser.samples.at(test.step, test.states) if test is not None else None
        if test is not None and place is not None and test.sight.word != NOTHING:
            seen[place] = wiser.seen_at(place, test.sight)
    return Known(wiser, tuple(seen.values()))


def _sure(known: Known, book: Phrasebook) -> str:
    ranked = known.adviser.belief(known.seen).ranked[:_MOST_CAUSES]
    told = [each for each in ranked if each[1] >= _LEAST] or ranked[:1]
    return " ".join(
        book(
            "rehearse.likely",
            degree=book.plain(f"rehearse.{degree(share)}"),
            percent=round(100 * share),
            cause=_cause(known.adviser, finding, book),
        )
        for finding, share in told
    )


def degree(share: float) -> str:
    """The key of the word for a probability."""
    return next(key for least, key in DEGREES if share >= least)


def _cause(adviser: Adviser, finding: str, book: Phrasebook) -> str:
    if finding == UNLISTED:
        return book.plain("rehearse.unlisted")
    found = adviser.setup.procedure.findings.get(finding)
    return found.cause if found is not None else spoken_name(finding)


def _next(known: Known, book: Phrasebook) -> str:
    adviser = known.adviser
    made = {adviser.samples.places[one.place].step for one in known.seen}
    steps = [name for name in adviser.setup.procedure.steps if name not in made]
    best = next(iter(adviser.next_tests(known.seen, steps)), None)
    if best is None:
        return book("rehearse.no-hint")
    minutes = max(1, round(best.minutes))
    return book(
        "rehearse.hint",
        step=spoken_name(adviser.samples.places[best.place].step),
        bits=book.plain("rehearse.much" if best.bits >= _MUCH else "rehearse.little"),
        minutes=book.plain(
            "rehearse.minute" if minutes == 1 else "rehearse.minutes", count=minutes
        ),
    )


def _against(known: Known, finding: str, book: Phrasebook) -> str:
    one = known.adviser.against(known.seen, finding)
    if one is None:
        return book("rehearse.nothing-against")
    step = known.adviser.samples.places[one.place].step
    return book("rehearse.against", step=spoken_name(step))

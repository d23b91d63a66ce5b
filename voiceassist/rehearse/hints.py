"""What an instructor would answer: how sure he is, what would tell most, what speaks against."""

from collections.abc import Sequence

from voiceassist.language.phrasebook import Phrasebook
from voiceassist.reason.adviser import Adviser
from voiceassist.reason.telling import Known, how_sure, most_telling, speaks_against
from voiceassist.rehearse.acts import Act
from voiceassist.rehearse.tested import by_name, is_known, seen_in
from voiceassist.rehearse.wishes import Verb, Wish


def hint(adviser: Adviser, acts: Sequence[Act], wish: Wish) -> Act:
    """The answer to a question to the instructor, after ``acts``.

    A test that is not looked into yet is left out, and that is told.
    """
    wiser, named = by_name(adviser, acts)
    seen = {one.place: one for act in named if (one := seen_in(wiser, act)) is not None}
    known, book = Known(wiser, tuple(seen.values())), adviser.setup.book
    told = _told(known, wish, book)
    if not is_known(adviser, acts):
        told = f"{book('rehearse.not-counted')} {told}"
    return Act(wish, told, 0.0)


def _told(known: Known, wish: Wish, book: Phrasebook) -> str:
    if wish.verb is Verb.SURE:
        return how_sure(known, book)
    if wish.verb is Verb.HINT:
        return most_telling(known, book)
    return speaks_against(known, wish.one, book)

"""What an instructor would answer: how sure he is, what would tell most, what speaks against."""

from collections.abc import Sequence

from voiceassist.reason.adviser import Adviser
from voiceassist.reason.telling import Known, how_sure, most_telling, speaks_against
from voiceassist.rehearse.acts import Act
from voiceassist.rehearse.tested import seen_in, with_tests
from voiceassist.rehearse.wishes import Verb, Wish


def hint(adviser: Adviser, acts: Sequence[Act], wish: Wish) -> Act:
    """The answer to a question to the instructor, after ``acts``."""
    wiser, named = with_tests(adviser, acts)
    seen = {one.place: one for act in named if (one := seen_in(wiser, act)) is not None}
    known, book = Known(wiser, tuple(seen.values())), adviser.setup.book
    if wish.verb is Verb.SURE:
        return Act(wish, how_sure(known, book), 0.0)
    if wish.verb is Verb.HINT:
        return Act(wish, most_telling(known, book), 0.0)
    return Act(wish, speaks_against(known, wish.one, book), 0.0)

"""Whether work is told as done, or that it cannot be done yet, and which work that is."""

import re

from voiceassist.language.phrasebook import Phrasebook
from voiceassist.language.told_phrases import is_told
from voiceassist.session.offered import tells_repair
from voiceassist.session.outputs import Ask
from voiceassist.session.session import Session, SessionSetup, Stage
from voiceassist.session.states import State


def work_at(setup: SessionSetup, session: Session) -> str:
    """The text of the work in hand: a step of the repair, or one told whole with its offer."""
    if session.state is State.DO and session.stage is Stage.REPAIR:
        return setup.step(session).text
    if not tells_repair(setup, session):
        return ""
    repairs = setup.procedure.repairs
    told = (o.step for o in session.prompt if isinstance(o, Ask) and o.step in repairs)
    return next((repairs[name].text for name in told), "")


def small_words(book: Phrasebook) -> frozenset[str]:
    """Words of a work that name nothing in it."""
    return frozenset(book.plain("work.small").split())


def tells_done(book: Phrasebook, words: str) -> bool:
    """Whether something is told as done: "it's changed", "new one's in", and not as yet to do."""
    said = re.findall(r"[a-z']+", words.lower())
    if set(book.plain("work.not_yet").split()) & set(said):
        return False
    at_end = "|".join(book.plain("work.places").split())
    follow = "|".join(book.plain("work.behind").split())
    placed = re.search(rf"\b(?:{at_end})\b(?=\W*$|,|\.| (?:{follow})\b)", words.lower())
    return bool(set(book.plain("work.done").split()) & set(said)) or placed is not None


def lacks_part(book: Phrasebook, words: str) -> bool:
    """Whether the part is still to come: "haven't got one yet", "it's on order"."""
    return is_told(book.plain("work.no_part_words"), words)

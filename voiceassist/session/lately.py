"""What the last words did: whether a value was just given, or something came since."""

from voiceassist.language.meanings import CommandName
from voiceassist.session.copying import replace
from voiceassist.session.events import Cue, Event, EventKind, Heard
from voiceassist.session.session import ASIDE, VALUE, Session, Turn
from voiceassist.session.states import State
from voiceassist.session.table import QUESTIONS

#: After these, what was said before them is still what was said last.
_ASIDE = QUESTIONS.keys() | {
    EventKind.NOTE_TEXT,
    EventKind.IDENTIFIER,
    CommandName.LESS,
    CommandName.MORE,
}


def with_lately(before: Session, event: Event, on: Cue, turn: Turn) -> Turn:
    """``turn`` with what the words of ``event`` did.

    Set here alone, since an action may return to an earlier session.
    """
    return Turn(replace(turn.session, lately=_lately(before, event, on, turn)), turn.outputs)


def _lately(before: Session, event: Event, on: Cue, turn: Turn) -> str:
    if _given(before, turn.session):
        return VALUE if isinstance(event, Heard) else ""
    if not isinstance(event, Heard):
        return before.lately
    # A correction of an earlier value that is asked about, or dropped, takes nothing from it.
    of_earlier = any(at.correcting or at.state is State.WHOSE for at in (before, turn.session))
    return ASIDE if before.lately and (on in _ASIDE or of_earlier) else ""


def _given(before: Session, after: Session) -> bool:
    """True when the technician gave a result in between."""
    return any(not result.by_itself for result in after.ledger[len(before.ledger) :])

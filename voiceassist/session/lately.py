"""What the last words did: whether a value was just given, or something came since."""

from voiceassist.session.copying import replace
from voiceassist.session.events import Event, EventKind, Heard
from voiceassist.session.session import ASIDE, VALUE, Session, Turn

#: Questions to the assistant: what was said before them is still what was said last.
_ASIDE = frozenset(
    {
        EventKind.REPEAT,
        EventKind.WHY,
        EventKind.EXPLAIN,
        EventKind.HOW,
        EventKind.LIMIT,
        EventKind.WHERE,
        EventKind.HOW_FAR,
        EventKind.READ_BACK,
        EventKind.HELP,
    }
    | {
        EventKind.SLOWER,
        EventKind.FASTER,
        EventKind.LOUDER,
        EventKind.SOFTER,
        EventKind.NOTE_TEXT,
        EventKind.IDENTIFIER,
    }
    | {
        EventKind.NEXT,
        EventKind.READ_LAST,
        EventKind.READ_ONE,
        EventKind.HOW_OF,
        EventKind.TOOL,
        EventKind.RANGE,
        EventKind.CAUSE,
        EventKind.LESS,
        EventKind.MORE,
    }
)


def with_lately(before: Session, event: Event, on: EventKind, turn: Turn) -> Turn:
    """``turn`` with what the words of ``event`` did.

    Set here alone, since an action may return to an earlier session.
    """
    return Turn(replace(turn.session, lately=_lately(before, event, on, turn)), turn.outputs)


def _lately(before: Session, event: Event, on: EventKind, turn: Turn) -> str:
    if _given(before, turn.session):
        return VALUE if isinstance(event, Heard) else ""
    if not isinstance(event, Heard):
        return before.lately
    return ASIDE if on in _ASIDE and before.lately else ""


def _given(before: Session, after: Session) -> bool:
    """True when the technician gave a result in between."""
    return any(not result.by_itself for result in after.ledger[len(before.ledger) :])

"""What is held only while one reads: when it is let go, and the rest it must have before it is
held again.

The words that end it come before anything else that is said to a reading, and to one who stops,
pauses or calls danger while it may be held.
"""

from collections.abc import Iterable

from voiceassist.language.meanings import CommandName
from voiceassist.procedure.model import Need, Step
from voiceassist.session.copying import replace
from voiceassist.session.events import Cue, EventKind
from voiceassist.session.outputs import Output, Say
from voiceassist.session.session import Session, SessionSetup, Turn
from voiceassist.session.states import State
from voiceassist.session.worded import moment, rest

_DOUBTS = frozenset({CommandName.NOT_SURE, CommandName.COMES_AND_GOES})
_VALUES = _DOUBTS | {
    EventKind.READING,
    EventKind.OVER_RANGE,
    EventKind.LAMP,
    EventKind.SEVERAL,
}
_ANSWERS = _DOUBTS | frozenset({EventKind.AFFIRM, EventKind.NEGATIVE, EventKind.CHOICE})
_STOPS = frozenset({CommandName.FINISH, CommandName.DANGER, CommandName.STAND_BY})

#: Where something may be held, and what tells that it need not be any longer.
_ENDS = {
    State.MEASURE: _VALUES | _STOPS,
    State.LAMP: _VALUES | _STOPS,
    State.SWEEP: _STOPS | {EventKind.DONE},
    State.ASK: _ANSWERS | _STOPS | {EventKind.SEVERAL},
    State.FORGOTTEN: _VALUES | _STOPS,
}


def ended(setup: SessionSetup, session: Session, on: Cue) -> tuple[Need, ...]:
    """What is held at ``session`` and need not be any longer after ``on``."""
    if on not in _ENDS.get(session.state, frozenset()):
        return ()
    held = setup.step(session).held
    return tuple(need for need in held if need.hold and need.hold.let_go)


def resting(session: Session, held: Iterable[Need]) -> Session:
    """The session with those of ``held`` that must rest let go now."""
    resting = {need.condition: session.now_s for need in held if need.hold and need.hold.rest_s}
    if not resting:
        return session
    return replace(session, let_go=tuple((dict(session.let_go) | resting).items()))


def with_release(
    setup: SessionSetup, before: Session, on: Cue, held: Iterable[Need], turn: Turn
) -> Turn:
    """``turn`` that answers ``on``, with the words first that end what was ``held``."""
    step = setup.step(before)
    said = tuple(_release(setup, step, need) for need in held)
    again = _again(setup, before, on, turn.session, step) if said else ()
    return Turn(turn.session, (*said, *turn.outputs, *again))


def _release(setup: SessionSetup, step: Step, need: Need) -> Say:
    assert need.hold is not None
    return Say(step=step.name, text=setup.book("hold.release", instruction=need.hold.let_go))


def _again(
    setup: SessionSetup, before: Session, on: Cue, now: Session, step: Step
) -> tuple[Output, ...]:
    """To one who has to read once more: rest, and what is to be held again."""
    same = (now.step, now.state, now.stage) == (before.step, before.state, before.stage)
    if on not in _VALUES or not same or len(now.ledger) != len(before.ledger):
        return ()
    return (Say(step=step.name, text=" ".join([*rest(setup, now, step), *moment(setup, step)])),)

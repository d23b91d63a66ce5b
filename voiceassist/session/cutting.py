"""Cautions that were cut off: nothing that they guard goes on before they were heard."""

from voiceassist.session.copying import replace
from voiceassist.session.events import Cue, Event, EventKind, Interrupted
from voiceassist.session.outputs import CautionSpoken, Output
from voiceassist.session.session import Session, SessionSetup, Turn
from voiceassist.session.states import State

#: Where a step of its own is under way or its repair offered, and nothing else is asked about.
_AT_A_STEP = frozenset(
    {State.CAUTION, State.CONDITION, State.MEASURE, State.SWEEP, State.LAMP, State.ASK}
    | {State.IDENTIFY, State.DO, State.WAIT, State.OFFER}
)


def cut_off(setup: SessionSetup, session: Session) -> tuple[Output, ...]:
    """The cautions of the step under way of which one was cut off; none when all were heard."""
    if session.state not in _AT_A_STEP:
        return ()
    cautions = tuple(o for o in session.prompt if isinstance(o, CautionSpoken))
    return cautions if any(c.name in session.unheard_cautions for c in cautions) else ()


def after_cuts(before: Session, event: Event, on: Cue, turn: Turn) -> Turn:
    """``turn`` with what it leaves untold: given out now it counts as told, until it is cut."""
    spoken = {output.name for output in turn.outputs if isinstance(output, CautionSpoken)}
    untold = before.unheard_cautions - spoken
    if isinstance(event, Interrupted):
        untold |= set(event.unheard)
    # Set here alone, since an action may return to an earlier session.
    reminded = on is EventKind.NO_REPLY or before.reminded
    return Turn(replace(turn.session, unheard_cautions=untold, reminded=reminded), turn.outputs)

"""Asked whether a reading of an earlier part of the job still holds."""

from voiceassist.session.actions.enter import CARRIED, STATE_OF, measure, unmade
from voiceassist.session.actions.made_ready import too_early
from voiceassist.session.actions.take import accept, take_lamp, take_over_range, take_reading
from voiceassist.session.carried import not_carried, offer
from voiceassist.session.copying import replace
from voiceassist.session.events import Event, EventKind, kind_of
from voiceassist.session.outputs import Output, ReadingTaken
from voiceassist.session.session import Session, SessionSetup, Turn
from voiceassist.session.states import State

_TAKEN = {
    State.MEASURE: {
        EventKind.READING: take_reading,
        EventKind.CORRECTION: take_reading,
        EventKind.OVER_RANGE: take_over_range,
    },
    State.LAMP: {EventKind.LAMP: take_lamp},
}


def still_holds(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """It does: it is the result of the step, judged as any other."""
    offered = offer(setup, session)
    assert offered is not None
    # As if it had been read here, so that it can be corrected as any other.
    at_step = replace(offered.at_step, state=STATE_OF[setup.step(session).kind])
    turn = accept(setup, at_step.practise(CARRIED), offered.judged)

    def told(output: Output) -> Output:
        if not isinstance(output, ReadingTaken) or output.step != session.step:
            return output
        text = setup.book("carried.kept", shown=output.shown)
        return replace(output, text=text, origin=offered.carried.session)

    return Turn(turn.session, tuple(map(told, turn.outputs)))


def holds_no_more(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """It does not, or may not: the step is taken as any other, its cautions first."""
    return measure(setup, not_carried(session, session.step))


def read_anew(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Another value: it counts where nothing had to be told or changed before it."""
    begun = holds_no_more(setup, session, event)
    take = _TAKEN.get(begun.session.state, {}).get(EventKind(kind_of(event)))
    if take is None or unmade(setup, begun.session):
        refused = too_early(setup, begun.session, event)
        return Turn(refused.session, (*refused.outputs, *begun.outputs))
    return take(setup, begun.session, event)

"""Doubtful words: asked about where the state can ask, else to be said again."""

from voiceassist.language.meanings import Correction
from voiceassist.session.copying import replace
from voiceassist.session.events import Cue, Event, EventKind, Heard, kind_of
from voiceassist.session.judge import fits
from voiceassist.session.naming import step_called
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.states import State
from voiceassist.session.table import ASKED_IF_DOUBTFUL

_VALUES = frozenset(
    {
        EventKind.READING,
        EventKind.OVER_RANGE,
        EventKind.LAMP,
        EventKind.IDENTIFIER,
        EventKind.CORRECTION,
    }
)


def doubted(setup: SessionSetup, session: Session, event: Event) -> tuple[Event, Cue]:
    """What the state makes of ``event``, and its kind; doubtful words seldom act.

    Of several doubtful understandings those count that the step can take, when the likeliest is
    one of them; else, and where one is asked about already, the likeliest alone. A doubtful word
    that the state cannot ask about is UNSURE. Said twice alike, it is taken for sure, except for
    values: two hearings of one number may err alike.
    """
    event = _of_steps_that_can_take_it(setup, session, event)
    on = kind_of(event)
    if not isinstance(event, Heard) or not event.doubtful:
        return event, on
    if session.state is State.MEANT and on in _VALUES:  # it lets the offer go
        session = session.at_step
    event = _likeliest(setup, session, event)
    on = kind_of(event)
    if on is EventKind.SEVERAL or on in ASKED_IF_DOUBTFUL.get(session.state, frozenset()):
        return event, on
    if event.meanings == session.unsure and on not in _VALUES:
        return replace(event, doubtful=False), on
    return event, EventKind.UNSURE


def _of_steps_that_can_take_it(setup: SessionSetup, session: Session, event: Event) -> Event:
    """Of values told with a name that several steps have, those for a step that can take it."""
    if not isinstance(event, Heard) or len(event.meanings) == 1:
        return event

    def can_take(told: Correction) -> bool:
        step = step_called(setup.procedure, session, told.of)
        return bool(step) and fits(setup.procedure.step(step), told.meaning)

    named = [m for m in event.meanings if isinstance(m, Correction) and m.of]
    fitting = tuple(m for m in named if can_take(m))
    all_named = len(named) == len(event.meanings)
    return replace(event, meanings=fitting) if all_named and fitting else event


def _likeliest(setup: SessionSetup, session: Session, event: Heard) -> Heard:
    first = event.meanings[:1]
    asked_already = session.state in {State.CONFIRM, State.WHICH}
    can_ask = session.state in ASKED_IF_DOUBTFUL and not asked_already
    if not can_ask or not fits(setup.step(session), first[0]):
        return replace(event, meanings=first)
    step = setup.step(session)
    return replace(event, meanings=tuple(m for m in event.meanings if fits(step, m)))

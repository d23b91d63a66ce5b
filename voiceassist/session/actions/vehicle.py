"""The vehicle is not as it was believed to be: he forgot a change, or tells its state."""

from collections.abc import Sequence

from voiceassist.language.meanings import Command
from voiceassist.session.actions.confirm import ask_which, made_as_asked
from voiceassist.session.actions.enter import not_expected, open_needs, prepare, stand_again
from voiceassist.session.copying import replace
from voiceassist.session.events import Event, Heard, meaning_of
from voiceassist.session.naming import IN_STATE
from voiceassist.session.outputs import ConditionChange, Output, Say
from voiceassist.session.session import Session, SessionSetup, Turn
from voiceassist.session.states import AT_A_STEP, State


def forgot(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """A change was not made, or a state is told: what the step needs is brought about anew."""
    meaning = meaning_of(event)
    assert isinstance(meaning, Command)
    if session.state is State.CONFIRM:  # that explains the doubtful value, which counts no more
        stood = session.undisturbed.keeping(session)
        told = forgot(setup, stood, event)
        known = told.session is stood
        return made_as_asked(setup, session, event) if known else told
    if session.state not in AT_A_STEP:
        return not_expected(setup, session, event)
    if IN_STATE in meaning.about:
        name, state = meaning.about.split(IN_STATE)
        return _told(setup, session, name, state)
    return _again(setup, session)


def told_with_value(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Of several meanings, a state that was told with a value: the value counts if it is needed.

    Of several states the one that should be another is taken; where none should, all are.
    """
    assert isinstance(event, Heard)
    told = [m for m in event.meanings if isinstance(m, Command) and IN_STATE in m.about]
    if not told:
        return ask_which(setup, session, event)
    values = tuple(m for m in event.meanings if m not in told)
    needed = {f"{n.condition}{IN_STATE}{n.state}" for n in setup.step(session).needs}
    other = next((m for m in told if m.about not in needed), told[0])
    if not values and other.about in needed:
        return forgot(setup, _with_all(session, told), replace(event, meanings=(other,)))
    if other.about not in needed:
        turn = forgot(setup, session, replace(event, meanings=(other,)))
        return turn.then(stand_again(setup, session)) if turn.session is session else turn
    return ask_which(setup, session, replace(event, meanings=values))


def _with_all(session: Session, told: Sequence[Command]) -> Session:
    """The session with all the states but the first known to hold."""
    states = [one.about.split(IN_STATE) for one in told[1:]]
    return session.with_conditions(tuple((name, state) for name, state in states))


def _again(setup: SessionSetup, session: Session) -> Turn:
    """He does not say what: nothing that the step needs is taken to hold."""
    needed = [need.condition for need in setup.step(session).needs]
    known = [name for name, _ in session.conditions if name in needed]
    unknown = tuple(
        ConditionChange(step=session.step, name=name, state="", met=False) for name in known
    )
    kept = tuple(pair for pair in session.conditions if pair[0] not in needed)
    without = replace(session, conditions=kept)
    if session.state is State.CAUTION:
        return Turn(without, (*unknown, *_then(setup, session), *without.prompt))
    if not needed:
        return Turn(without, _then(setup, session)).then(stand_again(setup, without))
    return Turn(without, (*unknown, *_then(setup, session))).then(prepare(setup, without))


def _told(setup: SessionSetup, session: Session, name: str, state: str) -> Turn:
    """``name`` is told to be in ``state``."""
    here = replace(session.with_conditions(((name, state),)), corrected_conditions=None)
    change = ConditionChange(step=session.step, name=name, state=state, met=True)
    if session.condition(name) == state:
        return Turn(session, (Say(step=session.step, text=setup.book("inform.all_right")),))
    if session.state is State.CAUTION:
        return Turn(here, (change, *session.prompt))
    if session.state is State.CONDITION:
        return Turn(here, (change,)).then(prepare(setup, here))
    as_asked = any((n.condition, n.state) == (name, state) for n in setup.step(session).needs)
    said = _then(setup, session) if open_needs(setup, here) and not as_asked else ()
    return Turn(here, (change, *said)).then(stand_again(setup, here))


def _then(setup: SessionSetup, session: Session) -> tuple[Output, ...]:
    """A word of comfort; and what to do when a reading was taken meanwhile."""
    counted = [r for r in session.ledger if not r.superseded and r.outcome != "done"]
    key = "forgot.read" if counted else "forgot.then"
    return (Say(step=session.step, text=setup.book(key)),)

"""Waits that were broken: what was waited for does not hold any more, so they come again.

A wait holds as long as the vehicle stays as it was while one waited. When it is changed in that,
even for a moment on the way to another change, or found not to have been so, the wait is broken;
before the next reading that relies on it, it is due again. A wait that is as long makes good every
broken one whose states it holds.
"""

from voiceassist.procedure.model import Kind, Step
from voiceassist.session.copying import replace
from voiceassist.session.past_wait import Wait
from voiceassist.session.session import Session, SessionSetup, Stage, Turn

_READ = frozenset({Kind.MEASURE, Kind.COUNT, Kind.SWEEP, Kind.LAMP})


def waited(setup: SessionSetup, session: Session, step: Step) -> Session:
    """The session after the wait of ``step`` is over."""
    names = step.voided_by or tuple(need.condition for need in step.needs)
    states = tuple((name, s) for name in names if (s := session.condition(name)))
    good = tuple(_made_good(each, session, step) for each in session.waits)
    others = tuple(each for each in good if each.step != step.name)
    return replace(session, waits=(*others, Wait(step.name, states, step.wait_s)))


def _made_good(wait: Wait, session: Session, by: Step) -> Wait:
    holds = all(session.condition(name) == state for name, state in wait.states)
    return replace(wait, broken=()) if holds and wait.wait_s <= by.wait_s else wait


def watched(turn: Turn) -> Turn:
    """``turn`` with the waits broken whose states are not known to hold any more."""
    session = turn.session
    if not session.waits:
        return turn
    return Turn(
        replace(session, waits=tuple(_seen(w, session) for w in session.waits)), turn.outputs
    )


def _seen(wait: Wait, session: Session) -> Wait:
    lost = tuple(name for name, state in wait.states if session.condition(name) != state)
    return wait.broken_by(*lost)


def due_again(setup: SessionSetup, session: Session) -> str:
    """The wait that comes again before the step at hand is read; empty when none does."""
    step = setup.step(session)
    if step.kind not in _READ or session.stage is Stage.REPAIR:
        return ""
    return next((w.step for w in session.waits if w.broken and _relies(setup, step, w)), "")


def _relies(setup: SessionSetup, step: Step, wait: Wait) -> bool:
    """True when ``step`` comes after the wait, in the states that it was broken in."""
    order = list(setup.procedure.steps)
    if step.name not in order or order.index(step.name) < order.index(wait.step):
        return False
    needs = {need.condition: need.state for need in step.needs}
    states = dict(wait.states)
    against = any(states.get(name, state) != state for name, state in needs.items())
    return not against and any(needs.get(name) == states.get(name) for name in wait.broken)

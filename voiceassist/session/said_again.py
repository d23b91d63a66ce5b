"""What is said too soon: the same value once more, or one that has not settled yet."""

from voiceassist.language.meanings import Meaning, Reading
from voiceassist.session.actions.enter import unmade
from voiceassist.session.events import Event, Heard
from voiceassist.session.outputs import Say
from voiceassist.session.session import VALUE, Result, Session, SessionSetup, Turn
from voiceassist.session.shown import spoken_name

#: Leads are moved and a meter read in no less, nor is each change made, in seconds after it was
#: asked for. Common practice, no source.
_MOVED_S, _CHANGED_S = 3.0, 3.0


def followed_s(setup: SessionSetup, session: Session) -> float:
    """In how many seconds, at least, what is asked for now can be done, or half has settled."""
    step = setup.step(session)
    return max(_MOVED_S + _CHANGED_S * len(unmade(setup, session)), step.settles_s / 2)


def is_unsettled(setup: SessionSetup, result: Result, event: Event) -> bool:
    """Whether ``result`` fails, and came long before what is read has settled."""
    step = setup.procedure.step(result.step)
    return isinstance(event, Heard) and event.soon and bool(step.settles_s) and not result.passed


def said_again(
    setup: SessionSetup, session: Session, meaning: Meaning, event: Event
) -> Turn | None:
    """What follows from a value that only says the last once more: it is told what is awaited."""
    last = _repeated(session, meaning, event)
    if last is None or _tells_state(setup, session, event):
        return None
    names = {"step": spoken_name(last.step), "here": spoken_name(session.step)}
    text = setup.book("same.kept", shown=last.shown, **names)
    return Turn(session, (Say(step=session.step, text=text),))


def _tells_state(setup: SessionSetup, session: Session, event: Event) -> bool:
    """Whether he tells by the name of a state that he has done what the step asks for."""
    said = event.words.lower().replace(",", " ").split() if isinstance(event, Heard) else ()
    return any(need.state in said for need in setup.step(session).needs)


def _repeated(session: Session, meaning: Meaning, event: Event) -> Result | None:
    """The last result, where ``event`` says it once more and is too soon to be another."""
    if not (isinstance(event, Heard) and event.soon and session.lately == VALUE):
        return None
    given = (r for r in reversed(session.ledger) if not (r.by_itself or r.superseded))
    last = next(given, None)
    if last is None or last.step == session.step:
        return None
    return last if _is_same(last.meaning, meaning) else None


def _is_same(given: Meaning | None, again: Meaning) -> bool:
    if not (isinstance(given, Reading) and isinstance(again, Reading)):
        return given == again
    return given.value == again.value and (given.unit or again.unit) == (again.unit or given.unit)

"""The complaint told before it is asked for: what it answers or names is kept for its turn."""

from voiceassist.session.actions.enter import asked, not_expected
from voiceassist.session.actions.finding import arrive
from voiceassist.session.complaint import question_ahead
from voiceassist.session.copying import replace
from voiceassist.session.events import Event, meaning_of
from voiceassist.session.judge import fits
from voiceassist.session.naming import IN_STATE
from voiceassist.session.outputs import Say
from voiceassist.session.session import Session, SessionSetup, Turn
from voiceassist.session.shown import show, spoken_name

#: What a command to go to a test begins with, in what it is about, where the complaint names it.
TOLD = f"told{IN_STATE}"


def answer_told(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The answer to a question that is still to come: it is kept until the job is there."""
    ahead, meaning = question_ahead(setup, session), meaning_of(event)
    if ahead is None or not fits(ahead, meaning):
        return not_expected(setup, session, event)
    told = replace(session, told=(*session.told, (ahead.name, meaning)))
    if session.step == ahead.name:
        return arrive(setup, told, ahead.name)
    return _noted(setup, told, show(meaning, ahead, setup.book))


def wish(setup: SessionSetup, session: Session, name: str) -> Turn:
    """The complaint names a test: it comes first of those that are alike."""
    if session.latest(name) is not None or session.step == name:
        key = "advised.here" if session.step == name else "advised.taken"
        text = setup.book(key, step=spoken_name(name))
        return Turn(session, (Say(step=session.step, text=text),))
    return _noted(setup, replace(session, wished=name), spoken_name(name))


def _noted(setup: SessionSetup, session: Session, what: str) -> Turn:
    text = f"{setup.book('told.noted', what=what)} {asked(session)}".rstrip()
    return Turn(session, (Say(step=session.step, text=text),))

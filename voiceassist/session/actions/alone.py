"""Whether a step may be done alone: by who is trained, and with a helper where it needs one."""

from voiceassist.language.told_phrases import is_told
from voiceassist.session.events import Event
from voiceassist.session.outputs import Say
from voiceassist.session.session import Session, SessionSetup, Turn
from voiceassist.session.work_told import work_at


def alone(setup: SessionSetup, session: Session, asked: Event) -> Turn:
    """Whether the step takes a second person; and that a trainee asks whoever answers for him."""
    step = setup.step(session)
    asked_for = (need.instruction for need in step.needs)
    told = " ".join((step.text, step.question, step.task, step.how, *asked_for))
    work = work_at(setup, session) or told
    two = is_told(setup.book.plain("alone.second"), work)
    text = setup.book("alone.two" if two else "alone.one")
    return Turn(session, (Say(step=session.step, text=text),))

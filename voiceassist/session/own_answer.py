"""A question's own answer among words that no grammar understood: that one is offered."""

from voiceassist.language.meanings import Answer, Command, CommandName
from voiceassist.session.copying import replace
from voiceassist.session.events import Event, Heard
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.states import State

_DANGER = (Command(CommandName.DANGER),)


def with_own_answer(setup: SessionSetup, session: Session, event: Event) -> Event:
    """``event`` with the one answer of the question that is among its words, to be asked about.

    What words are likely to mean in general counts for less than what was just asked; but who
    may be in danger is heard first.
    """
    at = session.at_step if session.state is State.MEANT else session
    if not isinstance(event, Heard) or at.state is not State.ASK:
        return event
    if (event.meanings and not event.guessed) or event.meanings == _DANGER:
        return event
    said = f" {event.words.lower()} "
    replies = setup.step(at).replies
    found = {
        r.name for r in replies if any(f" {phrase} " in said for phrase in (*r.phrases, *r.also))
    }
    if len(found) != 1:
        return event
    return replace(event, meanings=(), guess=Answer(found.pop()), guessed=False)

"""Who tells, while a caution waits, that he does as it says: he is asked for his yes."""

from voiceassist.language.meanings import Answer
from voiceassist.language.step import StepGrammar
from voiceassist.session.copying import replace
from voiceassist.session.events import Heard
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.states import State


def tells_of_heeding(
    event: Heard, grammar: StepGrammar, _setup: SessionSetup, session: Session
) -> Heard:
    """``event``; what speaks of a thing that the caution names is offered as a yes, never done."""
    said, avoid = event.words, grammar.expectation.question
    if session.state is not State.CAUTION or event.meanings or event.guess is not None:
        return event
    otherwise = (
        grammar.answers.is_unheeding(said)
        or grammar.manner.asks(said)
        or grammar.manner.is_aside(said)
    )
    if otherwise or not grammar.loose.shares(said, avoid):
        return event
    return replace(event, guess=Answer("affirm"))

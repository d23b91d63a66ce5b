"""What is wrong with the vehicle, told in one's own words before it is asked for."""

from voiceassist.app.live.as_told import as_told
from voiceassist.language.meanings import Answer, Command, CommandName, Note
from voiceassist.language.step import StepGrammar
from voiceassist.procedure.model import Step
from voiceassist.session.actions.told import TOLD
from voiceassist.session.complaint import (
    may_be_told,
    question_ahead,
    test_named,
    words_of_complaint,
)
from voiceassist.session.copying import replace
from voiceassist.session.events import Heard
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.states import State

#: One word may be anything: an answer, a value, or a name.
_FEWEST = 2
#: So many words of the complaint tell it, though none tells that a thing fails.
_MUCH = 2


def with_complaint(
    event: Heard, grammar: StepGrammar, setup: SessionSetup, session: Session
) -> Heard:
    """``event``, which answers a question still to come, names a test, or tells the complaint."""
    if (
        not may_be_told(session)
        or grammar.manner.asks(event.words)
        or grammar.numbers.told_in(event.words)
    ):
        return event
    ahead = question_ahead(setup, session)
    answer = _answer(ahead, grammar, event.words) if ahead is not None else ""
    if answer:
        return as_told(event, Answer(answer))
    if event.meanings or not event.words:
        return event
    complains = grammar.complaints.complains(event.words)
    points = grammar.complaints.points_out(event.words)
    named = test_named(setup, session, event.words) if complains or points else ""
    if named:
        return as_told(event, Command(CommandName.GO_TO, about=f"{TOLD}{named}"))
    if points and session.state is State.ASK and not session.ledger:
        return replace(event, guess=Answer("affirm"), let_pass=False)  # it is asked once more
    told = words_of_complaint(setup.procedure, event.words) + (complains and points)
    noted = told >= (_MUCH if not complains else 1) and not session.ledger
    return as_told(event, Note(event.words)) if noted else event


def _answer(ahead: Step, grammar: StepGrammar, words: str) -> str:
    """The answer that all of ``words`` are, in two words or more: "it won't park"."""
    told = grammar.complaints.complaint_in(words)
    found = {
        reply.name
        for reply in ahead.replies
        for way in (*reply.phrases, *reply.also)
        if way in told and len(way.split()) >= _FEWEST
    }
    return found.pop() if len(found) == 1 else ""

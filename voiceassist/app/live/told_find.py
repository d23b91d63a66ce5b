"""A cause that the technician found himself, told in his own words."""

from voiceassist.app.live.as_told import as_told
from voiceassist.language.meanings import Command, CommandName
from voiceassist.language.step import StepGrammar
from voiceassist.session.actions.own_find import MENDED
from voiceassist.session.copying import replace
from voiceassist.session.events import Heard
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.suspects import findings_named

_FOUND = Command(CommandName.FOUND)


def with_find(event: Heard, grammar: StepGrammar, setup: SessionSetup, session: Session) -> Heard:
    """``event``, which tells of a find: with a word of it, or by what is broken and its name."""
    if event.meanings and event.meanings != (_FOUND,):
        return event
    if not event.meanings and not _tells_fault(event, grammar, setup):
        return event
    if grammar.manner.asks(event.words) or grammar.manner.is_aside(event.words):
        return replace(event, meanings=(), guess=None)
    about = MENDED if grammar.repairs.is_mended(event.words) else ""
    found = replace(_FOUND, about=about)
    return as_told(event, found)


def _tells_fault(event: Heard, grammar: StepGrammar, setup: SessionSetup) -> bool:
    named = event.words and findings_named(setup.procedure, event.words)
    return bool(named) and grammar.repairs.tells_fault(event.words)

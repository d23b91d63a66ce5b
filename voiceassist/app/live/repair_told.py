"""A repair that is told as done in the words of the work itself, or that waits for its part."""

from voiceassist.app.live.as_told import as_told
from voiceassist.language.meanings import Answer, Command, CommandName
from voiceassist.language.step import StepGrammar
from voiceassist.session.actions.own_find import NO_PART, TOLD, WORK
from voiceassist.session.events import Heard
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.work_told import lacks_part, small_words, tells_done, work_at
from voiceassist.session.work_words import left_by

_NOTED = Command(CommandName.FOUND, about=WORK)
_PRESSING = frozenset({Command(CommandName.DANGER)})


def with_repair(event: Heard, grammar: StepGrammar, setup: SessionSetup, session: Session) -> Heard:
    """``event`` as the work in hand told as done, or as the part told to be missing.

    What is plainly something else stays so, and so does what is asked or left undone.
    """
    at = session.at_step
    work = work_at(setup, at)
    if not work or event.guess in _PRESSING or grammar.manner.asks(event.words):
        return event
    if lacks_part(setup.book, event.words) and not _is_asked_for(event):
        return as_told(event, Command(CommandName.FOUND, about=NO_PART))
    left = left_by(work, event.words, small_words(setup.book))
    told = left is not None and tells_done(setup.book, event.words)
    whole = not left and event.meanings == (Answer("done"),)
    if not told or whole or _is_taken(event, grammar) or _is_more(event, grammar):
        return event
    return as_told(event, Command(CommandName.FOUND, about=TOLD))


def _is_more(event: Heard, grammar: StepGrammar) -> bool:
    """Whether a value is told beside, or that not all is done, or it is only spoken of."""
    spoken_of = grammar.manner.is_aside(event.words) or grammar.repairs.leaves_undone(event.words)
    return spoken_of or bool(grammar.numbers.told_in(event.words))


def _is_taken(event: Heard, grammar: StepGrammar) -> bool:
    """Whether it is understood as something else than that something was done."""
    if not event.meanings or event.meanings[0] in {_NOTED, Answer("done")}:
        return False
    loose = not grammar.parse_strictly(event.words).meanings
    return not (event.meanings[0] == Answer("affirm") and loose)


def _is_asked_for(event: Heard) -> bool:
    """Whether something is to be done, as to park the job."""
    first = event.meanings[0] if event.meanings else None
    return isinstance(first, Command) and not event.guessed and first.name != CommandName.FOUND

"""What was done in a repair, or found there, told in the technician's own words."""

from voiceassist.app.live.as_told import as_told
from voiceassist.language.meanings import Answer, Command, CommandName, Note
from voiceassist.language.step import StepGrammar
from voiceassist.session.actions.own_find import MENDED, UNDONE, WORK
from voiceassist.session.events import Heard
from voiceassist.session.session import Session, SessionSetup, Stage
from voiceassist.session.states import State

#: Fewer words tell that it is done, or what is in the hand.
_LEAST = 4
#: What such words are taken for elsewhere: slips of a reading, and no more than that it was heard.
_ELSEWHERE = frozenset({CommandName.FORGOT, CommandName.NOT_SURE, CommandName.FOUND})
#: What is more pressing than work that may be told beside it.
_PRESSING = frozenset({Command(CommandName.DANGER), Command(CommandName.STAND_BY)})
_WHERE = frozenset({State.DO, State.CAUTION, State.CONDITION, State.MEANT})


def with_work(event: Heard, grammar: StepGrammar, setup: SessionSetup, session: Session) -> Heard:
    """``event`` as what is told of a repair, to be noted; a plain word stays as it is.

    Who tells in many words that it is done, and by one of them that it is not all, is not taken to
    have done as he was asked.
    """
    if _is_unguided(setup, session):
        return _own_work(event, grammar)
    if not _is_guided(session) or not _tells_work(event, grammar) or event.guess in _PRESSING:
        return event
    undone = grammar.repairs.leaves_undone(event.words)
    if session.state is State.OFFER:
        about = " ".join(setup.procedure.repairs[name].text for name in _repair(setup, session))
        if event.meanings or undone or not grammar.loose.shares(event.words, about):
            return event
    if event.meanings and not _gives_way(event, grammar, undone=undone):
        return event
    told = Command(CommandName.FOUND, about=UNDONE if undone else WORK)
    return as_told(event, told)


def _repair(setup: SessionSetup, session: Session) -> tuple[str, ...]:
    finding = setup.procedure.findings.get(session.finding)
    return finding.repair if finding is not None else ()


def _own_work(event: Heard, grammar: StepGrammar) -> Heard:
    """``event`` as work that he did in his own way; nothing moves by it, for more may be to do."""
    found = event.meanings == (Command(CommandName.FOUND),)
    free = not event.meanings or _gives_way(event, grammar, undone=False)
    told = _tells_work(event, grammar) and (free or _is_all_noted(event))
    if event.meanings == (Command(CommandName.FOUND, about=MENDED),) or not (found or told):
        return event
    if grammar.repairs.leaves_undone(event.words) or grammar.manner.is_aside(event.words):
        return event
    return as_told(event, Command(CommandName.FOUND, about=WORK))


def _is_all_noted(event: Heard) -> bool:
    """Whether it is a note although no word of it asks for one."""
    first = event.meanings[0]
    return isinstance(first, Note) and first.text == event.words


def _tells_work(event: Heard, grammar: StepGrammar) -> bool:
    long = len(event.words.split()) >= _LEAST
    return long and grammar.repairs.tells_work(event.words) and not grammar.manner.asks(event.words)


def _is_guided(session: Session) -> bool:
    """Whether he is in a repair that he is guided through."""
    at = session.at_step
    offered = session.state is State.OFFER
    return offered or (at.stage is Stage.REPAIR and at.state in _WHERE and session.state in _WHERE)


def _is_unguided(setup: SessionSetup, session: Session) -> bool:
    """Whether he puts right by himself what was found."""
    finding = setup.procedure.findings.get(session.finding)
    return session.state is State.OFFER and finding is not None and not finding.repair


def _gives_way(event: Heard, grammar: StepGrammar, *, undone: bool) -> bool:
    first = event.meanings[0]
    if isinstance(first, Command):
        return event.guessed or first.name in _ELSEWHERE
    loose = not grammar.parse_strictly(event.words).meanings
    return isinstance(first, Answer) and loose and undone

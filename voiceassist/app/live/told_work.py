"""What was done in a repair, or found there, told in the technician's own words."""

from voiceassist.app.live.as_told import as_told
from voiceassist.language.meanings import Answer, Command, CommandName
from voiceassist.language.step import StepGrammar
from voiceassist.session.actions.own_find import UNDONE, WORK
from voiceassist.session.events import Heard
from voiceassist.session.session import Session, SessionSetup, Stage
from voiceassist.session.states import State

#: Fewer words tell that it is done, or what is in the hand.
_LEAST = 4
#: What such words are taken for elsewhere: slips of a reading, and no more than that it was heard.
_ELSEWHERE = frozenset({CommandName.FORGOT, CommandName.NOT_SURE, CommandName.FOUND})
_WHERE = frozenset({State.DO, State.CAUTION, State.CONDITION, State.MEANT})


def with_work(event: Heard, grammar: StepGrammar, _setup: SessionSetup, session: Session) -> Heard:
    """``event`` as what is told of the repair under way, to be noted; a plain word stays as it is.

    Who tells in many words that it is done, and by one of them that it is not all, is not taken to
    have done as he was asked.
    """
    at = session.at_step
    repairing = at.stage is Stage.REPAIR and at.state in _WHERE and session.state in _WHERE
    if not repairing or len(event.words.split()) < _LEAST or not grammar.tells_work(event.words):
        return event
    undone = grammar.leaves_undone(event.words)
    if event.meanings and not _gives_way(event, grammar, undone=undone):
        return event
    told = Command(CommandName.FOUND, about=UNDONE if undone else WORK)
    return as_told(event, told)


def _gives_way(event: Heard, grammar: StepGrammar, *, undone: bool) -> bool:
    first = event.meanings[0]
    if isinstance(first, Command):
        return event.guessed or first.name in _ELSEWHERE
    loose = not grammar.parse_strictly(event.words).meanings
    return isinstance(first, Answer) and loose and undone

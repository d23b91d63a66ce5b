"""What was done in a repair, or found there, told in the technician's own words."""

from voiceassist.language.meanings import Answer, Command, CommandName, Note
from voiceassist.language.step import StepGrammar
from voiceassist.session.actions.own_find import MENDED, UNDONE, WORK
from voiceassist.session.copying import replace
from voiceassist.session.events import Heard
from voiceassist.session.session import Session, Stage
from voiceassist.session.states import State

#: Fewer words tell that it is done, or what is in the hand.
_LEAST = 4
#: What such words are taken for elsewhere: slips of a reading, and no more than that it was heard.
_ELSEWHERE = frozenset({CommandName.FORGOT, CommandName.NOT_SURE, CommandName.FOUND})
_WHERE = frozenset({State.DO, State.CAUTION, State.CONDITION, State.MEANT})
#: Here a finding is told, which he may have put right meanwhile.
_AT_FINDING = frozenset({State.OFFER, State.AFTER})


def with_work(event: Heard, grammar: StepGrammar, session: Session) -> Heard:
    """``event`` as what is told of a repair, to be noted; a plain word stays as it is.

    Who tells in many words that it is done, and by one of them that it is not all, is not taken to
    have done as he was asked.
    """
    if not _may_tell(session) or len(event.words.split()) < _LEAST:
        return event
    if not grammar.tells_work(event.words) or _leads_to_proof(event, session):
        return event
    undone = grammar.leaves_undone(event.words)
    if undone and session.at_step.state in _AT_FINDING:  # "I haven't cleaned it yet"
        return event
    if event.meanings and not _gives_way(event, grammar, undone=undone):
        return event
    told = Command(CommandName.FOUND, about=UNDONE if undone else WORK)
    return replace(event, meanings=(told,), guess=None, guessed=False, let_pass=False)


def _may_tell(session: Session) -> bool:
    at = session.at_step
    if session.state not in {at.state, State.MEANT}:
        return False
    if at.state in _AT_FINDING:
        return bool(session.finding) and not session.suspected
    return at.stage is Stage.REPAIR and at.state in _WHERE


def _leads_to_proof(event: Heard, session: Session) -> bool:
    mended = Command(CommandName.FOUND, about=MENDED)
    return session.at_step.state in _AT_FINDING and event.meanings == (mended,)


def _gives_way(event: Heard, grammar: StepGrammar, *, undone: bool) -> bool:
    first = event.meanings[0]
    if isinstance(first, Note):
        return first.text == event.words  # no word of it asks for a note
    if isinstance(first, Command):
        return event.guessed or first.name in _ELSEWHERE
    loose = not grammar.parse_strictly(event.words).meanings
    return isinstance(first, Answer) and loose and undone

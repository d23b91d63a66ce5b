"""Whether what was mended works, told in other words than yes or no where it is tried."""

from voiceassist.app.live.as_told import as_told
from voiceassist.language.meanings import Answer, Command, CommandName
from voiceassist.language.step import StepGrammar
from voiceassist.session.copying import replace
from voiceassist.session.events import Heard
from voiceassist.session.session import Session, SessionSetup, Stage
from voiceassist.session.states import State

#: What such words are taken for elsewhere.
_TO_HEAR_MORE = (Command(CommandName.MORE), Command(CommandName.LESS))
_ELSEWHERE = (Command(CommandName.COMES_AND_GOES), Command(CommandName.SAME))


def with_trial(event: Heard, grammar: StepGrammar, setup: SessionSetup, session: Session) -> Heard:
    """``event`` as the answer to whether it works now, at the end of a proof."""
    tried = session.state is State.ASK and session.stage is Stage.PROVE
    if not tried or setup.step(session).good != ("affirm",):
        return event
    plain = event.meanings and event.meanings[0] not in _ELSEWHERE and not event.guessed
    told = not (plain or grammar.manner.asks(event.words))
    works = grammar.repairs.tells_works(event.words) if told else None
    if works is None and not plain and not event.meanings:  # "all speeds work, can i tell him"
        works = grammar.repairs.tells_works(event.words.partition(",")[0])
    if works is None:
        heard = event.guessed and event.meanings[:1] and event.meanings[0] in _TO_HEAR_MORE
        return replace(event, meanings=(), guess=None, guessed=False) if heard else event
    answer = Answer("affirm" if works else "negative")
    return as_told(event, answer)

"""What is said to a mate, a customer or the telephone: it is kept, and not answered."""

from voiceassist.app.live.weighed import Weighed
from voiceassist.language.guess import OTHER
from voiceassist.language.meanings import Answer
from voiceassist.language.step import StepGrammar
from voiceassist.session.actions.not_heard import TRIES
from voiceassist.session.copying import replace
from voiceassist.session.events import Heard
from voiceassist.session.own_answer import with_own_answer
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.states import State

#: With a smaller share of words that it has ever seen, the guess says nothing.
KNOWN = 0.5
#: As likely as this, others are clearly spoken to: who meant the assistant and gets no answer is
#: worse off than who hears one too many.
CLEARLY = 0.8


def is_for_us(event: Heard, grammar: StepGrammar, setup: SessionSetup, session: Session) -> bool:
    """Whether what is like talk to others is answered all the same.

    A warning waits, something in it was understood, a value is told in it, the assistant is hailed,
    or it is the third in a row: who gets no answer may have meant it.
    """
    if session.at_step.state is State.CAUTION or event.meanings:
        return True
    if with_own_answer(setup, session, event) is not event:
        return True
    if grammar.numbers.name_unit(event.words) and grammar.numbers.told_in(event.words):
        return True
    return session.misses % TRIES == TRIES - 1 or grammar.manner.hails(event.words)


def to_others(event: Heard, weighed: Weighed) -> Heard:
    """``event``; to be let pass where nothing was made of it, and others are clearly spoken to."""
    nothing = not event.meanings and event.guess is None
    known = weighed.guesser.known(weighed.words) >= KNOWN
    clear = weighed.sum_of(OTHER) >= CLEARLY
    return replace(event, let_pass=True) if nothing and known and clear else event


def told_a_mate(
    event: Heard, grammar: StepGrammar, _setup: SessionSetup, _session: Session
) -> Heard:
    """``event``; "got it, let go your end" tells a mate what to do, and not that it is done."""
    made = event.meanings or (event.guess,)
    own = event.guessed or all(isinstance(one, Answer) or one is None for one in made)
    if not own or not grammar.manner.tells_a_mate(event.words):
        return event
    return replace(event, meanings=(), guess=None, guessed=False, doubtful=False, let_pass=True)

"""What is said to words that were not understood, and of noise."""

from voiceassist.language.meanings import Answer, Identifier, Reading
from voiceassist.session.actions.enter import asked
from voiceassist.session.copying import replace
from voiceassist.session.events import Event, Heard
from voiceassist.session.outputs import Say
from voiceassist.session.session import Session, SessionSetup, Turn
from voiceassist.session.states import State

#: After so many misses in a row it is said what may help; others or not, the last is answered.
TRIES = 3
#: What is awaited in so few words is said again at the first.
_SHORT = 8
#: Reasons a listener gives for hearing nothing, and what is said of them.
_NOTHING = {
    "no speech": "listen.nothing_heard",
    "too noisy": "listen.too_noisy",
    "the listener failed": "listen.failed",
}


def tell(setup: SessionSetup, session: Session, key: str, **values: object) -> Turn:
    """The sentence ``key``, which changes nothing."""
    return Turn(session, (Say(step=session.step, text=setup.book(key, **values)),))


def not_understood(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Nothing in it makes sense here; said so twice in a row, what is awaited comes with it."""
    assert isinstance(event, Heard)
    key = _NOTHING.get(event.reason, "nothing.understood")
    if key == "nothing.understood" and (can_say := what_to_say(setup, session)):
        return missed(setup, session, event, "nothing.can_say", options=can_say)
    awaited = asked(session)
    if key == "nothing.understood" and (session.misses + 1) % TRIES == TRIES - 1:
        return missed(setup, session, event, "nothing.awaited", prompt=awaited)
    if key == "nothing.understood" and 0 < len(awaited.split()) <= _SHORT:
        return missed(setup, session, event, "nothing.awaited_or_help", prompt=awaited)
    return missed(setup, session, event, key)


def let_pass(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Others are spoken to: nothing is said."""
    return Turn(replace(session, misses=session.misses + 1))


def what_to_say(setup: SessionSetup, session: Session) -> str:
    """The answers that a question of several takes; empty for any other."""
    at = session.at_step if session.state is State.MEANT else session
    replies = setup.step(at).replies if at.state is State.ASK else ()
    if not any(reply.phrases for reply in replies):
        return ""
    plain = setup.book.say
    names = (r.phrases[0] if r.phrases else plain(Answer(r.name)) for r in replies)
    return setup.book.join("list.or", names)


def say_it_again(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """A word that would do something, but is not sure enough to do it; twice alike, it is."""
    assert isinstance(event, Heard)
    number = any(isinstance(m, Reading | Identifier) for m in event.meanings)
    waiting = replace(session, unsure=event.meanings)
    return missed(setup, waiting, event, "nothing.unsure_digits" if number else "nothing.unsure")


def doze(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Perhaps the word to wake up: it is not answered, but the same again counts."""
    assert isinstance(event, Heard)
    return Turn(replace(session, unsure=event.meanings))


def missed(setup: SessionSetup, session: Session, event: Heard, key: str, **values: object) -> Turn:
    """Say that nothing was understood; the third time in a row by voice, what may help."""
    missed = replace(session, misses=session.misses + 1)
    if missed.misses % TRIES == 0 and not event.certain:
        return tell(setup, missed, "nothing.thrice")
    return tell(setup, missed, key, **values)


def noise_once(setup: SessionSetup, turn: Turn) -> Turn:
    """Say once in a session that the noise makes the assistant ask more."""
    silent = turn.session.state in {State.STAND_BY, State.CLOSED}
    if turn.session.noise_told or silent:
        return turn
    noisy = Say(step=turn.session.step, text=setup.book("listen.noisy"))
    return Turn(turn.session.with_noise_told(), (noisy, *turn.outputs))

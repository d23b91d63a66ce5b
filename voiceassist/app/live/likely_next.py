"""The sentences that are likely next, so that the voice can have them ready."""

from collections.abc import Iterator

from voiceassist.errors import VoiceAssistError
from voiceassist.language.meanings import COMMANDS, Answer, Command, Lamp, Meaning
from voiceassist.procedure.model import LAMP_STATES
from voiceassist.session.actions.enter import enter
from voiceassist.session.engine import Engine
from voiceassist.session.events import Heard, NoReply
from voiceassist.session.expect import expectation
from voiceassist.session.outputs import Output
from voiceassist.session.session import Session
from voiceassist.session.states import State

#: Spoken at nearly every step, whatever it is.
_FIXED = (
    *("verdict.pass", "nothing.unsure", "nothing.unsure_digits", "confirm.dropped"),
    *("inform.all_right", "listen.nothing_heard"),
)


def likely(engine: Engine, session: Session) -> Iterator[str]:
    """What may be spoken next, the likeliest first; some of it twice.

    The engine is asked what it would answer, which changes nothing. A reading is not known
    before it is taken, so of its answer only the next steps are.
    """
    if session.state in {State.CLOSED, State.NEW}:
        return
    for meaning in _awaited(engine, session):
        yield from _texts(engine, session, meaning)
    yield from (engine.setup.book(key) for key in _FIXED)
    yield from _next_steps(engine, session)
    yield from (output.text for output in session.prompt)
    yield from _spoken(engine.handle(session, NoReply(session.now_s)).outputs)


def _awaited(engine: Engine, session: Session) -> Iterator[Meaning]:
    expected = expectation(engine.setup, session)
    for name in expected.awaited:
        yield Command(name) if name in COMMANDS else Answer(name)
    yield from (Answer(choice.name) for choice in expected.choices)
    yield from (Lamp(state) for state in LAMP_STATES if expected.lamp)


def _texts(engine: Engine, session: Session, meaning: Meaning) -> Iterator[str]:
    heard = Heard("", (meaning,), certain=True, at_s=session.now_s)
    try:
        yield from _spoken(engine.handle(session, heard).outputs)
    except VoiceAssistError:
        return  # it cannot be said here after all


def _next_steps(engine: Engine, session: Session) -> Iterator[str]:
    if session.state not in {State.MEASURE, State.SWEEP}:
        return
    for target in dict.fromkeys(engine.setup.step(session).routes.values()):
        if target in engine.setup.procedure.steps:
            yield from _spoken(enter(engine.setup, session, target).outputs)


def _spoken(outputs: tuple[Output, ...]) -> Iterator[str]:
    return (output.text for output in outputs if output.text)

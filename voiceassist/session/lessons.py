"""What is taught by the way: one sentence, the first time that it would have helped."""

from collections.abc import Iterable

from voiceassist.language.meanings import Meaning, Reading
from voiceassist.session.copying import replace
from voiceassist.session.outputs import Ask
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.shown import sounds_like_another

#: Teaches to say numbers that sound alike in digits at once; its key in the book of sentences.
DIGITS = "confirm.digits"


def taught(session: Session) -> Session:
    """The session of somebody who knows it already."""
    return replace(session, explained=session.explained | {DIGITS})


def teach_digits(
    setup: SessionSetup, session: Session, ask: Ask, asked: Iterable[Meaning]
) -> tuple[Session, Ask]:
    """With the lesson behind the question, where a number that sounds alike is the reason for it.

    It is said once, and no more to somebody who was told in an earlier session.
    """
    alike = any(isinstance(m, Reading) and sounds_like_another(m.value) for m in asked)
    if not alike or DIGITS in session.explained:
        return session, ask
    return taught(session), replace(ask, text=f"{ask.text} {setup.book(DIGITS)}")

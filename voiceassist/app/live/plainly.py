"""What is heard so plainly, in words that no grammar has, that it need not be asked about.

The guess is as good as sure, in all the ways in which the words may be written. Then what a word
undoes is done at once. Where no other words come near by their sound, so is an answer that ends
nothing.
"""

from collections.abc import Iterator, Mapping

from voiceassist.language.meanings import Answer, Command, Lamp, Meaning, Note, OverRange, Reading
from voiceassist.session.judge import fits, judge
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.states import State

#: As likely as this, with how alike the letters are to those that were heard.
PLAIN = 0.85
#: Words with such a share of all that were heard stand alone.
_ALONE = 0.9
_BACK = frozenset({"disregard", "go-back"})
#: What one can take back there.
_TAKEN_BACK = {
    State.CONDITION: (Answer("done"),),
    State.DO: (Answer("done"),),
    State.OFFER: (Answer("affirm"), Answer("negative")),
    State.AFTER: (Command("finish"),),
    State.PUT_BACK: (Command("finish"),),
}
_ANSWERED = frozenset({State.LAMP, State.MEASURE, State.ASK})
#: A caution, and a value in doubt, want clear words.
_CLEARLY = frozenset({State.CAUTION, State.CARRIED, State.CONFIRM, State.FORGOTTEN, State.MEANT})


def plainly_done(
    words: str,
    wordings: Mapping[str, float],
    options: Mapping[str, Meaning],
    setup: SessionSetup,
    session: Session,
) -> frozenset[Meaning]:
    """Those of ``options`` that may be done where ``words`` are plainly heard."""
    if session.state in _CLEARLY or words not in wordings:
        return frozenset()
    alone = _stand_alone(words, wordings)
    return frozenset(_undone(options, setup, session, alone=alone))


def _stand_alone(words: str, wordings: Mapping[str, float]) -> bool:
    return wordings.get(words, 0.0) >= _ALONE * sum(wordings.values()) > 0


def _undone(
    options: Mapping[str, Meaning], setup: SessionSetup, session: Session, *, alone: bool
) -> Iterator[Meaning]:
    for meaning in options.values():
        back = isinstance(meaning, Command) and meaning.name in _BACK
        kept = isinstance(meaning, Note) or _ends_nothing(meaning, setup, session)
        if back or meaning in _TAKEN_BACK.get(session.state, ()) or (alone and kept):
            yield meaning


def _ends_nothing(meaning: Meaning, setup: SessionSetup, session: Session) -> bool:
    """Whether it answers the step, and no finding hangs on it."""
    if session.state not in _ANSWERED or not isinstance(
        meaning, Answer | Lamp | OverRange | Reading
    ):
        return False
    if not fits(setup.step(session), meaning):
        return False
    return judge(setup, session, meaning).target not in setup.procedure.findings

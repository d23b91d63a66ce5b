"""How sure a guess at loose talk has to be before it is offered, or acted on."""

from voiceassist.language.meanings import Answer, Command, Meaning, Note
from voiceassist.session.guessing import HARMLESS
from voiceassist.session.states import State

#: As likely as this, what is harmless is done when it was typed. Of phrases left out of the
#: training nine in ten are named rightly then.
DONE = 0.5
#: These are guessed wrongly more often, or change much; and danger stops the work.
SURER = 0.8
_SURER = frozenset({"stand-by", "repeat", "more", "less", "cause", "danger"})
#: As likely as this, a typed line is acted on though it moves the job. Of phrases left out of the
#: training one in a hundred was something else then.
CERTAIN = 0.95
#: What may be acted on so, and where not: a caution and a doubtful value want clear words.
_COMMANDS = frozenset({"skip", "same", "finish"})
_ANSWERS = frozenset({"affirm", "negative", "done"})
_NEVER = frozenset({State.CAUTION, State.CONFIRM, State.FORGOTTEN, State.STILL, State.MEANT})
#: As likely as this, anything typed is offered.
OFFERED = 0.35
#: What was heard has to be as likely as this, times how alike its letters are to those that were
#: heard: most of other talk is below, most of what is said to the assistant in quiet above.
HEARD = 0.72
#: A cry of danger is rather offered once too often.
HEARD_DANGER = 0.65


def is_offered(meaning: Meaning, probability: float, *, typed: bool) -> bool:
    """Whether a guess is likely enough to be spoken of."""
    danger = isinstance(meaning, Command) and meaning.name == "danger"
    heard = HEARD_DANGER if danger else HEARD
    return probability >= (OFFERED if typed else heard)


def is_done(meaning: Meaning, probability: float, state: State, *, typed: bool) -> bool:
    """Whether an offered guess is so likely, and so harmless, that it is acted on."""
    if isinstance(meaning, Command) and meaning.name in HARMLESS:
        return probability >= (SURER if meaning.name in _SURER else DONE)
    return typed and probability >= CERTAIN and state not in _NEVER and _may_move(meaning)


def _may_move(meaning: Meaning) -> bool:
    if isinstance(meaning, Command):
        return meaning.name in _COMMANDS
    return isinstance(meaning, Note) or (isinstance(meaning, Answer) and meaning.name in _ANSWERS)

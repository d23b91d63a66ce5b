"""How sure a guess at loose talk has to be before it is offered, or acted on."""

from voiceassist.language.meanings import Answer, Command, Lamp, Meaning, Note
from voiceassist.session.guessing import is_harmless
from voiceassist.session.states import State

#: As likely as this, what is harmless is done when it was typed. Of phrases left out of the
#: training nine in ten are named rightly then.
DONE = 0.45
#: These are guessed wrongly more often, or change much.
SURER = 0.75
#: As likely as this, a typed line is acted on though it moves the job. Of phrases by a writer
#: whom the guess had never met 99 of 104 that were taken to move the job were named rightly then.
CERTAIN = 0.85
#: A note stays in the record, and holds whatever is said.
KEPT = 0.9
#: Nothing else is heard by who waits, and danger stops the work. A typed cry does so sooner.
_SURER = {"stand-by": SURER, "danger": CERTAIN}
#: These only ask in their turn, or say again what is needed: nothing is lost by them. At the end
#: of a wait, and of the job, they do more.
_OPENS = frozenset({"skip", "finish", "mistake", "forgot"})
_CLOSES = {"skip": frozenset({State.WAIT}), "finish": frozenset({State.AFTER, State.PUT_BACK})}
_BACK = frozenset({"disregard", "go-back"})
_ANSWERS = frozenset({"affirm", "negative", "done"})
#: A caution and a doubtful value want clear words.
_NEVER = frozenset(
    {State.CAUTION, State.CARRIED, State.CONFIRM, State.FORGOTTEN, State.STILL, State.MEANT}
)
#: As likely as this, typed words are clear enough for a lamp state, for nothing at all, over range
#: and the same as before.
CLEAR = 0.8
#: No to a doubtful value leaves it out, and it is measured again.
_HELD_BY_NO = frozenset({State.CONFIRM})
#: Of a doubtful value one may be sure that it was not meant.
_DROPS = frozenset({"mistake", "disregard"})
_NEVER_DONE = 2.0
#: Other ways to leave a doubtful value.
_LEFT = {"go-back": CERTAIN, "forgot": CERTAIN}
#: What yes or no to an offer leads to can be left again.
_ANSWERED = {State.OFFER: SURER}
#: As likely as this, anything typed is offered.
OFFERED = 0.45
#: What was heard has to be as likely as this, times how alike its letters are to those that were
#: heard: most of other talk is below, most of what is said to the assistant in quiet above.
HEARD = 0.66
#: What is harmless is done when it was heard and is as likely as this.
HEARD_DONE = 0.52
#: A cry of danger is rather offered once too often.
HEARD_DANGER = 0.6


def is_offered(meaning: Meaning, probability: float, *, typed: bool) -> bool:
    """Whether a guess is likely enough to be spoken of."""
    danger = isinstance(meaning, Command) and meaning.name == "danger"
    heard = HEARD_DANGER if danger else HEARD
    return probability >= (OFFERED if typed else heard)


def is_done(meaning: Meaning, probability: float, state: State, *, typed: bool) -> bool:
    """Whether an offered guess is so likely, and so harmless, that it is acted on."""
    if is_harmless(meaning, state):
        name = meaning.name if isinstance(meaning, Command) else ""
        if typed and name == "danger":
            return probability >= SURER
        return probability >= _SURER.get(name, DONE if typed else HEARD_DONE)
    if _drops(meaning, state):
        return probability >= (_needed(meaning, state) if typed else CERTAIN)
    return (typed or _only_opens(meaning, state)) and probability >= _needed(meaning, state)


def _only_opens(meaning: Meaning, state: State) -> bool:
    """Whether it only asks in its turn: what was heard need not be asked about before."""
    name = meaning.name if isinstance(meaning, Command) else ""
    return name in _OPENS and state not in _NEVER | _CLOSES.get(name, frozenset())


def _drops(meaning: Meaning, state: State) -> bool:
    """Whether it only leaves out a value that is in doubt, which is measured again then."""
    if state is not State.CONFIRM:
        return False
    return meaning == Answer("negative") or (
        isinstance(meaning, Command) and meaning.name in _DROPS
    )


def _needed(meaning: Meaning, state: State) -> float:
    """How likely what moves the job has to be; more than certain where it is never guessed."""
    if isinstance(meaning, Command):
        return _needed_of(meaning.name, state)
    if isinstance(meaning, Note):
        return KEPT
    if meaning == Answer("negative") and state in _HELD_BY_NO:
        return CERTAIN
    if isinstance(meaning, Lamp) and state is State.FORGOTTEN:  # told anew, it replaces the other
        return CLEAR
    if state in _NEVER or (isinstance(meaning, Answer) and meaning.name not in _ANSWERS):
        return _NEVER_DONE
    return _ANSWERED.get(state, CERTAIN) if isinstance(meaning, Answer) else CLEAR


def _needed_of(name: str, state: State) -> float:
    if state is State.CONFIRM:
        return SURER if name in _DROPS else _LEFT.get(name, _NEVER_DONE)
    if state in _NEVER or (state is State.CAUTION and name not in _OPENS):
        return _NEVER_DONE
    if name == "same":  # it stands for a value
        return CLEAR
    opens = name in _OPENS and state not in _CLOSES.get(name, ())
    return SURER if opens or name in _BACK else CERTAIN

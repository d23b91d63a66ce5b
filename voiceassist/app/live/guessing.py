"""What is made of words that no grammar understands."""

from collections.abc import Callable, Mapping

from voiceassist.app.live.doubting import is_doubted, moves
from voiceassist.language.guess import OTHER, VALUE, Guesser
from voiceassist.language.meanings import (
    Answer,
    Command,
    Correction,
    Meaning,
    OverRange,
    Reading,
    Series,
    Spread,
)
from voiceassist.language.step import StepGrammar
from voiceassist.language.words import cut
from voiceassist.recognise.base import Nothing
from voiceassist.session.copying import replace
from voiceassist.session.events import Heard
from voiceassist.session.guessing import HARMLESS, likely
from voiceassist.session.session import Desk, Session
from voiceassist.session.states import State

#: As likely as this, what is harmless is done; what was heard has to be surer than what was typed.
#: Of phrases left out of the training nine in ten typed ones are named rightly then, of those that
#: no grammar knew by their sound six in ten.
DONE, DONE_HEARD = 0.5, 0.6
#: These are guessed wrongly more often, or change much; and danger stops the work.
SURER = 0.8
_SURER = frozenset({"stand-by", "repeat", "more", "less", "cause", "danger"})
#: As likely as this, a typed line is acted on though it moves the job. Of phrases left out of the
#: training one in a hundred was something else then.
CERTAIN = 0.95
#: What may be acted on so, and where not: a caution and a doubtful value want clear words.
_CERTAIN_COMMANDS = frozenset({"skip", "same", "finish"})
_CERTAIN_ANSWERS = frozenset({"affirm", "negative", "done"})
_NEVER = frozenset({State.CAUTION, State.CONFIRM, State.FORGOTTEN, State.STILL, State.MEANT})
#: As likely as this, anything is offered.
OFFERED = 0.35
#: As likely as this that they tell a number, the numbers in them are asked about.
NUMBER = 0.5
#: A value said in the place of a doubtful one comes with any of these.
_REPLACING = (VALUE, "mistake", "disregard", "negative")
#: More numbers than these are not asked about.
_MOST_NUMBERS = 2
#: More words are seldom for the assistant, and a guess at them says little.
_MOST_WORDS = 14
#: Of these a listener tells that there were no words to guess at.
_NO_WORDS = frozenset({Nothing.NO_SPEECH, Nothing.TOO_NOISY, Nothing.FAILED})

LoadGuesser = Callable[[], Guesser | None]


def with_guess(
    event: Heard, grammar: StepGrammar, desk: Desk, session: Session, load: LoadGuesser
) -> Heard:
    """``event`` with what it is likely for, when nothing in it was understood or all is doubted."""
    loose = not event.meanings or not (event.guessed or event.doubtful)
    words = cut(event.words, frozenset()) if loose and event.reason not in _NO_WORDS else []
    if not 0 < len(words) <= _MOST_WORDS or event.meanings and not moves(event.meanings[0]):
        return event
    options = likely(desk, session, event.words)
    guesser = load() if options else None
    if guesser is None:
        return event
    chances = guesser.chances(words, options)
    if not event.meanings:
        return _guessed(event, grammar, session, chances, options)
    if not is_doubted(event.meanings, event.words, grammar, chances, options):
        return event
    return _doubted(event, chances, options)


def _guessed(
    event: Heard,
    grammar: StepGrammar,
    session: Session,
    chances: Mapping[str, float],
    options: Mapping[str, Meaning],
) -> Heard:
    if _tells_number(chances, session):
        numbers = grammar.numbers_in(event.words)
        event = _with_numbers(event, numbers, session)
        if numbers:
            return event
    meaning, probability = _likeliest(chances, options)
    if meaning is None or probability < OFFERED:
        return event
    if _is_done(meaning, probability, event, session):
        return replace(event, meanings=(meaning,), guessed=True)
    return replace(event, guess=meaning)


def _is_done(meaning: Meaning, probability: float, event: Heard, session: Session) -> bool:
    """Whether a guess is so likely, and so harmless, that it is acted on."""
    if isinstance(meaning, Command) and meaning.name in HARMLESS:
        surer = SURER if meaning.name in _SURER else 0.0
        return probability >= max(surer, DONE if event.certain else DONE_HEARD)
    return event.certain and probability >= CERTAIN and _may_move(meaning, session.state)


def _may_move(meaning: Meaning, state: State) -> bool:
    """Whether a guess at it may move the job there."""
    if isinstance(meaning, Command):
        return state not in _NEVER and meaning.name in _CERTAIN_COMMANDS
    return state not in _NEVER and isinstance(meaning, Answer) and meaning.name in _CERTAIN_ANSWERS


def _doubted(event: Heard, chances: Mapping[str, float], options: Mapping[str, Meaning]) -> Heard:
    """``event`` with what is likelier than its meaning: done where harmless, else asked about."""
    own = event.meanings[0]
    meaning, probability = _likeliest(chances, options)
    if meaning is not None and not moves(meaning) and probability >= SURER:
        return replace(event, meanings=(meaning,), guessed=True)
    if isinstance(own, Reading | Spread | Series | Correction | OverRange):
        return replace(event, doubtful=True, certain=False)
    return replace(event, meanings=(), guess=own if meaning is None else meaning)


def _tells_number(chances: Mapping[str, float], session: Session) -> bool:
    """Whether it is a number, or comes with one that is to replace the doubtful one."""
    if session.state is State.CONFIRM:
        return sum(chances.get(each, 0.0) for each in _REPLACING) >= NUMBER
    return chances.get(VALUE, 0.0) >= NUMBER


def _with_numbers(event: Heard, numbers: tuple[Reading, ...], session: Session) -> Heard:
    """``event`` with its numbers, for them to be asked about where one is awaited."""
    if session.state is State.MEASURE and 0 < len(numbers) <= _MOST_NUMBERS:
        return replace(event, meanings=numbers, doubtful=True, certain=False)
    doubted = [each.value for each in session.pending if isinstance(each, Reading)]
    others = [each for each in numbers if each.value not in doubted]
    if session.state is State.CONFIRM and len(others) == 1:
        return replace(event, guess=Correction(others[0]))
    return event


def _likeliest(
    chances: Mapping[str, float], options: Mapping[str, Meaning]
) -> tuple[Meaning | None, float]:
    """What is likeliest meant, and how likely; None for what is not for us, or is a number.

    Intents that mean the same here count together.
    """
    summed: dict[Meaning | None, float] = {}
    for intent, chance in chances.items():
        meaning = None if intent in (OTHER, VALUE) else options[intent]
        summed[meaning] = summed.get(meaning, 0.0) + chance
    best = max(summed, key=summed.__getitem__)
    return best, summed[best]

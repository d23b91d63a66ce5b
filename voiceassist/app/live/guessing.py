"""What is made of words that no grammar understands."""

from collections.abc import Callable, Mapping

from voiceassist.app.live.amid_talk import amid_talk
from voiceassist.app.live.answer_taken_back import answer_taken_back
from voiceassist.app.live.before_comma import told_first, told_twice
from voiceassist.app.live.doubting import (
    decides,
    denies,
    is_doubted,
    is_plain,
    moves,
    says_what_is_asked,
)
from voiceassist.app.live.for_others import KNOWN, is_for_us, to_others
from voiceassist.app.live.guessed_numbers import among_other_words, in_its_place, to_confirm
from voiceassist.app.live.in_haste import asked_in_haste
from voiceassist.app.live.plainly import plainly_done
from voiceassist.app.live.readers import read_on
from voiceassist.app.live.sureness import CERTAIN, DONE, is_done, is_offered
from voiceassist.app.live.value_last import value_last
from voiceassist.app.live.weighed import Weighed, as_other_talk, written_chances
from voiceassist.language.guess import OTHER, Guesser
from voiceassist.language.meanings import (
    Answer,
    Command,
    CommandName,
    Correction,
    Lamp,
    Meaning,
    Note,
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
from voiceassist.session.guessing import UNGUESSED, is_harmless, likely, where, without_flicker
from voiceassist.session.offered import warns
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.states import State

#: More words are seldom for the assistant, and a guess at them says little.
_MOST_WORDS = 24
#: Who denies what is said begins so: "don't skip it", "i don't want to go back".
_AT_FIRST = 3
#: Rather than to ask, something harmless is done that is as likely as this.
INSTEAD = 0.25
#: And nothing is asked where it is as likely as this that others are spoken to.
QUIET = 0.35
#: As likely as this, it is told though it sounds as if it were only spoken of.
ASIDE = 0.95
#: Of these a listener tells that there were no words to guess at.
_NO_WORDS = frozenset({Nothing.NO_SPEECH, Nothing.TOO_NOISY, Nothing.FAILED})

#: As likely as this, what holds a part that means something is other talk all the same.
NOT_FOR_US = 0.6
_PACE = frozenset({"faster", "slower"})


#: What is done there is the last.
_ENDS = frozenset({State.AFTER, State.PUT_BACK})

_CRY = Command("danger")
#: More likely than sure.
_NEVER = 2.0
#: Who tells how a thing works tells none of these.
_ALARMING = frozenset({"danger", "unstable", "zero"})
_NONE: Mapping[str, float] = {}

LoadGuesser = Callable[[], Guesser | None]


def with_guess(
    event: Heard,
    grammar: StepGrammar,
    setup: SessionSetup,
    session: Session,
    load: LoadGuesser,
    faithful: float = 1.0,
    wordings: Mapping[str, float] = _NONE,
) -> Heard:
    """``event`` with what it is likely for, when nothing in it was understood or all is doubted.

    ``faithful`` tells how alike its words are to the sound, up to 1. Where they were written with
    no grammar, they are one of ``wordings``, each with its share.
    """
    if event.meanings[:1] and _is_unsafe(event.meanings[0]):
        if event.certain or not grammar.is_known_by_a_part(event.words):
            return event
        event = replace(event, meanings=(), guessed=False, doubtful=False)
    found = _with_guess(event, grammar, setup, session, load, faithful, wordings)
    found = asked_in_haste(
        found,
        grammar,
        lambda asked: _with_guess(asked, grammar, setup, session, load, faithful, _NONE),
    )
    found = answer_taken_back(
        found,
        grammar,
        setup,
        session,
        lambda said, there, at: _with_guess(said, there, setup, at, load, faithful, _NONE),
    )
    found = read_on(found, grammar, setup, session)
    if found.let_pass and is_for_us(found, grammar, setup, session):
        found = replace(found, let_pass=False)
    return amid_talk(found, grammar, session)


def _with_guess(
    event: Heard,
    grammar: StepGrammar,
    setup: SessionSetup,
    session: Session,
    load: LoadGuesser,
    faithful: float,
    wordings: Mapping[str, float],
) -> Heard:
    ordinary = grammar.repairs.is_as_it_works(event.words)
    if ordinary and event.meanings == (_CRY,):
        event = replace(event, meanings=(), guessed=False)
    asked = event.meanings and event.doubtful
    settled = asked and event.words not in wordings
    said = grammar.parser.in_words(event.words)  # figures as the guess has learned them
    words = [] if settled or event.reason in _NO_WORDS else cut(said, frozenset())
    taken = event.meanings and not event.guessed and not asked
    if event.certain and (told := told_twice(event.words, grammar, session)):
        return replace(event, meanings=(told,), guess=None, guessed=False)
    told_so = ordinary and not grammar.is_known_by_a_part(event.words)
    if taken and (told_so or is_plain(event.meanings[0], event.words, grammar)):
        return event  # nobody waits for loose talk to be read
    if event.certain and (first := told_first(event.words, grammar, session)):
        return replace(event, meanings=(first,), guess=None, guessed=False)
    if event.certain and (last := value_last(event.words, grammar, setup, session)):
        return replace(event, meanings=(last,), guess=None, guessed=False)
    options = likely(setup, session, event.words) if words else {}
    guesser = load() if options else None
    if guesser is None:
        return event
    written = wordings if event.words in wordings else {said: 1.0}
    chances = written_chances(guesser, written, options, where(setup, session))
    if ordinary:
        chances = as_other_talk(chances, _ALARMING)
    if not event.meanings and grammar.repairs.is_of_work(event.words):
        chances = without_flicker(chances, session.at_step.state)
    plainly = plainly_done(event.words, wordings, options, setup, session)
    weighed = Weighed(guesser, words, chances, options, faithful, session.state, plainly)
    return to_others(_by_weight(event, grammar, session, weighed), weighed)


def _by_weight(event: Heard, grammar: StepGrammar, session: Session, weighed: Weighed) -> Heard:
    """What is made of ``event`` by all its words."""
    if len(weighed.words) > _MOST_WORDS:
        return event
    if event.meanings and event.doubtful:
        return replace(event, meanings=(), doubtful=False) if _is_for_others(weighed) else event
    if event.meanings and not event.guessed:
        found = _held_against(event, grammar, weighed)
    else:
        found = _guessed(event, grammar, session, weighed)
    return _not_understood_by_asking(found, grammar, session)


def _is_unsafe(meaning: Meaning) -> bool:
    """Whether something is to be done that must not be: by sound only a whole phrase tells it."""
    return isinstance(meaning, Command) and meaning.name == CommandName.UNSAFE


def _not_understood_by_asking(event: Heard, grammar: StepGrammar, session: Session) -> Heard:
    """Who asks at a caution, or says "but", has not said that it is understood: it is explained."""
    own = event.meanings[0] if event.meanings else event.guess
    at = session.at_step
    if not (at.state is State.CAUTION or warns(at)) or not isinstance(own, Answer):
        return event
    reserved = own == Answer("affirm") and grammar.answers.reserves(event.words)
    if not (reserved or grammar.manner.asks(event.words) or grammar.manner.is_aside(event.words)):
        return event
    return replace(event, meanings=(Command("explain"),), guess=None, guessed=True)


def _held_against(event: Heard, grammar: StepGrammar, weighed: Weighed) -> Heard:
    """``event``, whose loose talk was understood; asked about where the guess speaks against it."""
    own = event.meanings[0]
    in_part = grammar.is_known_by_a_part(event.words)
    spoken_of = in_part and (
        grammar.manner.is_aside(event.words) or grammar.numbers.count_only(event.words)
    )
    spoken_of = spoken_of or (_is_valued(own) and grammar.values.is_of_another(event.words))
    if spoken_of and moves(own):
        return replace(event, meanings=(), guess=_offered_instead(own))
    ending = weighed.state in _ENDS
    if isinstance(own, Reading) and grammar.values.is_of_this(event.words):
        return event
    if in_part and own == Answer("negative") and says_what_is_asked(event.words, grammar):
        return replace(event, meanings=(), guess=own)
    if is_doubted(event.meanings, in_part, weighed.chances, weighed.options, ending=ending):
        return _doubted(event, grammar, weighed)
    amended = (
        grammar.numbers.amended_in(event.words) if in_part and isinstance(own, Reading) else ()
    )
    return to_confirm(event, amended) if len(amended) == 1 and amended != (own,) else event


def _offered_instead(meaning: Meaning) -> Meaning | None:
    """What may be asked about: a value of another day or thing is none, and so left alone."""
    return None if _is_valued(meaning) else meaning


def _is_valued(meaning: Meaning) -> bool:
    return isinstance(meaning, Reading | Spread | Series | Correction | OverRange)


def _guessed(event: Heard, grammar: StepGrammar, session: Session, weighed: Weighed) -> Heard:
    own = event.meanings[0] if event.guessed else event.guess
    if own is not None:  # a part of what was heard is loose talk; it may be other talk all the same
        if (sure := _as_found(event, own, grammar, session, weighed)) is not None:
            return sure
        event = replace(event, meanings=(), guess=None, guessed=False)
    numbered = in_its_place if session.state is State.CONFIRM else among_other_words
    found = numbered(event, grammar, session, weighed)
    if found is not None:
        return found
    if weighed.guesser.known(weighed.words) < KNOWN:
        return event
    return _with_likeliest(event, grammar, session, weighed)


def _as_found(
    event: Heard, own: Meaning, grammar: StepGrammar, session: Session, weighed: Weighed
) -> Heard | None:
    """What the grammar finds in loose talk, done or offered; None where it is too unlikely."""
    if isinstance(own, Command) and own.name in UNGUESSED:
        return event
    likely_so = weighed.of(own)
    if _is_sure(own, likely_so, event, grammar, session, weighed):
        return replace(event, meanings=(own,), guess=None, guessed=True)
    return event if is_offered(own, likely_so, typed=event.certain) else None


def _with_likeliest(
    event: Heard, grammar: StepGrammar, session: Session, weighed: Weighed
) -> Heard:
    """``event`` with what is likeliest: done where that is sure and plainly told, else offered."""
    chances = weighed.chances
    if grammar.manner.asks(event.words):  # who asks gives no value and no answer
        chances = {i: p for i, p in chances.items() if not _answers(weighed.options.get(i))}
    if grammar.numbers.count_only(event.words):  # "speed four" is one of the fan
        chances = {i: p for i, p in chances.items() if i not in _PACE}
    meaning, probability = weighed.likeliest(chances)
    probability *= weighed.faithful
    if meaning is None:
        return event
    if _is_sure(meaning, probability, event, grammar, session, weighed):
        told = _of_earlier(meaning, event.words, grammar)
        return replace(event, meanings=(told,), guessed=True)
    if not is_offered(meaning, probability, typed=event.certain):
        return event
    instead = weighed.harmless(INSTEAD, typed=True) if event.certain else None
    if instead is not None:
        return replace(event, meanings=(instead,), guessed=True)
    return event if chances.get(OTHER, 0.0) >= QUIET else replace(event, guess=meaning)


def _is_sure(
    meaning: Meaning,
    probability: float,
    event: Heard,
    grammar: StepGrammar,
    session: Session,
    weighed: Weighed,
) -> bool:
    """Whether it is done at once: it is harmless, or plainly told."""
    if warns(session.at_step) and meaning == Answer("affirm"):  # a caution wants clear words
        return False
    if meaning == Answer("negative") and says_what_is_asked(event.words, grammar):
        return False
    heard = probability >= weighed.plainly.get(meaning, _NEVER)
    if not (heard or is_done(meaning, probability, session.state, typed=event.certain)):
        return False
    return is_harmless(meaning, session.state) or _is_told(
        meaning, probability, event.words, grammar
    )


def _of_earlier(meaning: Meaning, words: str, grammar: StepGrammar) -> Meaning:
    """What was wrong with a number is not that of the last step: it is asked which one."""
    valued = meaning == Command("mistake") and bool(grammar.numbers.told_in(words))
    return Command("revise") if valued else meaning


def _answers(meaning: Meaning | None) -> bool:
    return isinstance(meaning, Answer | Reading | OverRange | Lamp)


def _is_told(meaning: Meaning, probability: float, words: str, grammar: StepGrammar) -> bool:
    """Whether ``words`` tell ``meaning``, and do not ask, suppose, deny or name another thing."""
    wished = isinstance(meaning, Command | Note) and not decides(meaning)
    forgotten = meaning == Command("forgot")  # "you told me to", "it was meant to be"
    in_passing = wished and probability >= (CERTAIN if forgotten else ASIDE)
    spoken_of = grammar.manner.is_aside(words) and not in_passing
    spoken_of = spoken_of or (decides(meaning) and grammar.loose.around.has_saying(words))
    denied = not denies(meaning) and grammar.answers.denies(" ".join(words.split()[:_AT_FIRST]))
    return not (spoken_of or denied or grammar.manner.asks(words))


def _is_for_others(weighed: Weighed) -> bool:
    return weighed.sum_of(OTHER) >= NOT_FOR_US


def _doubted(event: Heard, grammar: StepGrammar, weighed: Weighed) -> Heard:
    """``event`` with what is likelier than its meaning: done where harmless or sure, else asked."""
    own = event.meanings[0]
    meaning, probability = weighed.likeliest()
    sure = event.certain and _is_surely(meaning, probability, event.words, grammar, weighed.state)
    if sure and meaning is not None:
        return replace(event, meanings=(meaning,), guessed=True)
    instead = weighed.harmless(INSTEAD if event.certain else DONE, typed=event.certain)
    # "Tight, a bit cracked" is half an answer, and no cry.
    is_answer = isinstance(own, Answer) and instead == _CRY and weighed.of(_CRY) < ASIDE
    if instead is not None and not is_answer:
        return replace(event, meanings=(instead,), guessed=True)
    if isinstance(own, Reading | Spread | Series | Correction) and not decides(own):
        return replace(event, doubtful=True, certain=False)
    if _is_for_others(weighed):
        return replace(event, meanings=())
    asked_again = own in (Answer("affirm"), Answer("negative"))  # which presumes nothing
    return replace(event, meanings=(), guess=own if meaning is None or asked_again else meaning)


def _is_surely(
    meaning: Meaning | None, probability: float, words: str, grammar: StepGrammar, state: State
) -> bool:
    """Whether all the words are so surely for ``meaning`` that a part of them counts for nothing.

    Of two answers or values each speaks against the other.
    """
    if not isinstance(meaning, Command) or probability < ASIDE:
        return False
    done = is_done(meaning, probability, state, typed=True)
    return done and _is_told(meaning, probability, words, grammar)

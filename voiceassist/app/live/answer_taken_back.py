"""An answer that was given is put right in plain words: "i said yes but it doesn't turn"."""

from collections.abc import Callable

from voiceassist.language.meanings import Answer, Command, CommandName, Correction, Lamp, Reading
from voiceassist.language.step import StepGrammar
from voiceassist.procedure.model import Kind, Step
from voiceassist.session.actions.revise import asked_again, choices
from voiceassist.session.copying import replace
from voiceassist.session.events import Heard
from voiceassist.session.expect import expectation
from voiceassist.session.judge import fits
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.states import AT_A_STEP, State

Understand = Callable[[Heard, StepGrammar, Session], Heard]

#: Where no step waits for a value, so that one can only be for a step before.
_OVER = frozenset({State.OFFER, State.RETRY, State.AFTER})
_WHERE = AT_A_STEP | _OVER


def answer_taken_back(
    event: Heard,
    grammar: StepGrammar,
    setup: SessionSetup,
    session: Session,
    understand: Understand,
) -> Heard:
    """``event``; what puts a given answer right corrects that one, and is none of another step."""
    if session.state not in _WHERE or event.doubtful or session.correcting:
        return event
    rest, of_before = grammar.taken_back(event.words)
    step, named = _meant(rest, grammar, setup, session) if rest else ("", False)
    if not step:
        return event
    at = asked_again(setup, session, step)
    there = grammar.elsewhere(expectation(setup, at))
    alone = replace(event, words=rest, meanings=there.parse(rest).meanings, guess=None)
    found = understand(replace(alone, guessed=False), there, at)
    answer = found.meanings[0] if len(found.meanings) == 1 else found.guess
    answer = answer.meaning if isinstance(answer, Correction) else answer
    if not (isinstance(answer, Answer | Lamp | Reading) and fits(setup.step(at), answer)):
        return event
    whose = step if named or of_before or session.state is not State.ASK else ""
    right = Correction(answer, whose)
    # "Hang on, it doesn't turn" may be told of what is done at a later step.
    warned = named and session.state is State.CAUTION  # where nothing can be offered
    if found.meanings and (of_before or warned or _is_last(setup, session, step)):
        return replace(event, meanings=(right,), guess=None, guessed=False)
    return replace(event, meanings=(), guess=right, guessed=False)


def shown_after_all(
    event: Heard, grammar: StepGrammar, setup: SessionSetup, session: Session
) -> Heard:
    """``event``; "no, it is bright after all" at a finding corrects what led to it.

    Without a no, and for a number, which may be of another place, it is asked about.
    """
    denied = event.meanings == (Answer("negative"),)
    if session.state not in _OVER or event.doubtful or not (denied or not event.meanings):
        return event
    last = next(iter(choices(setup, session)), None)
    if last is None or setup.procedure.step(last.step).kind not in {Kind.LAMP, Kind.MEASURE}:
        return event
    at = asked_again(setup, session, last.step)
    there = grammar.elsewhere(expectation(setup, at))
    for clause in event.words.split(","):
        said = _values(clause, there)
        if len(said) == 1 and fits(setup.step(at), said[0]):
            right = Correction(said[0], last.step)
            if denied and isinstance(said[0], Lamp):
                return replace(event, meanings=(right,), guess=None, guessed=False)
            return replace(event, meanings=(), guess=right, guessed=False, let_pass=False)
    return event


def right_at_once(
    event: Heard, grammar: StepGrammar, setup: SessionSetup, session: Session
) -> Heard:
    """``event``; "i read that wrong, it was two twenty" tells at once what is right."""
    mistake = event.meanings == (Command(CommandName.MISTAKE),)
    last = next(iter(choices(setup, session)), None) if mistake and not event.doubtful else None
    if last is None or session.state not in AT_A_STEP | _OVER or "," not in event.words:
        return event
    there = grammar.elsewhere(expectation(setup, asked_again(setup, session, last.step)))
    values = _values(event.words.rsplit(",", maxsplit=1)[-1], there)
    step = setup.procedure.step(last.step)
    if not all(fits(step, one) for one in values):
        return event
    right = tuple(Correction(one, last.step) for one in values)
    return replace(event, meanings=right or event.meanings)


def _values(words: str, there: StepGrammar) -> list[Lamp | Reading]:
    """What ``words`` can be of a lamp or a meter ``there``, told as right or as it is."""
    told = there.parse(words).meanings
    plain = [one.meaning if isinstance(one, Correction) else one for one in told]
    values = [one for one in plain if isinstance(one, Lamp | Reading)]
    return values if len(values) == len(told) else []


def _is_last(setup: SessionSetup, session: Session, step: str) -> bool:
    """Whether the last result was that of ``step``, and nothing but questions came since."""
    last = choices(setup, session)[:1]
    return bool(session.lately and last and last[0].step == step)


def _meant(
    rest: str, grammar: StepGrammar, setup: SessionSetup, session: Session
) -> tuple[str, bool]:
    """The step whose answer is meant, and whether the words name it; empty where none is.

    Without such words it is the last that was given, if nothing came since then.
    """
    steps = setup.procedure.step
    kinds = {Kind.ASK, Kind.LAMP, Kind.MEASURE} if session.state in _OVER else {Kind.ASK}
    asked = [r.step for r in choices(setup, session) if steps(r.step).kind in kinds]
    about = [name for name in asked if grammar.loose.shares(rest, topic_of(steps(name)))]
    at = setup.step(session)
    here = session.state is State.ASK and grammar.loose.shares(rest, topic_of(at))
    if about and not here:
        return about[0], True
    last = asked[0] if asked and _is_last(setup, session, asked[0]) else ""
    return ("" if here and not about else last), False


def topic_of(step: Step) -> str:
    """The words of the question of ``step``, and of its own answers."""
    return " ".join([step.question, *(way for r in step.replies for way in (*r.phrases, *r.also))])

"""From what was said at a step to its result."""

from voiceassist.language.meanings import (
    Answer,
    Command,
    Identifier,
    Lamp,
    Meaning,
    OverRange,
    Reading,
    Series,
    Spread,
)
from voiceassist.measure.limit import Verdict
from voiceassist.procedure.model import FAIL, IN_DOUBT, PASS, Kind, Step
from voiceassist.session.judge_over_range import over_range
from voiceassist.session.judge_reading import reading
from voiceassist.session.judge_sweep import sweep
from voiceassist.session.judged import Judged, route
from voiceassist.session.outputs import VerdictGiven
from voiceassist.session.own_words import own_words
from voiceassist.session.session import Result, Session, SessionSetup
from voiceassist.session.shown import show, show_lamps

_NUMBERS = (Reading, Spread, OverRange)
_FITTING = {
    Kind.MEASURE: _NUMBERS,
    Kind.COUNT: _NUMBERS,
    Kind.SWEEP: (Series,),
    Kind.LAMP: (Lamp,),
}


def judge(setup: SessionSetup, session: Session, meaning: Meaning) -> Judged:
    """Judge ``meaning`` as the answer to the current step.

    The session is not changed; the caller decides whether to take the result.
    """
    step = setup.step(session)
    if isinstance(meaning, Reading | Spread):
        return reading(setup, session, step, meaning)
    if isinstance(meaning, Series):
        return sweep(setup, session, step, meaning)
    if isinstance(meaning, OverRange):
        return over_range(setup, session, step)
    if isinstance(meaning, Lamp):
        return _lamp(setup, session, step, meaning)
    if isinstance(meaning, Command):
        return _in_doubt(setup, session, step, meaning)
    outcome = meaning.name if isinstance(meaning, Answer) else PASS
    shown = show(meaning, step, setup.book)
    passed = not (isinstance(meaning, Answer) and step.good) or outcome in step.good
    result = Result(step.name, session.stage, meaning, outcome, passed, shown)
    return Judged(result, None, step.routes[outcome])


def passes(setup: SessionSetup, session: Session, meaning: Meaning) -> bool:
    """Whether ``meaning`` passes at the current step; False too when that cannot be told."""
    result = judge(setup, session, meaning).result
    return result is not None and result.passed


def _in_doubt(setup: SessionSetup, session: Session, step: Step, said: Command) -> Judged:
    """One cannot tell, or it is so at times only, and the step says where that leads."""
    shown = setup.book.plain(f"outcome.{said.name}")
    result = Result(step.name, session.stage, said, said.name, passed=False, shown=shown)
    return Judged(result, None, step.routes[said.name])


def fits(step: Step, meaning: Meaning) -> bool:
    """True when ``meaning`` is the kind of answer that ``step`` wants."""
    if isinstance(meaning, Command):
        return meaning.name in IN_DOUBT and meaning.name in step.routes
    if isinstance(meaning, Answer):
        return step.kind is Kind.ASK and meaning.name in step.routes
    if isinstance(meaning, Identifier):
        return step.kind is Kind.IDENTIFY and meaning.name == step.text
    return isinstance(meaning, _FITTING.get(step.kind, ()))


def _lamp(setup: SessionSetup, session: Session, step: Step, lamp: Lamp) -> Judged:
    passed = lamp.name in step.bright_enough
    wanted = show_lamps(step.bright_enough, setup.book)
    shown = setup.book.say(lamp)
    key = "verdict.pass" if passed else "verdict.lamp"
    own = own_words(step, lamp.name, *([PASS] if passed else []))
    verdict = VerdictGiven(
        step=step.name,
        text=own or setup.book(key, wanted=wanted),
        reading=shown,
        limit=wanted,
        verdict=(Verdict.PASS if passed else Verdict.LOW).value,
    )
    result = Result(step.name, session.stage, lamp, lamp.name, passed, shown, limit=wanted)
    near = ("dim", "off") if lamp.name == "flickering" else ()
    routes = (PASS,) if passed else (lamp.name, FAIL, *near)
    return Judged(result, verdict, route(step, routes))

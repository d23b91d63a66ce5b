"""A reading that may have been taken with a condition of its step forgotten."""

from collections.abc import Collection

from voiceassist.errors import MeasureError
from voiceassist.language.meanings import Meaning, OverRange
from voiceassist.language.phrasebook import capitalised
from voiceassist.measure.decision import decide
from voiceassist.measure.limit import Verdict
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.uncertainty import Estimate
from voiceassist.procedure.model import Lookalike, Need
from voiceassist.procedure.parts.asking import wording_in
from voiceassist.procedure.parts.leads import LEADS
from voiceassist.session.actions.enter import as_made, prepare, unmade
from voiceassist.session.copying import replace
from voiceassist.session.events import Event
from voiceassist.session.judge import judge
from voiceassist.session.limits import Filled, fill
from voiceassist.session.outputs import Ask, ConditionChange, VerdictGiven
from voiceassist.session.session import Result, Session, SessionSetup, Stage, Turn
from voiceassist.session.states import State
from voiceassist.session.values import estimates


def may_be_forgotten(
    setup: SessionSetup, session: Session, result: Result, vouched: Collection[str] = ()
) -> Need | None:
    """What is asked about before such a failing reading counts; None for nothing.

    It is what the step says that the reading looks like. In a proof it is also what was never told
    as made: a repair is not to be doubted for a key that is still off.

    Args:
        setup: of the session.
        session: at the step.
        result: what was read; over range is more than any value.
        vouched: conditions that are known to be right.
    """
    if result.passed:
        return None
    lookalike = _looks_forgotten(setup, session, result, vouched)
    return lookalike.need if lookalike is not None else _never_told(setup, session, vouched)


def _never_told(setup: SessionSetup, session: Session, vouched: Collection[str]) -> Need | None:
    if session.stage is not Stage.PROVE or session.correcting:
        return None
    untold = session.unsaid | {change.name for change in unmade(setup, session)}
    asked = (n for n in setup.step(session).needs if n.condition in untold - {*vouched, LEADS})
    return next(asked, None)


def _looks_forgotten(
    setup: SessionSetup, session: Session, result: Result, vouched: Collection[str]
) -> Lookalike | None:
    """What the step says such a failing reading looks like; None when like nothing it knows."""
    if result.quantity is None and not isinstance(result.meaning, OverRange):
        return None
    for lookalike in setup.step(session).lookalikes:
        if lookalike.need.condition in vouched:
            continue
        try:
            limit = fill(lookalike.limit, estimates(setup, session, lookalike.limit.names))
        except MeasureError:
            continue
        if _is_within(setup, result.quantity, limit):
            return lookalike
    return None


def _is_within(setup: SessionSetup, read: Quantity | None, limit: Filled) -> bool:
    """Whether what was ``read`` is within ``limit``; None stands for over range."""
    if read is None:
        return limit.high is None
    found = decide(Estimate.exact(read), limit.low, limit.high, setup.risk)
    return found.verdict in {Verdict.PASS, Verdict.TOO_CLOSE}


def asked_about(setup: SessionSetup, session: Session) -> Need:
    """The condition that ``session`` asks about, and the state that it should be in."""
    at_step = session.at_step
    judged = judge(setup, at_step, session.pending[0])
    assert judged.result is not None
    need = may_be_forgotten(setup, at_step, judged.result, session.vouched)
    assert need is not None
    return need


def ask_forgotten(
    setup: SessionSetup,
    session: Session,
    meaning: Meaning,
    need: Need,
    vouched: tuple[str, ...] = (),
) -> Turn:
    """Ask about the condition before the value is believed; ``vouched`` were asked about."""
    judged = judge(setup, session, meaning)
    assert judged.result is not None
    words = wording_in(setup.procedure, need.condition, need.state)
    looks = _looks_forgotten(setup, session, judged.result, vouched)
    text = setup.book(
        "forgotten.ask" if looks is not None else "forgotten.never_told",
        shown=judged.result.shown,
        denied=words.denied,
        ask=capitalised(words.ask),
    )
    ask = Ask(step=session.step, text=text)
    waiting = replace(
        session,
        state=State.FORGOTTEN,
        pending=(meaning,),
        vouched=vouched,
        resume=session.at_step,
        prompt=(ask,),
    )
    return Turn(waiting, (ask,))


def condition_was_wrong(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """It was forgotten: the value does not count, and the condition has to be brought about."""
    need = asked_about(setup, session)
    made = as_made(setup, session.at_step)
    unknown = ConditionChange(step=session.step, name=need.condition, state="", met=False)
    without = made.session.without_condition(need.condition)
    given = (*made.outputs, _refused(setup, session, need), unknown)
    return Turn(without, given).then(prepare(setup, without))


def condition_put_right(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """It was forgotten, and is done by now: the value is to be read again."""
    need = asked_about(setup, session)
    made = as_made(setup, session.at_step)
    met = ConditionChange(step=session.step, name=need.condition, state=need.state, met=True)
    lasting = () if need.momentary else ((need.condition, need.state),)
    changed = made.session.with_conditions(lasting)
    given = (*made.outputs, _refused(setup, session, need), met)
    return Turn(changed, given).then(prepare(setup, changed))


def _refused(setup: SessionSetup, session: Session, need: Need) -> VerdictGiven:
    judged = judge(setup, session.at_step, session.pending[0])
    assert judged.result is not None
    words = wording_in(setup.procedure, need.condition, need.state)
    return VerdictGiven(
        step=session.step,
        text=setup.book("forgotten.refused", denied=words.denied),
        reading=judged.result.shown,
        limit="",
        verdict=Verdict.NOT_VALID.value,
    )

"""A reading that looks as if a condition of its step had been forgotten."""

from collections.abc import Collection

from voiceassist.errors import MeasureError
from voiceassist.language.meanings import Meaning
from voiceassist.measure.decision import decide
from voiceassist.measure.limit import Verdict
from voiceassist.measure.uncertainty import Estimate
from voiceassist.procedure.model import Lookalike
from voiceassist.session.actions.enter import as_made, prepare
from voiceassist.session.copying import replace
from voiceassist.session.events import Event
from voiceassist.session.judge import judge
from voiceassist.session.limits import fill
from voiceassist.session.outputs import Ask, ConditionChange, VerdictGiven
from voiceassist.session.session import Desk, Result, Session, Turn
from voiceassist.session.states import State
from voiceassist.session.values import estimates


def looks_forgotten(
    desk: Desk, session: Session, result: Result, vouched: Collection[str] = ()
) -> Lookalike | None:
    """What the step says such a failing reading looks like; None when like nothing it knows.

    Args:
        desk: of the session.
        session: at the step.
        result: what was read.
        vouched: conditions that are known to be right.
    """
    if result.passed or result.quantity is None:
        return None
    for lookalike in desk.step(session).lookalikes:
        if lookalike.need.condition in vouched:
            continue
        try:
            limit = fill(lookalike.limit, estimates(desk, session, lookalike.limit.names))
        except MeasureError:
            continue
        found = decide(Estimate.exact(result.quantity), limit.low, limit.high, desk.risk)
        if found.verdict in {Verdict.PASS, Verdict.TOO_CLOSE}:
            return lookalike
    return None


def asked_about(desk: Desk, session: Session) -> Lookalike:
    """The condition that ``session`` asks about, and what the reading looks like without it."""
    at_step = session.at_step
    judged = judge(desk, at_step, session.pending[0])
    assert judged.result is not None
    looks = looks_forgotten(desk, at_step, judged.result, session.vouched)
    assert looks is not None
    return looks


def ask_forgotten(
    desk: Desk,
    session: Session,
    meaning: Meaning,
    looks: Lookalike,
    vouched: tuple[str, ...] = (),
) -> Turn:
    """Ask about the condition before the value is believed; ``vouched`` were asked about."""
    judged = judge(desk, session, meaning)
    assert judged.result is not None
    text = desk.book(
        "forgotten.ask",
        shown=judged.result.shown,
        name=looks.need.condition,
        state=looks.need.state,
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


def condition_was_wrong(desk: Desk, session: Session, event: Event) -> Turn:
    """It was forgotten: the value does not count, and the condition has to be brought about."""
    made = as_made(desk, session.at_step)
    at_step = made.session
    judged = judge(desk, at_step, session.pending[0])
    assert judged.result is not None
    looks = asked_about(desk, session)
    name = looks.need.condition
    refused = VerdictGiven(
        step=session.step,
        text=desk.book("forgotten.refused", name=name, state=looks.need.state),
        reading=judged.result.shown,
        limit="",
        verdict=Verdict.NOT_VALID.value,
    )
    unknown = ConditionChange(step=session.step, name=name, state="", met=False)
    kept = tuple(pair for pair in at_step.conditions if pair[0] != name)
    without = replace(at_step, conditions=kept)
    return Turn(without, (*made.outputs, refused, unknown)).then(prepare(desk, without))

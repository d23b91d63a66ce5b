"""Going back, correcting, disregarding and skipping. The ledger keeps what was replaced."""

from collections.abc import Sequence
from dataclasses import replace

from voiceassist.language.meanings import Meaning
from voiceassist.procedure.model import PASS, Kind
from voiceassist.session.actions.enter import enter
from voiceassist.session.actions.finding import follow
from voiceassist.session.actions.take import ask_among, consider, take_reading
from voiceassist.session.events import Event, Heard, meaning_of
from voiceassist.session.judge import fits
from voiceassist.session.outputs import Ask, Say, StepSkipped, Withdrawn
from voiceassist.session.session import Desk, Result, Session, Stage, Turn
from voiceassist.session.states import State

#: A result can be corrected only where it was given as an answer: not where its step was
#: skipped before its caution or condition was settled.
ANSWERED = frozenset({State.MEASURE, State.LAMP, State.ASK, State.IDENTIFY})


def go_back(desk: Desk, session: Session, event: Event) -> Turn:
    """Return to the step before; its result no longer counts."""
    if session.before is None:
        return Turn(session, (Say(step=session.step, text=desk.book("nothing.back")),))
    earlier = _restore(session, session.before)
    gone = session.ledger[len(session.before.ledger) :]
    withdrawn = tuple(Withdrawn(step=r.step) for r in gone if not r.superseded)
    return Turn(earlier, withdrawn).then(enter(desk, earlier, earlier.step))


def disregard(desk: Desk, session: Session, event: Event) -> Turn:
    """Forget what was just said: the last result no longer counts."""
    forgotten = Say(step=session.step, text=desk.book("confirm.dropped"))
    return Turn(session, (forgotten,)).then(go_back(desk, session, event))


def correct(desk: Desk, session: Session, event: Event) -> Turn:
    """Another value for the last reading, lamp state or answer, judged as if given then."""
    assert isinstance(event, Heard)
    meaning = meaning_of(event)
    earlier = last_answered(desk, session)
    if earlier is None and session.state is State.MEASURE:
        return take_reading(desk, session, event)
    answered = earlier is not None and earlier.state in ANSWERED
    if earlier is None or not answered or not fits(desk.step(earlier), meaning):
        return Turn(session, (Say(step=session.step, text=desk.book("nothing.correct")),))
    restored = _restore(session, earlier)
    turn = consider(desk, restored, meaning, certain=event.certain, corrects=True)
    if turn.session.state in {State.CONFIRM, State.WHICH}:
        return Turn(replace(turn.session, abandon=session, correcting=True), turn.outputs)
    if len(turn.session.ledger) == len(restored.ledger):  # refused: the old value still counts
        return Turn(session, turn.outputs)
    return _told_of_change(desk, session, turn)


def last_answered(desk: Desk, session: Session) -> Session | None:
    """The session as it stood before the last step that took an answer; None without one."""
    earlier = session.before
    while earlier is not None and desk.step(earlier).kind is Kind.DO:
        earlier = earlier.before
    return earlier


def which_correction(desk: Desk, session: Session, meanings: Sequence[Meaning]) -> Turn | None:
    """Ask which of several meanings is to replace the last answer; None when none fits it."""
    earlier = last_answered(desk, session)
    if earlier is None or earlier.state not in ANSWERED:
        return None
    fitting = [meaning for meaning in meanings if fits(desk.step(earlier), meaning)]
    if not fitting:
        return None
    turn = ask_among(desk, _restore(session, earlier), fitting, "confirm.which")
    return Turn(replace(turn.session, abandon=session, correcting=True), turn.outputs)


def _told_of_change(desk: Desk, session: Session, turn: Turn) -> Turn:
    """Add a word when the corrected value leads to another step than the first one did."""
    if turn.session.step == session.step:
        return turn
    changed = Say(step=session.step, text=desk.book("verdict.changed"))
    return Turn(turn.session, (*turn.outputs[:2], changed, *turn.outputs[2:]))


def _restore(session: Session, earlier: Session) -> Session:
    """The earlier session with all that cannot be undone: ledger, facts, the vehicle's state."""
    kept = len(earlier.ledger)
    ledger = tuple(
        replace(result, superseded=True) if i >= kept else result
        for i, result in enumerate(session.ledger)
    )
    return replace(
        earlier,
        ledger=ledger,
        conditions=session.conditions,
        acknowledged=session.acknowledged,
        facts=session.facts,
    )


# --- skipping ---


def ask_skip(desk: Desk, session: Session, event: Event) -> Turn:
    """Ask why the step is to be skipped, unless it cannot be."""
    refusal = _why_not_skip(desk, session)
    if refusal:
        return Turn(session, (Say(step=session.step, text=desk.book(refusal)),))
    reasons = desk.book.join("list.or", (c.phrases[0] for c in desk.book.reasons))
    ask = Ask(step=session.step, text=desk.book("skip.why", reasons=reasons))
    waiting = replace(session, state=State.SKIP, resume=session, prompt=(ask,))
    return Turn(waiting, (ask,))


def _why_not_skip(desk: Desk, session: Session) -> str:
    """Key of the sentence that says why this step cannot be skipped; empty when it can."""
    if desk.step(session).kind is Kind.ASK:
        return "skip.question"
    if session.stage is Stage.REPAIR:
        return "skip.repair"
    later = desk.procedure.steps.values()
    if any(s.limit and session.step in s.limit.names for s in later):
        return "skip.needed"
    return ""


def skip_because(desk: Desk, session: Session, event: Event) -> Turn:
    """Leave the step out and go on as if it had passed; the record says that it did not."""
    name = getattr(meaning_of(event), "name", "")
    reason = next((c for c in desk.book.reasons if c.name == name), None)
    step = desk.step(session)
    if reason is None:
        return Turn(session, session.prompt)
    at_step = session.at_step
    shown = desk.book.plain("outcome.skipped")
    result = Result(step.name, session.stage, None, "skipped", False, shown)
    told = StepSkipped(
        step=step.name, text=desk.book("skip.done", reason=reason.phrases[0]), reason=reason.name
    )
    taken = replace(at_step, ledger=(*at_step.ledger, result), before=at_step)
    passing = replace(result, passed=True)
    return Turn(taken, (told,)).then(follow(desk, taken, passing, step.routes.get(PASS, "")))

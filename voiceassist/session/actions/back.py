"""Going back, disregarding and skipping. The ledger keeps what was replaced."""

from voiceassist.procedure.model import PASS, Kind
from voiceassist.session.actions.enter import enter, stand_again
from voiceassist.session.actions.finding import follow
from voiceassist.session.actions.revise import restore
from voiceassist.session.copying import replace
from voiceassist.session.events import Event, meaning_of
from voiceassist.session.outputs import (
    Ask,
    FindingWithdrawn,
    Output,
    Say,
    StepSkipped,
    Withdrawn,
)
from voiceassist.session.session import Desk, Result, Session, Turn
from voiceassist.session.skipping import why_not_skip
from voiceassist.session.states import State


def go_back(desk: Desk, session: Session, event: Event) -> Turn:
    """Return to the step before; its result no longer counts."""
    if session.correcting and session.abandon is not None:
        return leave_as_it_was(desk, session, session.abandon)
    if session.before is None:
        return Turn(session, (Say(step=session.step, text=desk.book("nothing.back")),))
    target = _asked(desk, session.before)
    earlier = restore(session, target)
    gone = session.ledger[len(target.ledger) :]
    withdrawn: list[Output] = [Withdrawn(step=r.step) for r in gone if not r.superseded]
    if session.finding and not earlier.finding:
        withdrawn.append(FindingWithdrawn(name=session.finding))
    return Turn(earlier, tuple(withdrawn)).then(enter(desk, earlier, earlier.step))


def leave_as_it_was(desk: Desk, session: Session, stood: Session) -> Turn:
    """Drop a correction: the old value counts, the vehicle is as it has become meanwhile."""
    kept = Say(step=stood.step, text=desk.book("revise.kept"))
    back = stood.keeping(session)
    return Turn(back, (kept,)).then(stand_again(desk, back))


def _asked(desk: Desk, session: Session) -> Session:
    """The last session that waited for the technician: sums are passed through on the way."""
    while desk.step(session).kind is Kind.COMPUTE and session.before is not None:
        session = session.before
    return session


def disregard(desk: Desk, session: Session, event: Event) -> Turn:
    """Forget what was just said: the last result no longer counts.

    A reading too close to tell never did; it is forgotten, and no earlier one.
    """
    if session.correcting:
        return go_back(desk, session, event)
    forgotten = Say(step=session.step, text=desk.book("confirm.dropped"))
    if session.tries:
        before = replace(session, tries=session.tries - 1)
        return Turn(before, (forgotten,)).then(stand_again(desk, before))
    return Turn(session, (forgotten,)).then(go_back(desk, session, event))


# --- skipping ---


def ask_skip(desk: Desk, session: Session, event: Event) -> Turn:
    """Ask why the step is to be skipped, unless it cannot be."""
    refusal = why_not_skip(desk, session)
    if refusal:
        return Turn(session, (Say(step=session.step, text=desk.book(refusal)),))
    reasons = desk.book.join("list.or", (c.phrases[0] for c in desk.book.reasons))
    ask = Ask(step=session.step, text=desk.book("skip.why", reasons=reasons))
    waiting = replace(session, state=State.SKIP, resume=session, prompt=(ask,))
    return Turn(waiting, (ask,))


def skip_because(desk: Desk, session: Session, event: Event) -> Turn:
    """Leave the step out and go where it says, or as if it had passed; the record shows it."""
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
    target = step.skip or step.routes.get(PASS, "")
    return Turn(taken, (told,)).then(follow(desk, taken, passing, target))

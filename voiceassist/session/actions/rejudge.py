"""A corrected value: all that was judged after it is judged again, in the same order."""

from collections.abc import Sequence
from dataclasses import replace

from voiceassist.procedure.model import PASS
from voiceassist.session.actions.finding import follow, start_repairing
from voiceassist.session.judge import judge
from voiceassist.session.judged import Judged
from voiceassist.session.outputs import Output, Rejudged, Say, Withdrawn
from voiceassist.session.session import Desk, Result, Session, Stage, Turn
from voiceassist.session.states import State


def carry_on(desk: Desk, old: Session, settled: Turn, judged: Judged) -> Turn:
    """Go on from a corrected result.

    Args:
        desk: as ever.
        old: the session before the correction, where the technician stood.
        settled: the corrected result in the ledger, its echo and verdict.
        judged: the same result with where it leads.

    Returns:
        Back to where the technician stood when every later result leads where it led before;
        else to where the path now leads, having said so. Results that no longer lie on the
        path are withdrawn; none is dropped from the ledger.
    """
    assert judged.result is not None
    later = _later(old, settled.session)
    said: list[Output] = []
    at = follow(desk, settled.session, judged.result, judged.target)
    kept = 0
    while kept < len(later) and (following := _again(desk, at, later[kept])):
        told, at = following
        said += told
        kept += 1
    if kept < len(later) or not _same_place(at.session, old):
        return _changed(desk, settled, [*said, *_withdrawn(old, at.session)], at)
    back = _where_it_stood(old, at.session)
    return Turn(back, (*settled.outputs, *said, *back.prompt))


def _later(old: Session, corrected: Session) -> Sequence[Result]:
    """The results that counted after the corrected one; computed ones come again by themselves."""
    index = len(corrected.before.ledger) if corrected.before is not None else 0
    first = next(i for i in range(index) if _was(old, corrected, i))
    counting = [r for r in old.ledger[first + 1 :] if not r.superseded]
    return [r for r in counting if not r.computed]


def _withdrawn(old: Session, now: Session) -> list[Withdrawn]:
    """For each step whose result counted and has no place on the path any more."""
    counting = {result.step for result in now.ledger if not result.superseded}
    lost = (r.step for r in old.ledger if not r.superseded and r.step not in counting)
    return [Withdrawn(step=step) for step in dict.fromkeys(lost)]


def _was(old: Session, corrected: Session, index: int) -> bool:
    """True for the result that counted before and is put out of force by the correction."""
    return not old.ledger[index].superseded and corrected.ledger[index].superseded


def _again(desk: Desk, at: Turn, result: Result) -> tuple[list[Output], Turn] | None:
    """``result`` judged again where the path is now; None when the path does not come by it."""
    session = at.session
    if session.state is State.OFFER and result.stage in {Stage.REPAIR, Stage.PROVE}:
        session = start_repairing(desk, session).session
    if (session.step, session.stage) != (result.step, result.stage):
        return None
    if result.meaning is None or result.outcome == "done":
        again, target = result, desk.step(session).routes.get(PASS, "")
        if result.outcome == "skipped":
            target = desk.step(session).skip or target
    else:
        judged = judge(desk, session, result.meaning)
        if judged.result is None:
            return None
        again, target = judged.result, judged.target
    taken = replace(session, ledger=(*session.ledger, again), before=session)
    passing = replace(again, passed=True) if again.outcome == "skipped" else again
    return _told(desk, result, again), follow(desk, taken, passing, target)


def _told(desk: Desk, before: Result, after: Result) -> list[Output]:
    """For the record when the limit moved; spoken when the outcome turned."""
    if (before.outcome, before.limit) == (after.outcome, after.limit):
        return []
    turned = before.outcome != after.outcome
    text = desk.book("revise.turned", step=after.step.replace("-", " "), shown=after.shown)
    text = f"{text} {desk.book.plain('outcome.' + after.outcome)}." if turned else ""
    return [
        Rejudged(
            step=after.step,
            text=text,
            reading=after.shown,
            limit=after.limit,
            verdict=after.outcome,
        )
    ]


def _same_place(one: Session, other: Session) -> bool:
    if (one.stage, one.finding) != (other.stage, other.finding):
        # The repair of the same finding had been begun.
        return one.finding == other.finding and one.state is State.OFFER
    return one.step == other.step


def _where_it_stood(old: Session, at: Session) -> Session:
    """The session as it stood, with the ledger as judged anew."""
    return replace(old, ledger=at.ledger, before=at.before, facts=at.facts)


def _changed(desk: Desk, settled: Turn, said: Sequence[Output], at: Turn) -> Turn:
    """The path leads elsewhere now: say so, then what comes there."""
    changed = Say(step=at.session.step, text=desk.book("verdict.changed"))
    return Turn(at.session, (*settled.outputs, *said, changed, *at.outputs))

"""A corrected value: all that was judged after it is judged again, in the same order."""

from collections.abc import Sequence

from voiceassist.procedure.model import PASS
from voiceassist.session.actions.enter import stand_again
from voiceassist.session.actions.finding import follow, prove, start_repairing
from voiceassist.session.copying import replace
from voiceassist.session.judge import judge
from voiceassist.session.judged import Judged
from voiceassist.session.outputs import (
    FindingWithdrawn,
    Output,
    ReadingTaken,
    Rejudged,
    Say,
    StepSkipped,
    VerdictGiven,
    Withdrawn,
)
from voiceassist.session.session import Result, Session, SessionSetup, Stage, Turn
from voiceassist.session.shown import spoken_name
from voiceassist.session.skipping import way_on
from voiceassist.session.states import AT_A_STEP, State


def carry_on(setup: SessionSetup, old: Session, settled: Turn, judged: Judged) -> Turn:
    """Go on from a corrected result.

    Args:
        setup: as ever.
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
    at = follow(setup, settled.session, judged.result, judged.target)
    kept = 0
    while kept < len(later) and (following := _again(setup, at, later[kept])):
        said += [*_by_itself(at), *following[0]]
        at = following[1]
        kept += 1
    at, begun = _repair_begun(setup, at, old)
    if kept < len(later) or not _same_place(at.session, old):
        return _changed(setup, settled, [*said, *_lost(old, at.session)], at)
    back = _where_it_stood(old, at.session)
    outputs = (*settled.outputs, *said, *([] if begun else _by_itself(at)))
    return Turn(back, outputs).then(stand_again(setup, back))


def _later(old: Session, corrected: Session) -> Sequence[Result]:
    """The results that counted after the corrected one; sums come again by themselves."""
    index = len(corrected.previous.ledger) if corrected.previous is not None else 0
    first = next(i for i in range(index) if _was(old, corrected, i))
    counting = [r for r in old.ledger[first + 1 :] if not r.superseded]
    return [r for r in counting if not r.by_itself]


def _lost(old: Session, now: Session) -> list[Output]:
    """What counted and has no place on the path any more."""
    counting = {result.step for result in now.ledger if not result.superseded}
    gone = (r.step for r in old.ledger if not r.superseded and r.step not in counting)
    lost: list[Output] = [Withdrawn(step=step) for step in dict.fromkeys(gone)]
    if old.finding and old.finding != now.finding:
        lost.append(FindingWithdrawn(name=old.finding))
    return lost


def _was(old: Session, corrected: Session, index: int) -> bool:
    """True for the result that counted before and is put out of force by the correction."""
    return not old.ledger[index].superseded and corrected.ledger[index].superseded


def _by_itself(at: Turn) -> list[Output]:
    """What was worked out anew on the way, for the record alone."""
    computed = {r.step for r in at.session.ledger if r.by_itself}
    kinds = ReadingTaken | VerdictGiven | StepSkipped
    return [
        replace(o, text="", corrects=True) if isinstance(o, ReadingTaken) else replace(o, text="")
        for o in at.outputs
        if isinstance(o, kinds) and o.step in computed
    ]


def _repair_begun(setup: SessionSetup, at: Turn, old: Session) -> tuple[Turn, bool]:
    """The same finding again, whose repair had been begun already."""
    same = at.session.state is State.OFFER and at.session.finding == old.finding
    if not same or old.stage not in {Stage.REPAIR, Stage.PROVE}:
        return at, False
    return start_repairing(setup, at.session), True


def _again(setup: SessionSetup, at: Turn, result: Result) -> tuple[list[Output], Turn] | None:
    """``result`` judged again where the path is now; None when the path does not come by it."""
    session = _at_its_stage(setup, at.session, result)
    awaiting = session.state in AT_A_STEP
    if not awaiting or (session.step, session.stage) != (result.step, result.stage):
        return None
    if result.meaning is None or result.outcome == "done":
        again, target = result, setup.step(session).routes.get(PASS, "")
        if result.outcome == "skipped":
            target = way_on(setup, setup.step(session))
    else:
        judged = judge(
            setup, replace(session, corrected_conditions=result.conditions), result.meaning
        )
        if judged.result is None:
            return None
        again, target = replace(judged.result, conditions=result.conditions), judged.target
    taken = replace(session, ledger=(*session.ledger, again), previous=session)
    passing = replace(again, passed=True) if again.outcome == "skipped" else again
    return _told(setup, result, again), follow(setup, taken, passing, target)


def _at_its_stage(setup: SessionSetup, session: Session, result: Result) -> Session:
    """Past the questions that the technician had answered: the repair, the proof once more."""
    if session.returning == result.step:  # the wait before it was over
        session = replace(session, step=result.step, returning="")
    if session.state is State.OFFER and result.stage in {Stage.REPAIR, Stage.PROVE}:
        return start_repairing(setup, session).session
    if session.state is State.RETRY and result.stage is Stage.PROVE:
        return prove(setup, session).session
    return session


def _told(setup: SessionSetup, before: Result, after: Result) -> list[Output]:
    """For the record when the limit moved; spoken when the outcome turned."""
    if (before.outcome, before.limit) == (after.outcome, after.limit):
        return []
    turned = before.outcome != after.outcome
    text = setup.book("revise.turned", step=spoken_name(after.step), shown=after.shown)
    text = f"{text} {setup.book.plain('outcome.' + after.outcome)}." if turned else ""
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
    return (one.place, one.stage, one.finding) == (other.place, other.stage, other.finding)


def _where_it_stood(old: Session, at: Session) -> Session:
    """The session as it stood, with the ledger as judged anew and the vehicle as it is now."""
    return replace(old.keeping(at), ledger=at.ledger, previous=at.previous)


def _changed(setup: SessionSetup, settled: Turn, said: Sequence[Output], at: Turn) -> Turn:
    """The path leads elsewhere now: say so, then what comes there."""
    changed = Say(step=at.session.step, text=setup.book("verdict.changed"))
    return Turn(at.session, (*settled.outputs, *said, changed, *at.outputs))

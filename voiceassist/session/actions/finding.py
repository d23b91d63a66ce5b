"""Where a result leads: the next step, a finding, its repair, the proof, the end."""

from dataclasses import replace

from voiceassist.procedure.model import Finding
from voiceassist.session.actions.enter import enter
from voiceassist.session.events import Event
from voiceassist.session.outputs import Ask, Ended, FindingReached, Output, Say
from voiceassist.session.session import Desk, Result, Session, Stage, Turn
from voiceassist.session.shown import spoken_name
from voiceassist.session.states import State


def follow(desk: Desk, session: Session, result: Result, target: str) -> Turn:
    """Go where ``result`` leads."""
    if session.stage is Stage.DIAGNOSE:
        return _go(desk, session, target)
    if result.passed:
        return next_in_stage(desk, session)
    if session.stage is Stage.PROVE or (session.stage is Stage.REPAIR and not target):
        return close(desk, session, "not-proved")
    return _go(desk, replace(session, stage=Stage.DIAGNOSE, finding="", queue=()), target)


def _go(desk: Desk, session: Session, target: str) -> Turn:
    if target in desk.procedure.findings:
        return reach(desk, session, target)
    return enter(desk, session, target)


def reach(desk: Desk, session: Session, name: str) -> Turn:
    """Tell the finding, then offer its repair if it has one."""
    finding = desk.procedure.findings[name]
    told = Turn(replace(session, finding=name), (_told(desk, session, finding),))
    todo = tuple(s for s in finding.before_fitting if not _passed(session, s))
    if todo:
        before = replace(told.session, stage=Stage.BEFORE_FITTING, queue=todo)
        said = Say(text=desk.book("finding.before"))
        return told.add(said).then(next_in_stage(desk, before))
    return told.then(_offer_repair(desk, told.session))


def _told(desk: Desk, session: Session, finding: Finding) -> FindingReached:
    because = because_lines(session, finding)
    parts = [desk.book("finding.cause", cause=finding.cause)]
    if because:
        parts.append(desk.book("finding.because", readings="; ".join(because)))
    if not finding.repair:
        parts.append(desk.book("finding.correction", correction=finding.correction))
    return FindingReached(
        step=session.step,
        text=" ".join(parts),
        name=finding.name,
        cause=finding.cause,
        because=because,
        correction=finding.correction,
    )


def because_lines(session: Session, finding: Finding) -> tuple[str, ...]:
    """The results that prove the finding: those of the steps it lists, or all that count."""
    counting = [r for r in session.ledger if not r.superseded and r.meaning is not None]
    wanted = finding.because or tuple(r.step for r in counting)
    latest = {r.step: r for r in counting}
    return tuple(f"{spoken_name(name)}: {latest[name].shown}" for name in wanted if name in latest)


def _counting(session: Session) -> list[Result]:
    return [r for r in session.ledger if not r.superseded]


def _passed(session: Session, name: str) -> bool:
    result = session.latest(name)
    return result is not None and result.passed


def _offer_repair(desk: Desk, session: Session) -> Turn:
    finding = desk.procedure.findings[session.finding]
    if not (finding.repair or finding.prove_with):
        return close(desk, session, "found")
    ask = Ask(step=session.step, text=desk.book("finding.repair"))
    return Turn(replace(session, state=State.OFFER, prompt=(ask,), pending=()), (ask,))


def next_in_stage(desk: Desk, session: Session) -> Turn:
    """The next step of this stage, or the stage that follows."""
    if session.queue:
        rest = replace(session, queue=session.queue[1:])
        return enter(desk, rest, session.queue[0])
    if session.stage is Stage.BEFORE_FITTING:
        return _offer_repair(desk, session)
    prove = desk.procedure.findings[session.finding].prove_with
    if session.stage is Stage.REPAIR and prove:
        proving = _stage(session, Stage.PROVE, prove)
        said = Say(text=desk.book("finding.prove"))
        return Turn(proving, (said,)).then(next_in_stage(desk, proving))
    return close(desk, session, _outcome(session))


def _outcome(session: Session) -> str:
    proofs = [r for r in session.ledger if r.stage is Stage.PROVE and not r.superseded]
    return "repaired" if proofs and all(r.passed for r in proofs) else "not-proved"


def _stage(session: Session, stage: Stage, queue: tuple[str, ...]) -> Session:
    """A new stage begins: cautions are to be acknowledged anew."""
    return replace(session, stage=stage, queue=queue, acknowledged=frozenset())


def close(desk: Desk, session: Session, outcome: str) -> Turn:
    """End the session; a finding that stands on skipped steps is told to be unproved."""
    if outcome == "found" and any(r.outcome == "skipped" for r in _counting(session)):
        outcome = "unproved"
    text = desk.book(f"end.{outcome.replace('-', '_')}")
    closed = replace(session, state=State.CLOSED, pending=(), resume=None, prompt=())
    return Turn(closed, (Ended(step=session.step, text=text, outcome=outcome),))


# --- actions ---


def start_repair(desk: Desk, session: Session, event: Event) -> Turn:
    """The technician wants to be guided through the repair."""
    finding = desk.procedure.findings[session.finding]
    repairing = _stage(session, Stage.REPAIR, finding.repair)
    said: tuple[Output, ...] = (Say(text=desk.book("finding.begin")),)
    return Turn(repairing, said).then(next_in_stage(desk, repairing))


def leave_repair(desk: Desk, session: Session, event: Event) -> Turn:
    """The finding is enough for now."""
    return close(desk, session, "found")


def ask_finish(desk: Desk, session: Session, event: Event) -> Turn:
    """Ask before the job is closed early."""
    ask = Ask(step=session.step, text=desk.book("end.ask"))
    before = session.undisturbed
    waiting = replace(before, state=State.FINISH, resume=before, prompt=(ask,))
    return Turn(waiting, (ask,))


def finish(desk: Desk, session: Session, event: Event) -> Turn:
    """Close the job where it stands."""
    if session.stage in {Stage.REPAIR, Stage.PROVE}:
        return close(desk, session, "not-proved")
    return close(desk, session, "found" if session.finding else "stopped")

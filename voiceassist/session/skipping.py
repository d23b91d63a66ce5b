"""Whether a step can be left out."""

from voiceassist.procedure.model import NEVER, Kind
from voiceassist.session.session import Desk, Session, Stage


def why_not_skip(desk: Desk, session: Session) -> str:
    """Key of the sentence that says why this step cannot be skipped; empty when it can."""
    step = desk.step(session)
    reasons = {
        "skip.correcting": session.correcting,
        "skip.never": step.skip == NEVER,
        "skip.question": step.kind is Kind.ASK and not step.skip,
        "skip.repair": session.stage is Stage.REPAIR,
        "skip.proof": session.stage is Stage.BEFORE_FITTING and _proves(desk, session),
        "skip.needed": _needed(desk, session),
    }
    return next((key for key, holds in reasons.items() if holds), "")


def _needed(desk: Desk, session: Session) -> bool:
    """True when a limit is taken from the step's reading; a sum can do without."""
    judged = (s for s in desk.procedure.steps.values() if s.kind is not Kind.COMPUTE)
    return any(session.step in step.names for step in judged)


def _proves(desk: Desk, session: Session) -> bool:
    finding = desk.procedure.findings.get(session.finding)
    return finding is not None and session.step in {step for _, step in finding.proved_by}

"""What a job came to, from how it was left: an outcome of the engine, by name."""

from voiceassist.procedure.model import Finding
from voiceassist.session.session import Session, SessionSetup, Stage

#: Nothing wrong was found; or the job was stopped before a finding.
NO_FAULT, STOPPED = "no-fault", "stopped"
#: The cause was found and nothing was repaired; or it stands on skipped steps.
FOUND, UNPROVED = "found", "unproved"
#: Repaired: proved by readings; with no reading that could prove it; begun or tried, not proved.
REPAIRED, REPAIR_DONE, NOT_PROVED = "repaired", "repair-done", "not-proved"
#: Of a session on a simulated vehicle, whatever it came to; the loop that runs it gives it.
REHEARSED = "rehearsed"


def came_to(setup: SessionSetup, session: Session, outcome: str) -> str:
    """``outcome`` as it is told: never surer than the results of the session are.

    Args:
        setup: as ever.
        session: where the job stands.
        outcome: FOUND, STOPPED, REPAIRED or NOT_PROVED, as the stage has it.
    """
    finding = setup.procedure.findings.get(session.finding)
    if outcome == FOUND and _stands_on_skips(session):
        return UNPROVED
    if outcome == FOUND and finding is not None and finding.no_fault:
        return NO_FAULT
    if outcome == NOT_PROVED and finding is not None and _all_done(session, finding):
        return REPAIR_DONE
    return outcome


def _stands_on_skips(session: Session) -> bool:
    skipped = any(r.outcome == "skipped" for r in session.ledger if not r.superseded)
    return session.suspected or skipped


def _all_done(session: Session, finding: Finding) -> bool:
    """Every repair step was done, and no step that would prove it was come to."""
    counting = [r for r in session.ledger if not r.superseded]
    done = {r.step for r in counting if r.stage is Stage.REPAIR and r.passed}
    skipped = any(r.outcome == "skipped" for r in counting if r.stage is Stage.REPAIR)
    proving = any(r.stage is Stage.PROVE for r in counting)
    return bool(finding.repair) and set(finding.repair) <= done and not (proving or skipped)

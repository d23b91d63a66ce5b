"""What a finding is told by, and what has to prove it."""

from voiceassist.procedure.model import Finding
from voiceassist.session.closing import because_lines, unconfirmed
from voiceassist.session.outputs import FindingReached
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.values import applies


def before_text(
    setup: SessionSetup, finding: Finding, todo: tuple[str, ...], left: list[str]
) -> str:
    """What is said before ``todo`` is gone through; of it, ``left`` was left for later."""
    unproved = [role for role, step in finding.proved_by if step in todo]
    if not unproved:
        return setup.book("finding.left_for_later" if left else "finding.before")
    roles = setup.book.join("list.and", unproved)
    return setup.book("finding.unproved", cause=finding.cause, part=finding.condemns, roles=roles)


def finding_told(
    setup: SessionSetup, session: Session, finding: Finding, *, at_once: bool = False
) -> FindingReached:
    """The finding, with the readings that prove it, and what puts it right.

    That is left out where it follows ``at_once``, step for step.
    """
    key = "finding.no_fault" if finding.no_fault else "finding.cause"
    parts = [setup.book(key, cause=finding.cause)]
    if rests := unconfirmed(session, finding):
        readings = setup.book.join("list.and", rests)
        parts.append(setup.book("finding.rests", readings=readings))
    if not at_once:
        parts.append(setup.book("finding.correction", correction=finding.correction))
    return FindingReached(
        step=session.step,
        text=" ".join(parts),
        name=finding.name,
        cause=finding.cause,
        because=because_lines(session, finding),
        correction=finding.correction,
        no_fault=finding.no_fault,
    )


def _passed(session: Session, name: str) -> bool:
    result = session.latest(name)
    return result is not None and result.passed


def is_to_prove(setup: SessionSetup, session: Session, name: str) -> bool:
    """True for a step of this vehicle that has not passed."""
    return not _passed(session, name) and applies(setup, session, setup.procedure.step(name))

"""Was a walk's finding the right one?"""

from collections.abc import Sequence
from enum import StrEnum

from voiceassist.procedure.model import Procedure
from voiceassist.prove.cases import GOOD
from voiceassist.prove.walk import Walk


class Outcome(StrEnum):
    """How a walk ended.

    FOUND: at a finding that names the fault; for a good vehicle at one that names none.
    WRONG: at another finding.
    UNRESOLVED: at no finding, or at another one of which the session itself says that it is not
        proved, since a reading was too close to call and the step was left out; or at one that
        names none, with a fault that comes and goes and did not show.
    """

    FOUND = "found"
    WRONG = "wrong"
    UNRESOLVED = "unresolved"


def outcome_of(procedure: Procedure, fault: str, walk: Walk) -> Outcome:
    """How ``walk`` ended on a vehicle with ``fault``."""
    if not walk.finding:
        return Outcome.UNRESOLVED
    if walk.finding in right_findings(procedure, fault):
        return Outcome.FOUND
    is_honest = walk.skipped or has_hidden(procedure, walk)
    return Outcome.UNRESOLVED if is_honest else Outcome.WRONG


def has_hidden(procedure: Procedure, walk: Walk) -> bool:
    """True when nothing was found, and the fault of ``walk`` did not show."""
    finding = procedure.findings.get(walk.finding)
    return finding is not None and finding.no_fault and not walk.has_shown


def good_part(procedure: Procedure, faults: Sequence[str], finding: str) -> str:
    """The part that ``finding`` condemns though none of ``faults`` is in it; else nothing.

    A fault is in the part that it names, and in the one that its own findings condemn.
    """
    if not finding:
        return ""
    part = procedure.findings[finding].condemns
    known = [procedure.faults[name] for name in faults]
    own = {fault.target for fault in known}
    own |= {procedure.findings[name].condemns for fault in known for name in fault.found_as}
    right = {name for fault in known for name in fault.found_as}
    return "" if finding in right or part in own else part


def right_findings(procedure: Procedure, fault: str) -> frozenset[str]:
    """The findings that are right for ``fault``; for a good vehicle those that blame nothing.

    A finding blames something when a fault is found as it, or when it condemns a part.
    """
    if fault != GOOD:
        return frozenset(procedure.faults[fault].found_as)
    blaming = {name for each in procedure.faults.values() for name in each.found_as}
    blaming |= {name for name, finding in procedure.findings.items() if finding.condemns}
    return frozenset(procedure.findings) - blaming

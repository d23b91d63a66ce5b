"""Does the cause of a finding speak of what its faults are in?"""

import re
from collections.abc import Mapping

from voiceassist.circuit.model import Circuit
from voiceassist.circuit.parts import Fuse, Part
from voiceassist.procedure.model import Finding, Procedure
from voiceassist.procedure.text.fault_collector import FaultCollector
from voiceassist.procedure.text.tree import Path

#: What a cause is about stands at its beginning or in a list: "the lamps, or the white wire to
#: them, are bad"; "the earth of the lamps" is not about lamps.
_ABOUT = r"(?:^|, |\bor |\band )(?:the |an? |its )?{name}\b(?! (?:behind|before|beside|between)\b)"


def check_causes(procedure: Procedure, places: Mapping[str, Path], blame: FaultCollector) -> None:
    """Report a cause that names a wire, joint or fuse whose faults are found as something else."""
    circuit = procedure.circuit
    if circuit is None:
        return
    for name, finding in procedure.findings.items():
        for part in (p for p in circuit.parts.values() if _is_about(finding, p)):
            others = _found_elsewhere(procedure, circuit, finding, part)
            if others:
                message = (
                    f"the cause names the {part.name!r}, and its faults are found as "
                    f"{' and '.join(map(repr, others))}, those of {name!r} in other parts; "
                    "mend the cause, or 'found-as:' of the faults"
                )
                blame.error(places[name], message)


def _is_about(finding: Finding, part: Part) -> bool:
    conducts = isinstance(part, Fuse) or part.kind in {"wire", "joint"}
    pattern = _ABOUT.format(name=re.escape(part.name))
    return conducts and not finding.no_fault and re.search(pattern, finding.cause) is not None


def _found_elsewhere(
    procedure: Procedure, circuit: Circuit, finding: Finding, part: Part
) -> tuple[str, ...]:
    """What faults of ``part`` are found as, where ``finding`` has faults, and none in it."""
    own = [fault for fault in procedure.faults.values() if finding.name in fault.found_as]
    here = {part.name, *part.terminals.values()}
    if not own or any(fault.target in here for fault in own):
        return ()
    faults = (fault for fault in procedure.faults.values() if fault.target == part.name)
    return tuple(dict.fromkeys(name for fault in faults for name in fault.found_as))

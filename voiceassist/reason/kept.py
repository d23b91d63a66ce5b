"""Whether a procedure with a step moved keeps all that its order was for, before it is walked."""

from collections.abc import Iterator

from voiceassist.procedure.checks.flow import check_flow, targets
from voiceassist.procedure.checks.order import check_order
from voiceassist.procedure.model import Procedure, Step
from voiceassist.procedure.text.fault_collector import FaultCollector
from voiceassist.procedure.text.tree import Path, Tree
from voiceassist.reason.moves import Move, moved
from voiceassist.reason.paths import sure_by


def kept(procedure: Procedure, move: Move) -> Procedure | None:
    """``procedure`` with ``move`` made; None where something would be lost by its order.

    Nothing is lost where each limit still has the readings it is made of, and each finding its
    proofs; where no step is taken with a caution less, or before what was opened ahead of it; and
    where a step that sends some jobs elsewhere, to rest a battery or to those trained for high
    voltage, still comes first.
    """
    if any(_is_gate(procedure, procedure.steps[name]) for name in move.past):
        return None
    swapped = moved(procedure, move)
    if _faults(swapped) - _faults(procedure):
        return None
    before, after = sure_by(procedure, _brings), sure_by(swapped, _brings)
    return swapped if all(after.get(name, told) >= told for name, told in before.items()) else None


def _is_gate(procedure: Procedure, step: Step) -> bool:
    """Whether it leads to a finding that names no fault of the circuit."""
    named = {name for fault in procedure.faults.values() for name in fault.found_as}
    ends = [procedure.findings[to] for to in targets(step) if to in procedure.findings]
    return any(end.name not in named and not end.no_fault for end in ends)


def _faults(procedure: Procedure) -> set[str]:
    """What reading the file would say of its order."""
    faults = FaultCollector(Tree({}, {}, ()), [])
    names = (*procedure.steps, *procedure.repairs, *procedure.findings)
    places: dict[str, Path] = {name: (name,) for name in names}
    check_flow(procedure, places, faults)
    if not faults.has_errors:
        check_order(procedure, places, faults)
    return {f"{fault.path}: {fault.message}" for fault in faults.faults}


def _brings(step: Step) -> Iterator[tuple[str, str]]:
    """The cautions that it tells, and what it opens."""
    yield from (("caution", caution.name) for caution in step.cautions)
    yield from (("opened", opened) for opened in step.details.opens)

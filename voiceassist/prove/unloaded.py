"""Parts that are condemned on a voltage that arrives where nothing draws current.

A meter takes next to nothing, so a joint that is all but burnt through lets it read the full
voltage: such a reading tells a broken wire, and no bad one.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from voiceassist.circuit.faults import FaultKind
from voiceassist.circuit.joined import conductor
from voiceassist.circuit.model import Circuit, Probe, Shows
from voiceassist.circuit.parts import Battery
from voiceassist.circuit.probe import shown
from voiceassist.circuit.solve import solved
from voiceassist.procedure.model import PASS, Procedure
from voiceassist.prove.cases import GOOD, Case
from voiceassist.prove.technician import NO_FLOW
from voiceassist.prove.vehicle import States
from voiceassist.prove.walk import Walk


@dataclass(frozen=True, slots=True)
class Unloaded:
    """A finding that is proved by a voltage which a bad joint on its way leaves as it is.

    Parts:
        finding: its name.
        part: it condemns.
        step: that reads the voltage.
        fault: on its way, with which it passes.
    """

    finding: str
    part: str
    step: str
    fault: str


def unloaded(procedure: Procedure, walks: Sequence[tuple[Case, Walk]]) -> tuple[Unloaded, ...]:
    """Each such finding and step once."""
    passed: dict[str, set[str]] = defaultdict(set)
    states: dict[str, States] = {}
    for case, walk in walks:
        for one in walk.taken:
            if one.outcome == PASS:
                passed[one.step].add(case.fault)
        states |= walk.read_in if case.fault == GOOD else ()
    found: dict[tuple[str, str], Unloaded] = {}
    for finding in procedure.findings.values():
        for step in dict.fromkeys(name for _, name in finding.proved_by if finding.condemns):
            for fault in _on_its_way(procedure, step, states):
                if fault in passed[step]:
                    proof = Unloaded(finding.name, finding.condemns, step, fault)
                    found.setdefault((finding.name, step), proof)
    return tuple(found.values())


def _on_its_way(procedure: Procedure, step: str, states: Mapping[str, States]) -> Iterator[str]:
    """Bad joints between the supply and where ``step`` reads a voltage that nothing loads."""
    circuit = procedure.circuit
    assert circuit is not None
    probe = circuit.probes.get(step)
    if probe is None or step not in states or not _wants_a_voltage(procedure, step, probe):
        return
    if _is_at_a_source(circuit, probe):
        return
    state = dict(states[step])
    flow = shown(circuit, state, probe).flow
    if flow is None or flow >= NO_FLOW:
        return
    way = conductor(solved(circuit, state), probe.red)
    for fault in procedure.faults.values():
        if fault.kind is FaultKind.HIGH and _ends(circuit, fault.target) <= way:
            yield fault.name


def _wants_a_voltage(procedure: Procedure, name: str, probe: Probe) -> bool:
    step = procedure.steps.get(name)
    is_low = step is not None and step.limit is not None and step.limit.low is not None
    return probe.shows is Shows.VOLTAGE and is_low


def _is_at_a_source(circuit: Circuit, probe: Probe) -> bool:
    """Whether nothing lies between the leads and a battery: it is the battery that is proved."""
    leads = {probe.red, probe.black}
    batteries = [part for part in circuit.parts.values() if isinstance(part, Battery)]
    return any(leads == _ends(circuit, battery.name) for battery in batteries)


def _ends(circuit: Circuit, part: str) -> set[str]:
    return set(circuit.part(part).terminals.values())

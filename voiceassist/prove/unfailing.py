"""Limits that nothing can fail: whatever is open or touches something else, the step passes.

A limit that no fault of the file needs may still be right, for a fault nobody thought of. One that
no broken part at all can fail is no limit, such as "at least 0 V".
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from voiceassist.circuit.faults import CircuitFault, FaultKind, with_fault
from voiceassist.circuit.joined import conductor
from voiceassist.circuit.model import Circuit, Probe
from voiceassist.circuit.probe import shown
from voiceassist.circuit.solve import solved
from voiceassist.errors import CircuitError
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.model import Procedure
from voiceassist.prove.cases import Case
from voiceassist.prove.vehicle import States
from voiceassist.prove.walk import Compared, Walk

#: A dead short, which blows fuses, and one that takes an ampere or two and does not.
_SHORTS_OHM = (0.05, 5.0)


@dataclass(frozen=True, slots=True)
class Unfailing:
    """A step whose limit nothing can fail, and the states of the vehicle that it was read in."""

    step: str
    states: tuple[States, ...]


def unfailing(procedure: Procedure, walks: Sequence[tuple[Case, Walk]]) -> tuple[Unfailing, ...]:
    """The steps of ``procedure`` whose limit nothing can fail, of those that ``walks`` read."""
    circuit = procedure.circuit
    assert circuit is not None
    found = []
    for name in _judged(procedure, (walk for _, walk in walks)):
        compared = next(c for _, walk in walks for c in walk.compared if c.step == name)
        states = dict.fromkeys(state for _, w in walks for step, state in w.read_in if step == name)
        if not any(_can_fail(circuit, compared, dict(state)) for state in states):
            found.append(Unfailing(name, tuple(states)))
    return tuple(found)


def _judged(procedure: Procedure, walks: Iterable[Walk]) -> Iterator[str]:
    """Steps with a limit and a place in the circuit that a walk compared."""
    assert procedure.circuit is not None
    for name in sorted({seen.step for walk in walks for seen in walk.compared}):
        step = procedure.step(name)
        if step.limit is not None and step.steady is None and name in procedure.circuit.probes:
            yield name


def _can_fail(circuit: Circuit, compared: Compared, states: dict[str, str]) -> bool:
    probe = circuit.probes[compared.step]
    low, high = _base(compared.low, -math.inf), _base(compared.high, math.inf)
    for broken in _broken(circuit, states):
        try:
            if _fails(broken, states, probe, low, high):
                return True
        except CircuitError:
            continue  # what cannot be solved tells nothing
    return False


def _fails(circuit: Circuit, states: dict[str, str], probe: Probe, low: float, high: float) -> bool:
    seen = shown(circuit, states, probe)
    if seen.value is None:
        return True  # over range, or the instrument itself refuses
    value = float(seen.value.in_base)
    return not low <= value <= high


def _broken(circuit: Circuit, states: dict[str, str]) -> Iterator[Circuit]:
    """The circuit with each part open, bridged or held, and each wire on earth or supply.

    What is earth anyhow is not joined to the supply: that is a dead short and no fault of a step.
    """
    earthed = conductor(solved(circuit, states), circuit.earth)
    faults = [CircuitFault("open", FaultKind.OPEN, name) for name in circuit.parts]
    faults += [CircuitFault("held", FaultKind.SEIZED, name) for name in circuit.parts]
    loose = [node for node in circuit.nodes if node not in earthed]
    for ohm in _SHORTS_OHM:
        size = (ohm, ohm)
        faults += [CircuitFault("s", FaultKind.SHORTED, n, size=size) for n in circuit.parts]
        faults += [CircuitFault("e", FaultKind.EARTH, node, size=size) for node in loose]
        faults += [CircuitFault("p", FaultKind.SUPPLY, node, size=size) for node in loose]
    for fault in faults:
        try:
            yield with_fault(circuit, fault)
        except CircuitError:
            continue  # it does not fit, such as the supply on itself


def _base(text: str, beyond: float) -> float:
    """One end of a limit; ``beyond`` for one that is open."""
    return float(Quantity.parse(text).in_base) if text else beyond

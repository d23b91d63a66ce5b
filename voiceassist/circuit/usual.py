"""What can be wrong with a part of each kind, whether a file tells it or not.

A catalogue as a failure analysis has it: a wire breaks, corrodes and touches metal; a contact
burns, sticks and stays open; a load opens and shorts. Common practice, no source.
"""

from collections.abc import Iterator

from voiceassist.circuit.drivers import Module, Regulator
from voiceassist.circuit.faults import CircuitFault, FaultKind
from voiceassist.circuit.model import Circuit
from voiceassist.circuit.parts import Battery, Fuse, Part, Pulses, Relay, Switch

#: Ohms of a joint that is browned, burnt, and all but open.
_JOINTS_OHM = (0.3, 3.0, 50.0)
_CONDUCTORS = frozenset({"wire", "joint"})


def usual_faults(circuit: Circuit) -> Iterator[CircuitFault]:
    """What parts of its kind usually have, for each part of ``circuit``, and shorts of its nodes.

    A source is left out, and what stands behind a plug is a part's own affair.
    """
    for part in circuit.parts.values():
        if not isinstance(part, Battery | Pulses):
            yield from _usual(part)
    for node in circuit.nodes:
        if " behind " not in node:
            for kind in (FaultKind.EARTH, FaultKind.SUPPLY):
                yield CircuitFault(f"{kind} at {node}", kind, node)


def _usual(part: Part) -> Iterator[CircuitFault]:
    if isinstance(part, Relay | Module | Regulator):
        yield from (_fault(FaultKind.OPEN, part, terminal=name) for name in part.terminals)
    else:
        yield _fault(FaultKind.OPEN, part)
    if isinstance(part, Fuse | Switch) or part.kind in _CONDUCTORS:
        yield from _joints(part)
    elif isinstance(part, Module | Regulator):
        yield _fault(FaultKind.DEAD, part)
    elif not isinstance(part, Relay):
        yield _fault(FaultKind.SHORTED, part)
    if isinstance(part, Relay | Switch):
        for closed in (False, True):
            yield CircuitFault(_name(FaultKind.STUCK, part), FaultKind.STUCK, part.name,
                               stuck_closed=closed)  # fmt: skip


def _joints(part: Part) -> Iterator[CircuitFault]:
    return (_fault(FaultKind.HIGH, part, ohm) for ohm in _JOINTS_OHM)


def _fault(
    kind: FaultKind, part: Part, size: float | None = None, terminal: str = ""
) -> CircuitFault:
    sized = (size, size) if size is not None else None
    return CircuitFault(_name(kind, part, terminal), kind, part.name, terminal, sized)


def _name(kind: FaultKind, part: Part, terminal: str = "") -> str:
    return f"{kind} at {terminal} of {part.name}" if terminal else f"{kind} at {part.name}"

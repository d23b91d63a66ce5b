"""Waiting, moving and warming, by which a fault that comes and goes is brought about."""

from collections.abc import Mapping
from dataclasses import dataclass

from voiceassist.circuit.model import Probe
from voiceassist.circuit.probe import Shown, shown
from voiceassist.procedure.model import Procedure
from voiceassist.prove.vehicle import Vehicle, differs
from voiceassist.rehearse.eyes import Sighting, views

#: Seconds that one waits, moves each place, and warms. Common practice, no source.
WAIT_S, MOVE_S, WARM_S = 60, 3, 60

#: A condition and the state of it in which a fault can come.
Brought = tuple[str, str]


def moved(procedure: Procedure) -> tuple[Brought, ...]:
    """What is moved by hand for a moment, where any fault of the file comes by that."""
    return tuple(one for one in _comes_by(procedure) if one in _brief(procedure))


def warmed(procedure: Procedure) -> tuple[Brought, ...]:
    """What lasts, such as a warm load, where any fault of the file comes by that."""
    brief, first = _brief(procedure), _at_first(procedure)
    return tuple(one for one in _comes_by(procedure) if one not in brief and one not in first)


def _comes_by(procedure: Procedure) -> Mapping[Brought, None]:
    return {
        (condition, state): None
        for fault in procedure.faults.values()
        if fault.comes is not None
        for condition, states in fault.comes.when.items()
        for state in sorted(states)
    }


def _brief(procedure: Procedure) -> frozenset[Brought]:
    steps = (*procedure.steps.values(), *procedure.repairs.values())
    return frozenset((n.condition, n.state) for step in steps for n in step.held)


def _at_first(procedure: Procedure) -> frozenset[Brought]:
    circuit = procedure.circuit
    return frozenset(circuit.at_first.items()) if circuit is not None else frozenset()


@dataclass(frozen=True, slots=True)
class Noticed:
    """Something that looks otherwise while one watches.

    Parts:
        second: when.
        looks: the parts that look otherwise.
        shows: what the instrument shows then; None where none is held, or it shows the same.
    """

    second: int
    looks: tuple[Sighting, ...]
    shows: Shown | None


def watched(vehicle: Vehicle, seconds: int, probe: Probe | None) -> Noticed | None:
    """Let time pass until a part or the instrument at ``probe`` shows a change; None for none.

    Raises:
        CircuitError: the vehicle cannot be solved so.
    """
    before = views(vehicle.circuit, vehicle.conditions)
    showed = shown(vehicle.circuit, vehicle.conditions, probe) if probe is not None else None
    for second in range(1, seconds + 1):
        vehicle.passes(1)
        now = views(vehicle.circuit, vehicle.conditions)
        shows = shown(vehicle.circuit, vehicle.conditions, probe) if probe is not None else None
        other = shows is not None and showed is not None and differs(shows, showed)
        if now != before or other:
            looks = tuple(view for view in now if view not in before)
            return Noticed(second, looks, shows if other else None)
    return None

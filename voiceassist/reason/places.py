"""Where the tests of a procedure are made: each step in the states of the vehicle it meets."""

from collections import Counter
from collections.abc import Iterator, Mapping

import numpy as np

from voiceassist.circuit.faults import CircuitFault
from voiceassist.circuit.model import Circuit
from voiceassist.errors import CircuitError
from voiceassist.prove.meter_in_use import MeterInUse
from voiceassist.prove.technician import Technician
from voiceassist.prove.vehicle import States
from voiceassist.prove.walk import walk
from voiceassist.reason.samples import Place
from voiceassist.reason.sampling import SEEING, vehicle_of
from voiceassist.session.session import SessionSetup

#: Sizes of each fault that the procedure is walked with, 0 to 1.
_SIZES = (0.2, 0.8)
#: A step is made in so many different states at most: those it is met in most often.
_MOST_STATES = 3


def places_of(setup: SessionSetup) -> tuple[Place, ...]:
    """Each step of the procedure that sees something, in the states it is met in, in file order.

    It is walked with every fault to find them; a step that no walk meets stands in the states of
    the beginning with those that it needs.
    """
    procedure = setup.procedure
    circuit = procedure.circuit
    if circuit is None:
        raise ValueError(f"{procedure.name} has no circuit")
    met: Counter[Place] = Counter()
    for fault in (None, *procedure.faults.values()):
        for number, size in enumerate(_SIZES):
            met.update(_met(setup, fault, size, number))
    found: list[Place] = []
    for name, step in procedure.steps.items():
        if step.kind in SEEING:
            states = [p for p, _ in met.most_common() if p.step == name][:_MOST_STATES]
            needs = {need.condition: need.state for need in step.needs}
            found += states or [Place(name, followed(circuit, needs))]
    return tuple(found)


def followed(circuit: Circuit, states: Mapping[str, str]) -> States:
    """The states of the conditions that ``circuit`` follows; as at first where none is told."""
    return tuple((name, states.get(name, first)) for name, first in circuit.at_first.items())


def _met(
    setup: SessionSetup, fault: CircuitFault | None, size: float, number: int
) -> Iterator[Place]:
    try:
        car = vehicle_of(setup.procedure, fault, size, number)
    except CircuitError:
        return  # the proof tells of a fault that does not fit
    walk(setup, Technician(setup, car, MeterInUse(setup.meter, np.random.default_rng(number))))
    yield from (Place(step, states) for step, states in car.looked)

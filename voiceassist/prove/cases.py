"""Which vehicles a procedure is walked on: each fault so many times, and good ones."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from zlib import crc32

import numpy as np

from voiceassist.circuit.faults import with_fault
from voiceassist.circuit.tolerance import drawn
from voiceassist.errors import CircuitError
from voiceassist.prove.hand import Hand
from voiceassist.prove.technician import Change
from voiceassist.prove.vehicle import Vehicle
from voiceassist.prove.walk import Walk, walk
from voiceassist.session.session import Desk

#: Name of the vehicle without a fault; no fault can be called so.
GOOD = ""


@dataclass(frozen=True, slots=True)
class Case:
    """One walk to make.

    Parts:
        fault: in the circuit; GOOD for none.
        number, of: which of how many draws; the size of a fault is drawn from as many even parts
            of its range, one from each.
        forget: a change to the vehicle that is forgotten; None for none.
    """

    fault: str
    number: int
    of: int
    forget: Change | None = None


def cases(faults: Sequence[str], draws: int) -> Iterator[Case]:
    """``draws`` of a good vehicle and of each fault."""
    for fault in (GOOD, *faults):
        for number in range(draws):
            yield Case(fault, number, draws)


def made(desk: Desk, seed: int, case: Case) -> Walk:
    """Walk ``case``. The same seed, fault and number give the same walk, whatever else is walked.

    Args:
        desk: of a procedure with a circuit.
        seed: of the whole proof.
        case: what to walk.
    """
    circuit = desk.procedure.circuit
    assert circuit is not None
    rng = np.random.default_rng([seed, crc32(case.fault.encode()), case.number])
    answers = dict(circuit.answers)
    circuit = drawn(circuit, rng)
    try:
        if case.fault != GOOD:
            fault = desk.procedure.faults[case.fault]
            circuit = with_fault(circuit, fault, (case.number + float(rng.uniform())) / case.of)
            answers |= fault.answers
        vehicle = Vehicle(circuit, answers)
    except CircuitError as error:
        return Walk(trouble=f"the circuit cannot tell: {error}", at=desk.procedure.first)
    return walk(desk, vehicle, Hand(desk.meter, rng), case.forget)

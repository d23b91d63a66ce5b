"""Which vehicles a procedure is walked on: each fault so many times, and good ones."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from zlib import crc32

import numpy as np

from voiceassist.circuit.faults import with_fault
from voiceassist.circuit.model import Circuit
from voiceassist.circuit.tolerance import drawn
from voiceassist.errors import CircuitError
from voiceassist.prove.meter_in_use import MeterInUse
from voiceassist.prove.repairing import Repair, Repairer
from voiceassist.prove.technician import Change, Technician
from voiceassist.prove.vehicle import Vehicle
from voiceassist.prove.walk import Walk, walk, walk_on
from voiceassist.prove.widening import End, without_end
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
        size: of the fault, in SI units; None for one drawn from its range.
        also: a second fault in the circuit; GOOD for none.
        repair: what becomes of the offer of a repair; None to stop at the finding.
        widened: the end of a limit that is taken away; None for none.
    """

    fault: str
    number: int
    of: int
    forget: Change | None = None
    size: float | None = None
    also: str = GOOD
    repair: Repair | None = None
    widened: End | None = None

    @property
    def faults(self) -> tuple[str, ...]:
        """Those in the circuit."""
        return tuple(name for name in (self.fault, self.also) if name != GOOD)


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
    if case.widened is not None:
        desk = replace(desk, procedure=without_end(desk.procedure, case.widened))
    name = f"{case.fault}+{case.also}" if case.also != GOOD else case.fault
    rng = np.random.default_rng([seed, crc32(name.encode()), case.number])
    good = drawn(circuit, rng)
    try:
        faulty = _with_faults(desk, good, case, rng)
        vehicle = Vehicle(faulty, _answers(desk, circuit, case), good)
        mended = Vehicle(good, circuit.answers, good)
    except CircuitError as error:
        return Walk(trouble=f"the circuit cannot tell: {error}", at=desk.procedure.first)
    hand = MeterInUse(desk.meter, rng)
    if case.repair is not None:
        return walk_on(desk, Repairer(desk, vehicle, hand, case.repair, mended))
    return walk(desk, Technician(desk, vehicle, hand, case.forget))


def _with_faults(desk: Desk, good: Circuit, case: Case, rng: np.random.Generator) -> Circuit:
    for name in case.faults:
        fault = desk.procedure.faults[name]
        draw = (case.number + float(rng.uniform())) / case.of
        if case.size is not None and name == case.fault:
            fault = fault.sized(case.size)
        good = with_fault(good, fault, draw)
    return good


def _answers(desk: Desk, circuit: Circuit, case: Case) -> dict[str, str]:
    """What the vehicle answers; of two faults that answer otherwise, as the first one does."""
    answers = dict(circuit.answers)
    for name in reversed(case.faults):
        answers |= desk.procedure.faults[name].answers
    return answers

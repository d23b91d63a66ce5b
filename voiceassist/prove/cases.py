"""Which vehicles a procedure is walked on: each fault so many times, and good ones."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from zlib import crc32

import numpy as np

from voiceassist.circuit.faults import CircuitFault
from voiceassist.circuit.model import Circuit
from voiceassist.circuit.tolerance import drawn
from voiceassist.errors import CircuitError
from voiceassist.procedure.model import Procedure, written
from voiceassist.prove.comings import Comings, Drawn
from voiceassist.prove.meter_in_use import MeterInUse
from voiceassist.prove.repairing import Repair, Repairer
from voiceassist.prove.technician import Change, Technician
from voiceassist.prove.vehicle import Vehicle
from voiceassist.prove.walk import Walk, walk, walk_on
from voiceassist.prove.widening import End, without_end
from voiceassist.session.session import SessionSetup

#: Name of the vehicle without a fault; no fault can be called so.
GOOD = ""
#: Parts the draws of a fault that comes and goes from all others.
_CHANCE = 1


@dataclass(frozen=True, slots=True)
class Case:
    """One walk to make.

    Parts:
        fault: in the circuit; GOOD for none.
        number, of: which of how many draws; the size of a fault is drawn from as many even parts
            of its range, one from each; from the first and the last part its very end is taken.
        forget: a change to the vehicle that is forgotten; None for none.
        size: of the fault, in SI units; None for one drawn from its range.
        also: a second fault in the circuit; GOOD for none.
        repair: what becomes of the offer of a repair; None to stop at the finding.
        widened: the end of a limit that is taken away; None for none.
        doubt: a step, and the doubtful answer that is given there; None for none.
        untold: a fault that the file does not tell, besides; None for none.
    """

    fault: str
    number: int
    of: int
    forget: Change | None = None
    size: float | None = None
    also: str = GOOD
    repair: Repair | None = None
    widened: End | None = None
    doubt: tuple[str, str] | None = None
    untold: CircuitFault | None = None

    @property
    def faults(self) -> tuple[str, ...]:
        """Those in the circuit."""
        return tuple(name for name in (self.fault, self.also) if name != GOOD)


def cases(faults: Sequence[str], draws: int) -> Iterator[Case]:
    """``draws`` of a good vehicle and of each fault."""
    for fault in (GOOD, *faults):
        for number in range(draws):
            yield Case(fault, number, draws)


def made(setup: SessionSetup, seed: int, case: Case) -> Walk:
    """Walk ``case``. The same seed, fault and number give the same walk, whatever else is walked.

    Args:
        setup: of a procedure with a circuit.
        seed: of the whole proof.
        case: what to walk.
    """
    circuit = setup.procedure.circuit
    assert circuit is not None
    if case.widened is not None:
        setup = replace(setup, procedure=without_end(setup.procedure, case.widened))
    name = f"{case.fault}+{case.also}" if case.also != GOOD else case.fault
    rng = np.random.default_rng([seed, crc32(name.encode()), case.number])
    good = drawn(circuit, rng)
    faults = _faults(setup, case, rng)
    chance = np.random.default_rng([seed, crc32(name.encode()), case.number, _CHANCE])
    try:
        answers = {**circuit.answers, **_equipment(setup.procedure, faults, chance)}
        vehicle = vehicle_with(answers, good, faults, chance)
    except CircuitError as error:
        return Walk(trouble=f"the circuit cannot tell: {error}", at=setup.procedure.first)
    hand = MeterInUse(setup.meter, rng)
    if case.repair is not None:

        def mended(finding: str) -> Vehicle:
            """Without the only fault, or without those of two that are found as ``finding``."""
            left = [one for one in faults if finding not in one.fault.found_as]
            return vehicle_with(answers, good, left if len(faults) > 1 else (), chance)

        return walk_on(setup, Repairer(setup, vehicle, hand, case.repair, mended))
    return walk(setup, Technician(setup, vehicle, hand, case.forget, case.doubt))


def _faults(setup: SessionSetup, case: Case, rng: np.random.Generator) -> list[Drawn]:
    """The faults of ``case``, each with its place in its range."""
    found = []
    for name in case.faults:
        fault = setup.procedure.faults[name]
        draw = _place(case, float(rng.uniform()))
        if case.size is not None and name == case.fault:
            fault = fault.sized(case.size)
        found.append(Drawn(fault, draw))
    return [*found, Drawn(case.untold, 0.5)] if case.untold is not None else found


def _place(case: Case, within: float) -> float:
    """Where in the range of its size the fault is, from 0 to 1."""
    if case.of > 1 and case.number in {0, case.of - 1}:
        return float(case.number > 0)
    return (case.number + within) / case.of


def _equipment(
    procedure: Procedure, faults: Sequence[Drawn], chance: np.random.Generator
) -> dict[str, str]:
    """A word for each fact of words that is asked for and not answered by the file.

    A fault tells by its own answers which vehicles have the part that it is in.
    """
    assert procedure.circuit is not None
    asked = [fact for fact in procedure.words.values() if not fact.value]
    found = {}
    for fact in (fact for fact in asked if fact.name not in procedure.circuit.answers):
        answers = [f.fault.answers[fact.name] for f in faults if fact.name in f.fault.answers]
        words = [written(reply.name) for reply in fact.replies]
        found[fact.name] = answers[0] if answers else words[int(chance.integers(len(words)))]
    return found


def vehicle_with(
    given: Mapping[str, str], good: Circuit, faults: Sequence[Drawn], chance: np.random.Generator
) -> Vehicle:
    """The vehicle with ``faults``; of two that answer otherwise, it answers as the first does.

    Raises:
        CircuitError: a fault does not fit.
    """
    comings = Comings(good, faults, chance)
    answers = dict(given)
    for one in reversed(faults):
        answers |= one.fault.answers if one.fault.comes is None else {}
    faulty = comings.circuit(comings.steady)
    if all(one.fault.comes is None for one in faults):
        return Vehicle(faulty, answers, good)
    told = {one.fault.name: one.fault.answers for one in faults if one.fault.comes is not None}
    return Vehicle(faulty, answers, good, comings, told)

"""The vehicle of a rehearsal, and the bench that it stands at; the same again by its seed."""

import numpy as np

from voiceassist.app.rehearsal.asked import Settled
from voiceassist.prove.cases import vehicle_with
from voiceassist.prove.comings import Drawn
from voiceassist.prove.meter_in_use import MeterInUse
from voiceassist.prove.vehicle import Vehicle
from voiceassist.reason.sampling import vehicle_of
from voiceassist.rehearse.bench import Bench
from voiceassist.rehearse.instrument import BenchMeter
from voiceassist.rehearse.marks import right_findings
from voiceassist.session.session import SessionSetup


def bench_of(settled: Settled, setup: SessionSetup) -> Bench:
    """The bench of a rehearsal, with its vehicle as it is met."""
    car = in_time(setup, settled)
    hand = MeterInUse(setup.meter, np.random.default_rng(settled.seed))
    mended = Vehicle(car.good, setup.procedure.circuit.answers if setup.procedure.circuit else {})
    right = right_findings(setup.procedure, settled.fault)
    return Bench(setup, car, BenchMeter(setup, hand), mended, right)


def in_time(setup: SessionSetup, settled: Settled) -> Vehicle:
    """The vehicle as it stands there: a fault that comes and goes does so, by the seed."""
    steady = vehicle_in(setup, settled)
    fault = setup.procedure.faults[settled.fault] if settled.fault else None
    if fault is None or fault.comes is None or setup.procedure.circuit is None:
        return steady
    size = float(np.random.default_rng([settled.seed, 1]).uniform())
    chance = np.random.default_rng([settled.seed, 2])
    answers = setup.procedure.circuit.answers
    return vehicle_with(answers, steady.good, [Drawn(fault, size)], chance)


def vehicle_in(setup: SessionSetup, settled: Settled) -> Vehicle:
    """The vehicle of a rehearsal, each time the same; its fault is there all the time."""
    rng = np.random.default_rng([settled.seed, 1])
    fault = setup.procedure.faults[settled.fault] if settled.fault else None
    return vehicle_of(setup.procedure, fault, float(rng.uniform()), int(rng.integers(2**31)))

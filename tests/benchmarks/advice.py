"""Is what is said to be nearly sure nearly always so, and what does the advice save?

Vehicles are drawn with faults as likely as their files say (a twentieth have none), none of them
among those that the tables are made of. Each is tested twice: by the file's own order, and by the
advice until a finding is 95 % sure, with every step added that the finding's proof wants. Prints
how often the likeliest finding was the right one, by how sure it was said to be, and the minutes.

Run it: ``python tests/benchmarks/advice.py --vehicles 2000`` (all procedures; minutes of CPU).
"""

import argparse
import time
from collections import defaultdict

import numpy as np

from voiceassist import resources
from voiceassist.app import build
from voiceassist.app.desk.prove import setup_of
from voiceassist.app.rehearsal.tables import adviser_of, likely
from voiceassist.errors import CircuitError
from voiceassist.prove.cases import GOOD
from voiceassist.prove.meter_in_use import MeterInUse
from voiceassist.prove.technician import Technician
from voiceassist.prove.walk import walk
from voiceassist.reason.adviser import Adviser, minutes
from voiceassist.reason.order import Course, advised
from voiceassist.reason.sampling import vehicle_of
from voiceassist.rehearse.marks import Eye, right_findings

#: How sure is said, from and to.
BINS = ((0.0, 0.5), (0.5, 0.7), (0.7, 0.9), (0.9, 0.95), (0.95, 0.99), (0.99, 1.01))
_SEED = 20_261_129


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("procedures", nargs="*", help="shipped names; all that have a circuit")
    parser.add_argument("--vehicles", type=int, default=2000, help="in all")
    asked = parser.parse_args()
    names = asked.procedures or sorted(
        path.stem for path in resources.folder("procedures").glob("*.yaml")
    )
    shop = build.Components(build.settings({}))
    said: dict[tuple[float, float], list[bool]] = defaultdict(list)
    rng = np.random.default_rng(_SEED)
    written = {name: build.procedure(name) for name in names}
    proved = {n: w for n, w in written.items() if w.procedure.circuit and w.procedure.faults}
    print("procedure                    table s  by file min  by advice min  saved  right %")
    saved: list[float] = []
    for name, each in proved.items():
        began = time.process_time()
        adviser = adviser_of(setup_of(each.procedure, shop), each)
        took = time.process_time() - began
        by_file, by_advice, right = tried(adviser, max(1, asked.vehicles // len(proved)), rng, said)
        saved.append(1 - by_advice / by_file)
        told = f"{by_file:12.1f} {by_advice:14.1f} {saved[-1]:6.0%} {right:7.0%}"
        print(f"{name:28} {took:7.1f} {told}", flush=True)
    print(f"\nsaved on average: {np.mean(saved):.0%}")
    print("\nsaid to be       times   right")
    for (low, high), hits in sorted(said.items()):
        print(f"{low:4.0%} to {min(high, 1):4.0%}    {len(hits):6} {np.mean(hits):7.1%}")


def tried(
    adviser: Adviser,
    many: int,
    rng: np.random.Generator,
    said: dict[tuple[float, float], list[bool]],
) -> tuple[float, float, float]:
    """Mean minutes by the file and by the advice, and how often the advice was right."""
    procedure = adviser.setup.procedure
    shares = likely(adviser.setup)
    by_file, by_advice, right = [], [], []
    for _ in range(many):
        cause = str(rng.choice(list(shares), p=list(shares.values())))
        fault = procedure.faults[cause] if cause != GOOD else None
        size, seed = float(rng.uniform()), int(rng.integers(10**6, 2**31))
        try:
            car = vehicle_of(procedure, fault, size, seed)
            met = vehicle_of(procedure, fault, size, seed)
        except CircuitError:
            continue
        hand = MeterInUse(adviser.setup.meter, np.random.default_rng(seed))
        way = walk(adviser.setup, Technician(adviser.setup, car, hand))
        by_file.append(sum(minutes(procedure, step) for step in way.path))
        course = advised(adviser, tuple(procedure.steps), Eye(procedure, met))
        by_advice.append(with_proof(adviser, course))
        right.append(course.finding in right_findings(procedure, cause))
        for low, high in BINS:
            if low <= course.share < high:
                said[low, high].append(right[-1])
    return float(np.mean(by_file)), float(np.mean(by_advice)), float(np.mean(right))


def with_proof(adviser: Adviser, course: Course) -> float:
    """Minutes of a course, with what the proof of its finding wants besides."""
    procedure = adviser.setup.procedure
    finding = procedure.findings.get(course.finding)
    wanted = {step for _, step in finding.proved_by} if finding is not None else set()
    return course.minutes + sum(minutes(procedure, s) for s in wanted - set(course.steps))


if __name__ == "__main__":
    main()

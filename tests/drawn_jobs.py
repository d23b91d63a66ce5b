"""Jobs on drawn vehicles: by the file's order, by the advice, and by trainees of three skills."""

import argparse
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from drawn_vehicles import Reader, coming, in_time, readers

from voiceassist import resources
from voiceassist.app import build
from voiceassist.app.desk.prove import setup_of
from voiceassist.app.rehearsal.tables import adviser_of
from voiceassist.prove.cases import GOOD
from voiceassist.prove.meter_in_use import MeterInUse
from voiceassist.prove.technician import Technician
from voiceassist.prove.vehicle import Vehicle
from voiceassist.prove.walk import walk
from voiceassist.reason.adviser import Adviser
from voiceassist.reason.infer import Seen
from voiceassist.reason.order import SURE, advised, with_proof
from voiceassist.reason.sampling import vehicle_of
from voiceassist.reason.spent import of_path
from voiceassist.rehearse.bench import Bench
from voiceassist.rehearse.eye import Eye
from voiceassist.rehearse.instrument import BenchMeter
from voiceassist.rehearse.marks import Completed, Mark, mark, right_findings
from voiceassist.rehearse.wishes import Verb, Wish

#: Beliefs are followed until one is as sure as this, or no test tells any more.
CERTAIN = 0.99
#: A trainee who guesses makes so many tests first.
GUESSES = 4
SKILLS = ("random", "file", "advice")
R = TypeVar("R")


@dataclass(frozen=True, slots=True)
class Said:
    """How sure a cause was said to be, and whether it was the right one.

    Parts:
        job: which of the drawn jobs.
        share: how likely the likeliest finding was.
        right: it was the right one.
        first_sure: it is the first of its job that reaches ``SURE``.
    """

    job: str
    share: float
    right: bool
    first_sure: bool


def first_of_each(said: Iterable[Said]) -> Sequence[Said]:
    """Of each job the first; which one is last is known only by what comes after it."""
    found: dict[str, Said] = {}
    for one in said:
        found.setdefault(one.job, one)
    return tuple(found.values())


def beliefs(adviser: Adviser, many: int, seed: int) -> Iterator[Said]:
    """What is believed after each test of ``many`` drawn jobs, the tests as the advice has them."""
    for number, reader in enumerate(readers(adviser, many, seed)):
        job = f"{adviser.setup.procedure.name} {number}"
        yield from _beliefs(adviser, reader, job)


def _beliefs(adviser: Adviser, reader: Reader, job: str) -> Iterator[Said]:
    left, seen, was_sure = list(adviser.setup.procedure.steps), list[Seen](), False
    true = adviser.finding_of(reader.cause)
    while True:
        finding, share = adviser.belief(seen).ranked[0]
        yield Said(job, share, finding == true, share >= SURE and not was_sure)
        was_sure = was_sure or share >= SURE
        best = adviser.next_tests(seen, left) if share < CERTAIN else []
        if not best:
            return
        place = adviser.samples.places[best[0].place]
        seen.append(adviser.seen_at(best[0].place, reader(place)))
        left.remove(place.step)


@dataclass(frozen=True, slots=True)
class Took:
    """Minutes of one job by the file and by the advice, and whether each named the right cause."""

    by_file: float
    by_advice: float
    file_right: bool
    advice_right: bool


def jobs(adviser: Adviser, many: int, seed: int) -> Iterator[Took]:
    """``many`` drawn jobs with listed faults or none, each done both ways to a proved finding."""
    procedure = adviser.setup.procedure
    for number, reader in enumerate(listed(adviser, many, seed)):
        assert reader.eye is not None
        right = right_findings(procedure, reader.cause)
        rng = np.random.default_rng([seed, number])
        car = in_time(reader.eye, float(rng.uniform()), rng)
        hand = MeterInUse(adviser.setup.meter, np.random.default_rng(seed))
        way = walk(adviser.setup, Technician(adviser.setup, car, hand))
        course = with_proof(adviser, advised(adviser, tuple(procedure.steps), reader))
        yield Took(
            of_path(procedure, way.path), course.minutes,
            way.finding in right, course.finding in right,
        )  # fmt: skip


def listed(adviser: Adviser, many: int, seed: int) -> Iterator[Reader]:
    """``many`` drawn vehicles with listed faults or none."""
    drawn = (one for one in readers(adviser, 2 * many + 10, seed) if one.eye is not None)
    for _, one in zip(range(many), drawn, strict=False):
        yield one


# --- trainees ---


def trained(adviser: Adviser, cause: str, skill: str, seed: int) -> Mark:
    """The mark of a trainee of ``skill`` on one drawn vehicle with ``cause``.

    One who guesses makes some tests as they come and names any cause. One who follows the file
    takes its steps in turn until he is sure. One who follows the advice takes what tells most.
    """
    rng = np.random.default_rng(seed)
    setup, procedure = adviser.setup, adviser.setup.procedure
    fault = procedure.faults[cause] if cause != GOOD else None
    size, draw = float(rng.uniform()), int(rng.integers(2**31))
    eye = Eye(procedure, vehicle_of(procedure, fault, size, draw), coming(fault))
    car = in_time(eye, size, np.random.default_rng([draw, 1]))
    hand = MeterInUse(setup.meter, np.random.default_rng(draw))
    bench = Bench(setup, car, BenchMeter(setup, hand), Vehicle(car.good, car.answers),
                  tuple(right_findings(procedure, cause)))  # fmt: skip
    named = _worked(adviser, bench, skill, rng)
    over = Completed(cause, named, tuple(bench.acts), vehicle_of(procedure, fault, size, draw))
    return mark(adviser, over)


def _worked(adviser: Adviser, bench: Bench, skill: str, rng: np.random.Generator) -> str:
    """What such a trainee does at the bench, and the finding that he names."""
    procedure = adviser.setup.procedure
    left = list(dict.fromkeys(place.step for place in adviser.samples.places))
    if skill == "random":
        rng.shuffle(left)
        del left[GUESSES:]
    seen: list[Seen] = []
    while left:
        if skill != "random" and adviser.belief(seen).ranked[0][1] >= SURE:
            break
        best = adviser.next_tests(seen, left) if skill == "advice" else []
        if skill == "advice" and not best:
            break
        place = best[0].place if best else adviser.first(left[0])
        assert place is not None
        there = adviser.samples.places[place]
        left.remove(there.step)
        lasting = [n for n in procedure.step(there.step).needs if not n.momentary]
        _bring_about(bench, dict(there.states) | {n.condition: n.state for n in lasting})
        test = bench.do(Wish(Verb.READ), procedure.step(there.step)).test
        if test is not None:
            seen.append(adviser.seen_at(place, test.sight))
    if skill == "random":
        return str(rng.choice(list(procedure.findings)))
    return next((f for f, _ in adviser.belief(seen).ranked if f in procedure.findings), "")


def _bring_about(bench: Bench, wanted: Mapping[str, str]) -> None:
    """Bring the states of a place about as a careful trainee does: none before it may be."""
    guarded = bench.setup.procedure.before_changing
    for condition, state in sorted(wanted.items(), key=lambda one: one[0] not in guarded):
        if bench.vehicle.conditions.get(condition) == state:
            continue
        for need in guarded.get(condition, ()):
            if bench.vehicle.conditions.get(need.condition) != need.state:
                bench.do(Wish(Verb.BRING, need.condition, need.state))
        bench.do(Wish(Verb.BRING, condition, state))
    for condition, state in wanted.items():
        if bench.vehicle.conditions.get(condition) != state:
            bench.do(Wish(Verb.BRING, condition, state))


# --- the library ---


def library() -> list[str]:
    """Names of the shipped procedures that have a circuit with faults."""
    names = sorted(path.stem for path in resources.folder("procedures").glob("*.yaml"))
    written = {name: build.procedure(name).procedure for name in names}
    return [name for name, one in written.items() if one.circuit is not None and one.faults]


def adviser(name: str) -> Adviser:
    """The adviser of a shipped procedure; its table is made once, and kept."""
    written = build.procedure(name)
    shop = build.Components(build.settings({}))
    return adviser_of(setup_of(written.procedure, shop), written)


def asked_for(
    description: str | None, vehicles: int, seed: int, each: str = "in all"
) -> argparse.Namespace:
    """What a benchmark over the library is asked for on its command line."""
    parser = argparse.ArgumentParser(description=description)
    parser.add_argument("procedures", nargs="*", help="shipped names; all that have a circuit")
    parser.add_argument("--vehicles", type=int, default=vehicles, help=each)
    parser.add_argument("--seed", type=int, default=seed)
    parser.add_argument("--processes", type=int, default=2)
    asked = parser.parse_args()
    asked.procedures = asked.procedures or library()
    return asked


def over_library(
    work: Callable[[tuple[str, int, int]], R],
    names: Sequence[str],
    many: int,
    seed: int,
    cores: int,
) -> Iterable[tuple[str, R]]:
    """What ``work`` makes of each procedure, ``many`` jobs among them all, in processes."""
    each = [many // len(names) + (i < many % len(names)) for i in range(len(names))]
    todo = [
        (name, share, seed + i) for i, (name, share) in enumerate(zip(names, each, strict=True))
    ]
    if cores < 2:
        yield from zip(names, map(work, todo), strict=True)
        return
    with ProcessPoolExecutor(cores) as pool:
        yield from zip(names, pool.map(work, todo), strict=True)

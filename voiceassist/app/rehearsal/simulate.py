"""Many rehearsals with a simulated trainee, and what they come to."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import fmean
from typing import Any

import numpy as np

from voiceassist.app.build import Components, Written
from voiceassist.app.desk.prove import ProofSource, setup_from, setup_of
from voiceassist.app.progress import Progress
from voiceassist.app.rehearsal.asked import Asked, Mode, among
from voiceassist.app.rehearsal.tables import adviser_of
from voiceassist.app.rehearsal.vehicle import bench_of, in_time, vehicle_in
from voiceassist.app.workers.base import Here, Workers
from voiceassist.reason.adviser import Adviser
from voiceassist.reason.samples import Samples
from voiceassist.rehearse.marks import Completed, mark
from voiceassist.rehearse.trainee import LED, Leader

#: Rehearsals that a worker does at a time.
_CHUNK = 8
_MOST_SEED = 2**31


@dataclass(frozen=True, slots=True)
class Simulation:
    """What is simulated.

    Parts:
        many: rehearsals.
        leader: what the trainee follows.
        asked: of each; the fault is drawn where none is asked for, the seed is of all of them.
    """

    many: int
    leader: Leader
    asked: Asked


@dataclass(frozen=True, slots=True)
class RehearsalResult:
    """What one rehearsal came to.

    Parts:
        number: from 1 on.
        fault, named: the fault that there was, and the finding that was named; empty for none.
        found: it was the right one.
        points: of a hundred.
        minutes, quickest: what it took, and what the shortest way would have.
        tests, idle: that were made, and those of them that could tell nothing.
        slips: what was not safe, or did damage.
        condemned: good parts that were blamed.
    """

    number: int
    fault: str
    named: str
    found: bool
    points: int
    minutes: float
    quickest: float
    tests: int
    idle: int
    slips: tuple[str, ...]
    condemned: tuple[str, ...]

    def to_json(self) -> dict[str, Any]:
        """One JSON object."""
        return {
            "rehearsal": self.number,
            "fault": self.fault,
            "named": self.named,
            "found": self.found,
            "points": self.points,
            "minutes": round(self.minutes, 2),
            "quickest_minutes": round(self.quickest, 2),
            "tests": self.tests,
            "idle": self.idle,
            "slips": list(self.slips),
            "condemned": list(self.condemned),
        }


def leader_called(name: str) -> Leader:
    """What ``name`` tells to follow; see ``among``."""
    return among(Leader, name, "--by", "cannot be followed")


# --- done ---


@dataclass(frozen=True, slots=True)
class _Shared:
    """What every worker needs: the procedure, its table, and what is simulated."""

    source: ProofSource
    samples: Samples
    asked: Simulation
    seed: int


def simulated(
    what: Simulation,
    written: Written,
    shop: Components,
    workers: Workers,
    progress: Progress,
) -> Iterator[RehearsalResult]:
    """Each rehearsal, in order; the same seed gives the same ones, whoever does them.

    Args:
        what: to simulate.
        written: the procedure.
        shop: gives language and meter.
        workers: do it.
        progress: told how many are done.

    Raises:
        SessionError: the procedure has no circuit with faults, or no such fault.
    """
    seed = what.asked.settled(written.procedure).seed
    source = ProofSource.of(written.text, written.procedure.name, shop.settings, written.used)
    samples = adviser_of(setup_of(written.procedure, shop), written).samples
    numbers = range(1, what.many + 1)
    parts = (tuple(numbers[i : i + _CHUNK]) for i in range(0, what.many, _CHUNK))
    shared = _Shared(source, samples, what, seed)
    one_is_enough = what.many <= _CHUNK and not workers.stand_by
    at_work: Workers = Here() if one_is_enough else workers
    for some in at_work.each(_work, shared, parts):
        for result in some:
            progress(result.number, what.many)
            yield result


def _work(shared: _Shared, numbers: tuple[int, ...]) -> list[RehearsalResult]:
    """Some rehearsals, wherever they are done."""
    adviser = Adviser(setup_from(shared.source), shared.samples)
    return [_rehearsed(adviser, shared, number) for number in numbers]


def _rehearsed(adviser: Adviser, shared: _Shared, number: int) -> RehearsalResult:
    drawn = int(np.random.default_rng([shared.seed, number]).integers(_MOST_SEED))
    asked = shared.asked.asked
    procedure = adviser.setup.procedure
    settled = replace(asked, seed=drawn).settled(procedure)
    bench = bench_of(settled, adviser.setup)
    same = in_time(adviser.setup, settled)
    named = LED[shared.asked.leader](adviser, bench, same, settled.seed)
    untouched = vehicle_in(adviser.setup, settled)
    led = settled.mode is Mode.LED and shared.asked.leader is Leader.FILE
    over = Completed(settled.fault, named, tuple(bench.acts), untouched, led=led)
    found = mark(adviser, over, settled.how)
    return RehearsalResult(
        number,
        settled.fault,
        named,
        found.found,
        found.points,
        found.minutes,
        found.quickest.minutes,
        len(found.looked),
        len(found.idle),
        found.slips,
        found.condemned,
    )


# --- added up ---


def totals(results: Sequence[RehearsalResult]) -> dict[str, Any]:
    """What ``results`` come to together, and by fault, as a JSON object."""
    faults = dict.fromkeys(result.fault for result in results)
    by_fault = {fault: [r for r in results if r.fault == fault] for fault in sorted(faults)}
    return {
        **_sums(results),
        "faults": [{"fault": fault, **_sums(some)} for fault, some in by_fault.items()],
    }


def _sums(results: Sequence[RehearsalResult]) -> dict[str, Any]:
    named = dict.fromkeys(r.named for r in results if not r.found)
    return {
        "rehearsals": len(results),
        "found": sum(r.found for r in results),
        "points": round(fmean(r.points for r in results), 1),
        "minutes": round(fmean(r.minutes for r in results), 1),
        "quickest_minutes": round(fmean(r.quickest for r in results), 1),
        "tests": round(fmean(r.tests for r in results), 1),
        "idle": round(fmean(r.idle for r in results), 2),
        "slips": sum(len(r.slips) for r in results),
        "condemned": sum(len(r.condemned) for r in results),
        "named_instead": {
            name or "none": sum(r.named == name for r in results if not r.found) for name in named
        },
    }


def lines(about: Mapping[str, Any]) -> Iterator[str]:
    """The totals as a table for people."""
    head = ("times", "found", "points", "minutes", "quickest", "tests", "slips")
    yield f"{'fault':32}" + "".join(f"{name:>9}" for name in head)
    for row in (*about["faults"], {"fault": "all", **about}):
        share = f"{100 * row['found'] / row['rehearsals']:.0f}%"
        numbers = (row["rehearsals"], share, row["points"], row["minutes"])
        more = (row["quickest_minutes"], row["tests"], row["slips"])
        told = "".join(f"{number:>9}" for number in (*numbers, *more))
        instead = ", ".join(f"{name} {count}" for name, count in row["named_instead"].items())
        wrong = f"  (named: {instead})" if instead and row["fault"] != "all" else ""
        yield f"{row['fault']:32}{told}{wrong}"

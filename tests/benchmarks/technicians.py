"""Five simulated technicians do whole jobs: ``technicians.py [--jobs N] [--show]``.

Each job is a procedure of the library on a vehicle with one of its faults, or a good one, drawn
by chance. The technician speaks in words, which the grammar of each step understands, and makes
the slips of his kind. Told is what must not happen: a finding that is wrong, a job that does not
come to its end, a vehicle left otherwise than found.
"""

import argparse
import random
import sys
from collections import Counter
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from technicians import PEOPLE, Person, maker_of
from whole_jobs import Job, spoken_job, vehicles

from voiceassist import resources
from voiceassist.app import build
from voiceassist.app.desk.prove import setup_of
from voiceassist.app.settings.settings import Settings
from voiceassist.prove.outcome import right_findings
from voiceassist.session.session import SessionSetup

SHOP = build.Components(Settings())
#: So many jobs are done where nobody tells another number.
JOBS, JOBS_SHOWN = 200, 40


@dataclass(slots=True)
class Count:
    """What the jobs of one kind of technician came to."""

    jobs: int = 0
    wrong: list[str] = field(default_factory=list)
    unproved: list[str] = field(default_factory=list)
    still_open: list[str] = field(default_factory=list)
    in_pieces: list[str] = field(default_factory=list)
    words: int = 0
    exchanges: int = 0
    not_understood: int = 0

    def add(self, title: str, setup: SessionSetup, fault: str, job: Job) -> None:
        self.jobs += 1
        self.words += job.words(SHOP.to_words)
        self.exchanges += job.exchanges
        if not job.outcome:
            self.still_open.append(f"{title}: {job.stuck or job.session.state}")
            return
        found = job.session.finding
        if found not in right_findings(setup.procedure, fault):
            skipped = any(r.outcome == "skipped" for r in job.session.ledger)
            (self.unproved if skipped else self.wrong).append(f"{title}: {found or 'none'}")
        left = {
            f"{name} {job.conditions.get(name)}"
            for name, state in setup.procedure.at_rest.items()
            if job.conditions.get(name, state) != state
        }
        if left:
            self.in_pieces.append(f"{title}: {', '.join(sorted(left))}")


@cache
def setup_named(name: str) -> SessionSetup:
    """The setup of one procedure of the library."""
    return setup_of(build.procedure(name).procedure, SHOP)


def setups() -> dict[str, SessionSetup]:
    """Every procedure of the library that has a circuit."""
    names = sorted(path.stem for path in resources.folder("procedures").glob("*.yaml"))
    made = {name: setup_named(name) for name in names}
    return {n: one for n, one in made.items() if one.procedure.circuit and one.procedure.faults}


def job_of(kind: type[Person], setup: SessionSetup, fault: str, seed: int) -> Job:
    """One job of one technician."""
    rng = random.Random(f"{kind.name} {setup.procedure.name} {fault} {seed}")
    made = vehicles(setup, fault, seed, rng.random())
    mender = maker_of(kind, rng)(setup, made.bad, made.good, made.hand)
    person = kind(mender, SHOP.language, rng)
    return spoken_job(setup, SHOP.language, person, lambda: dict(mender.vehicle.conditions))


def counted(jobs: int, seed: int = 1) -> dict[str, Count]:
    """``jobs`` jobs, shared out evenly among the technicians."""
    library = setups()
    rng = random.Random(seed)
    counts = {kind.name: Count() for kind in PEOPLE}
    for number in range(jobs):
        kind = PEOPLE[number % len(PEOPLE)]
        name = rng.choice(sorted(library))
        fault = rng.choice(["", *library[name].procedure.faults])
        title = f"{name} {fault or 'good'} #{number}"
        counts[kind.name].add(
            title, library[name], fault, job_of(kind, library[name], fault, number)
        )
    return counts


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--jobs", type=int, default=JOBS)
    parser.add_argument("--seed", type=int, default=1)
    chosen = parser.parse_args()
    counts = counted(chosen.jobs, chosen.seed)
    print(
        f"{'technician':14} {'jobs':>5} {'wrong':>6} {'open':>5} {'pieces':>7} {'words':>6} answers"
    )
    for name, count in counts.items():
        print(
            f"{name:14} {count.jobs:5} {len(count.wrong):6} {len(count.still_open):5} "
            f"{len(count.in_pieces):7} {count.words / count.jobs:6.0f} "
            f"{count.exchanges / count.jobs:5.1f}"
        )
    for what in ("wrong", "unproved", "still_open", "in_pieces"):
        told = Counter(one for count in counts.values() for one in getattr(count, what))
        for one in told:
            print(f"{what}: {one}")


if __name__ == "__main__":
    main()

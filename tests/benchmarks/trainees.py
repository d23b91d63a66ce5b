"""Do marks set trainees of three skills in their order, over the whole library?

Each rehearses the same drawn faults: one makes a few tests as they come and guesses, one follows
the file's order until he is sure, one follows the advice. Told are the mean marks, how many
faults were found, and the minutes, by procedure.

Run it: ``python tests/benchmarks/trainees.py --vehicles 130``.
"""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

import numpy as np
from drawn_jobs import SKILLS, adviser, asked_for, listed, over_library, trained

from voiceassist.rehearse.marks import Mark

SEED = 20_261_128
Marks = dict[str, list[Mark]]


def worked(todo: tuple[str, int, int]) -> Marks:
    """The marks of each skill with one procedure."""
    name, many, seed = todo
    knows = adviser(name)
    causes = [reader.cause for reader in listed(knows, many, seed)]
    return {
        skill: [trained(knows, cause, skill, seed + i) for i, cause in enumerate(causes)]
        for skill in SKILLS
    }


def row(title: str, marks: Marks) -> str:
    """One row of the table."""
    told = f"{title:28} {len(marks[SKILLS[0]]):5}"
    for each in marks.values():
        points = np.mean([one.points for one in each])
        found = np.mean([one.found for one in each])
        minutes = np.mean([one.minutes for one in each])
        told += f" |{points:5.0f} {found:5.0%} {minutes:5.1f}"
    return told


def main() -> None:
    asked = asked_for(__doc__, 130, SEED, "in all, for each skill")
    names = asked.procedures
    heads = "".join(f" |{skill:^17}" for skill in SKILLS)
    print(f"{'':28} {'':5}{heads}")
    print(f"{'procedure':28} {'jobs':>5}" + f" |{'mark':>5} {'found':>5} {'min':>5}" * len(SKILLS))
    every: Marks = {skill: [] for skill in SKILLS}
    in_order = 0
    for name, marks in over_library(worked, names, asked.vehicles, asked.seed, asked.processes):
        print(row(name, marks), flush=True)
        means = [float(np.mean([one.points for one in marks[skill]])) for skill in SKILLS]
        in_order += means == sorted(means)
        for skill in SKILLS:
            every[skill] += marks[skill]
    print(row("all", every))
    print(f"\nin their order with {in_order} of {len(names)} procedures")


if __name__ == "__main__":
    main()

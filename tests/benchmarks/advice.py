"""How many minutes does the advice save beside the file's own order, and does it name the cause?

Vehicles are drawn with faults as likely as their files say, and some with none; slips and the
meter's errors are in what is read. Each is diagnosed twice: by the file, walked through the
session engine, and by the advice, until a finding is 95 % sure, with every step added that the
finding's proof wants: no proof is left out. Told are the minutes by the efforts in the files.

Run it: ``python tests/benchmarks/advice.py --vehicles 2000``.
"""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

import numpy as np
from drawn_jobs import Took, adviser, asked_for, jobs, over_library

SEED = 20_261_129


def worked(todo: tuple[str, int, int]) -> list[Took]:
    """Some jobs with one procedure."""
    name, many, seed = todo
    return list(jobs(adviser(name), many, seed))


def row(title: str, took: list[Took]) -> tuple[str, float]:
    """One row of the table, and the share that is saved."""
    by_file, by_advice = (float(np.mean([getattr(one, of) for one in took]))
                          for of in ("by_file", "by_advice"))  # fmt: skip
    right = [float(np.mean([getattr(one, of) for one in took]))
             for of in ("file_right", "advice_right")]  # fmt: skip
    saved = 1 - by_advice / by_file
    told = f"{title:28} {len(took):5} {by_file:9.1f} {by_advice:9.1f} {saved:7.0%}"
    return f"{told} {right[0]:9.0%} {right[1]:9.0%}", saved


def main() -> None:
    asked = asked_for(__doc__, 2000, SEED)
    names = asked.procedures
    head = f"{'procedure':28} {'jobs':>5} {'file min':>9} {'advised':>9} {'saved':>7}"
    print(f"{head} {'right':>9} {'right':>9}")
    every: list[Took] = []
    shares = []
    for name, took in over_library(worked, names, asked.vehicles, asked.seed, asked.processes):
        every += took
        told, saved = row(name, took)
        shares.append(saved)
        print(told, flush=True)
    print(row("all jobs", every)[0])
    print(f"\nsaved on average over the procedures: {np.mean(shares):.0%}")


if __name__ == "__main__":
    main()

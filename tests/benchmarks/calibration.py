"""Is what is said to be 95 % sure right 95 times in a hundred? For every degree, over the library.

Vehicles are drawn from the world that the belief reckons with (``tests/drawn_vehicles.py``), none
of them among those that the tables are made of: listed faults as likely as the files say, good
vehicles, causes that no file lists, a meter that errs, and slips. Tests are made as the advice
has them. The belief after each is put beside the truth; of each job the first in each row counts,
since a later one would be chosen by what came after it. Intervals are of 95 % (Wilson, by scipy).

Run it: ``python tests/benchmarks/calibration.py --vehicles 2000`` (three minutes of a core, and
some more the first time, while the tables are made).
"""

import sys
from collections.abc import Iterable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from drawn_jobs import Said, adviser, asked_for, beliefs, first_of_each, over_library
from scipy.stats import binomtest

#: How sure is said, from and to.
ROWS = ((0.0, 0.5), (0.5, 0.7), (0.7, 0.9), (0.9, 0.97), (0.97, 1.01))
#: The words of the spoken answer, and the numbers that they stand for.
WORDS = (("neither", 0.0, 0.6), ("likely", 0.6, 0.95), ("nearly sure", 0.95, 1.01))
SEED = 20_261_130


def worked(todo: tuple[str, int, int]) -> list[Said]:
    """The beliefs of some jobs with one procedure."""
    name, many, seed = todo
    return list(beliefs(adviser(name), many, seed))


def row(title: str, said: Iterable[Said]) -> str:
    """One row: how often it was said, how sure on average, how often right, and the interval."""
    told = first_of_each(said)
    if not told:
        return f"{title:24} {0:6}"
    right, many = sum(one.right for one in told), len(told)
    span = binomtest(right, many).proportion_ci(method="wilson")
    mean = sum(one.share for one in told) / many
    return (
        f"{title:24} {many:6} {mean:8.1%} {right / many:8.1%}   {span.low:.1%} to {span.high:.1%}"
    )


def main() -> None:
    asked = asked_for(__doc__, 2000, SEED)
    names = asked.procedures
    said: list[Said] = []
    for name, found in over_library(worked, names, asked.vehicles, asked.seed, asked.processes):
        said += found
        print(f"{name:28} {len({one.job for one in found}):5} jobs", file=sys.stderr, flush=True)
    print(f"{'said to be':24} {'times':>6} {'on mean':>8} {'right':>8}   95 % interval")
    for low, high in ROWS:
        told = f"{low:.0%} to {min(high, 1):.0%}"
        print(row(told, (one for one in said if low <= one.share < high)))
    print(row("about 95 % (93 to 97)", (one for one in said if 0.93 <= one.share < 0.97)))
    print(row("first 95 % or more", (one for one in said if one.first_sure)))
    for word, low, high in WORDS:
        print(row(f'"{word}"', (one for one in said if low <= one.share < high)))


if __name__ == "__main__":
    main()

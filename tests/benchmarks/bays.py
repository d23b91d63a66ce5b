"""Many bays, one archive: ``bays.py [--bays N] [--jobs N] [--mode fast|immediate]``.

A PostgreSQL server is started, N processes do so many short jobs each and take every one into the
archive at once, one more process searches it all the time, and the server is restarted when half
of the jobs are in. Every second bay keeps the archive open, the others open it for each job, as
commands do. Prints sessions an hour, what was lost or doubled, and how long answers took. Exit 1
when anything was lost or doubled.
"""

import argparse
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from threading import Thread

sys.path.insert(0, str(Path(__file__).parents[1]))

from database_server import DatabaseServer, serving
from many_bays import bays_at_work, lost_or_doubled

#: fsync stays on: a server of a shop has it.
OPTIONS = "-c max_connections=60"
_DOWN_S = 2.0


class Outage:
    """The server is stopped when so much is in, and is back after two seconds."""

    def __init__(self, server: DatabaseServer, after: int, mode: str) -> None:
        self._server, self._after, self._mode = server, after, mode
        self._began = time.monotonic()
        self._looked = 0.0
        self._thread: Thread | None = None
        self.from_s = self.to_s = 0.0

    def __call__(self, taken_in: Callable[[], int]) -> None:
        now = time.monotonic()
        if self._thread is None and now - self._looked > 0.5:
            self._looked = now
            if taken_in() >= self._after:
                self._thread = Thread(target=self._happens)
                self._thread.start()

    def _happens(self) -> None:
        self.from_s = time.monotonic() - self._began
        self._server.stop(self._mode)
        time.sleep(_DOWN_S)
        self._server.start()
        self.to_s = time.monotonic() - self._began


def spread(times: Sequence[float]) -> str:
    """Median, 95th percentile and longest, in ms."""
    ordered = sorted(times)
    late = ordered[min(len(ordered) - 1, int(0.95 * len(ordered)))]
    middle = statistics.median(ordered)
    return f"median {1000 * middle:.1f}, 95 % {1000 * late:.1f}, most {1000 * ordered[-1]:.0f} ms"


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--bays", type=int, default=20)
    parser.add_argument("--jobs", type=int, default=50)
    parser.add_argument("--mode", choices=("fast", "immediate"), default="fast")
    asked = parser.parse_args()
    with serving(OPTIONS) as server, tempfile.TemporaryDirectory() as home:
        outage = Outage(server, asked.bays * asked.jobs // 2, asked.mode)
        found = bays_at_work(server.url(), Path(home), asked.bays, asked.jobs, outage)
        wrong = lost_or_doubled(server.url(), Path(home), asked.bays, asked.jobs)
    sessions = asked.bays * asked.jobs
    rate = 3600 * sessions / found.seconds
    print(f"{asked.bays} bays, {sessions} sessions in {found.seconds:.1f} s: {rate:.0f} an hour")
    print(f"server away from {outage.from_s:.1f} to {outage.to_s:.1f} s ({asked.mode})")
    print(f"opened in vain: {found.refused} times; lost or doubled: {len(wrong)} {wrong[:5]}")
    print(f"bays that failed: {len(found.told)} {found.told[:1]}")
    well = [took for at, took in found.asked if not _in(at, took, outage)]
    print(f"find, {len(well)} times: {spread(well)}")
    away = [took for at, took in found.asked if _in(at, took, outage)]
    if away:
        print(f"find while it was away, {len(away)} times: {spread(away)}")
    sys.exit(1 if wrong or found.told else 0)


def _in(at: float, took: float, outage: Outage) -> bool:
    return at + took >= outage.from_s and at <= outage.to_s


if __name__ == "__main__":
    main()

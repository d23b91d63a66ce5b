"""How long the journal takes to have lines on the disk: ``journal.py [FOLDER]``.

Prints the median and the 95th percentile of ``append`` beside those of a bare write and fsync
of as many bytes to the same disk, taken in turns, so that both meet the same weather.
"""

import os
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from voiceassist.record.journal import Journal
from voiceassist.record.read_journal import verify

TIMES = 300
GOAL_MS = 5
#: About what one answer of the technician leaves: heard, reading, verdict, next step.
LINES = [{"event": "say", "step": "feed", "text": "x" * 80, "start_s": 1.5, "end_s": 3.25}] * 4


def milliseconds(work: Callable[[], object]) -> float:
    """How long ``work`` takes."""
    began = time.perf_counter()
    work()
    return (time.perf_counter() - began) * 1000


def measured(folder: Path) -> tuple[list[float], list[float], float]:
    """Milliseconds of each ``append``, of each bare write and fsync, and of ``verify``."""
    appends, bare = [], []
    with (
        Journal.create(folder / "journal.jsonl", lambda: datetime.now().astimezone()) as journal,
        (folder / "bare").open("wb", buffering=0) as file,
    ):
        size = sum(len(entry.line) for entry in journal.append(LINES))

        def write() -> None:
            file.write(b"x" * size)
            os.fsync(file.fileno())

        for _ in range(TIMES):
            appends.append(milliseconds(lambda: journal.append(LINES)))
            bare.append(milliseconds(write))
    return appends, bare, milliseconds(lambda: verify(folder / "journal.jsonl"))


def shown(name: str, times_ms: list[float]) -> str:
    """One line of the table."""
    p95 = statistics.quantiles(times_ms, n=20)[-1]
    return f"{name:<34} {statistics.median(times_ms):>8.2f} {p95:>8.2f}"


def main() -> None:
    """Measure and print."""
    where = Path(sys.argv[1]) if len(sys.argv) > 1 else None
    with tempfile.TemporaryDirectory(dir=where) as folder:
        appends, bare, verifying = measured(Path(folder))
        print(f"{'milliseconds':<34} {'median':>8} {'p95':>8}")
        print(shown(f"append of {len(LINES)} lines", appends), f"  (goal: median under {GOAL_MS})")
        print(shown("bare write and fsync of as much", bare))
        print(f"{f'verify of {len(LINES) * (TIMES + 1)} lines':<34} {verifying:>8.2f}")


if __name__ == "__main__":
    main()

"""How long whole commands take on many sessions: ``python tests/benchmarks/listing.py``.

Prints wall time and the processor's own time of each command, since other work on the machine
lengthens the first and not much the second. "First" has to read every journal.
"""

import argparse
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

from archive import Shop, write_journals

GOAL_S, TIMES = 0.5, 5
COMMANDS = {
    "list": ["list"],
    "find by technician": ["find", "--technician", "kim"],
    "find by outcome and day": ["find", "--outcome", "found", "--from", "2020-01-01"],
    "find by words": ["find", "--said", "volts"],
    "totals": ["totals"],
}


def timed(records: Path, command: Sequence[str]) -> tuple[float, float]:
    """Wall time and processor time of a whole command, in seconds."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    began = time.perf_counter()
    options = [sys.executable, "-m", "voiceassist", "records", *command]
    subprocess.run(
        [*options, "--records", str(records)],
        check=True,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    wall = time.perf_counter() - began
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return wall, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main(arguments: Sequence[str]) -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sessions", type=int, default=5000)
    parser.add_argument("--lines", type=int, default=20)
    asked = parser.parse_args(arguments)
    with tempfile.TemporaryDirectory() as name:
        records = Path(name)
        lines = write_journals(records, Shop(), asked.sessions, asked.lines)
        print(f"{asked.sessions} sessions of {lines} lines; seconds, goal {GOAL_S} when warm")
        print(f"{'command':<26} {'wall':>8} {'processor':>10}")
        wall, used = timed(records, ["list"])
        print(f"{'first list':<26} {wall:>8.2f} {used:>10.2f}")
        for kind, command in COMMANDS.items():
            found = [timed(records, command) for _ in range(TIMES)]
            walls, useds = (statistics.median(each) for each in zip(*found, strict=True))
            print(f"{kind:<26} {walls:>8.2f} {useds:>10.2f}")


if __name__ == "__main__":
    main(sys.argv[1:])

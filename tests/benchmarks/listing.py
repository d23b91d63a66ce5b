"""How long whole commands take on many sessions: ``python tests/benchmarks/listing.py``.

Prints wall time and the processor's own time of each command, since other work on the machine
lengthens the first and not much the second. "First" has to read every journal, and so has
"verify", which holds each against the archive too. Exit 1 when a goal is missed by the
processor's time.
"""

import argparse
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

from voiceassist import __version__
from voiceassist.record import folder, times
from voiceassist.record.entry import FIRST_PREV, Entry
from voiceassist.record.report import report
from voiceassist.record.transcript import Transcript

GOAL_S, GOAL_FIRST_S, GOAL_VERIFY_S, TIMES = 0.5, 6.0, 8.0, 5
MADE: dict[str, Callable[[Transcript], str]] = {
    "transcript.vtt": Transcript.webvtt,
    "transcript.txt": Transcript.plain_text,
    "report.txt": lambda told: report(told.entries),
}
COMMANDS = {
    "list": ["list"],
    "find by technician": ["find", "--technician", "kim"],
    "find by outcome and day": ["find", "--outcome", "found", "--from", "2020-01-01"],
    "find by words": ["find", "--said", "volts"],
    "totals": ["totals"],
}


def write_journals(records: Path, sessions: int, steps: int) -> int:
    """Write so many journals, each with so many readings; the lines of all."""
    written = 0
    for number in range(sessions):
        began = datetime(2026, 1, 1, tzinfo=UTC) + timedelta(minutes=number)
        made = folder.create(records, "made", began)
        facts = {"technician": ("Kim", "Lee")[number % 2], "repair order": str(number)}
        head: dict[str, object] = {
            "event": "session",
            "procedure": "made",
            "facts": facts,
            "session": made.id,
        }
        head["version"] = __version__
        lines: list[dict[str, object]] = [head | {"sequence": number + 1}]
        for step in range(steps):
            shown = {"step": f"step-{step}", "value": "12.60", "unit": "V", "shown": "12.60 V"}
            lines.append({"event": "heard", "words": "twelve point six volts", "meanings": []})
            lines.append({"event": "reading", **shown})
        lines.append({"event": "end", "outcome": "found"})
        prev, entries = FIRST_PREV, list[Entry]()
        for seq, fields in enumerate(lines, 1):
            at = times.written(began + timedelta(seconds=seq))
            entry = Entry.made(fields, seq=seq, at=at, prev=prev)
            prev, written = entry.hash, written + 1
            entries.append(entry)
        made.journal.write_bytes(b"".join(entry.line for entry in entries))
        for file, make in MADE.items():
            (made.path / file).write_text(make(Transcript(entries)), encoding="utf-8")
    return written


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


def told(kind: str, wall: float, used: float, goal: float) -> bool:
    """Print a line of the table; True when the goal is met."""
    print(f"{kind:<26} {wall:>8.2f} {used:>10.2f} {goal:>6.1f}", flush=True)
    return used < goal


def main(arguments: Sequence[str]) -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sessions", type=int, default=5000)
    parser.add_argument("--readings", type=int, default=10)
    asked = parser.parse_args(arguments)
    with tempfile.TemporaryDirectory() as name:
        records = Path(name)
        lines = write_journals(records, asked.sessions, asked.readings)
        print(f"{asked.sessions} sessions of {lines} lines; seconds")
        print(f"{'command':<26} {'wall':>8} {'processor':>10} {'goal':>6}")
        good = told("first list", *timed(records, ["list"]), GOAL_FIRST_S)
        good = told("verify", *timed(records, ["verify"]), GOAL_VERIFY_S) and good
        for kind, command in COMMANDS.items():
            found = [timed(records, command) for _ in range(TIMES)]
            wall, used = (statistics.median(each) for each in zip(*found, strict=True))
            good = told(kind, wall, used, GOAL_S) and good
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

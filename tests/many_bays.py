"""Bays that write sessions into one archive, each a process, while somebody searches it."""

import os
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from shelf import job, kept

from voiceassist.archive.find import Wanted
from voiceassist.archive.store import Archive
from voiceassist.archive.sync import sync
from voiceassist.errors import ArchiveError
from voiceassist.record.bay import bay_id

HOUSE = Path(__file__).parents[1]


def work(where: str, records: Path, name: str, jobs: int, *, stays_open: bool) -> int:
    """Do so many jobs, and take each into the archive; how often it could not be opened.

    What could not be taken in is taken in with the next job; the last is tried until it is.
    """
    if stays_open:
        with Archive.open(where, bay_id(records)) as archive:
            for number in range(1, jobs + 1):
                _job(records, name, number)
                sync(archive, records)
        return 0
    refused = 0
    for number in range(1, jobs + 1):
        _job(records, name, number)
        refused += _taken_in(where, records, again=number == jobs)
    return refused


def _job(records: Path, name: str, number: int) -> None:
    kept(records, job(order=f"{name}-{number}"), number, finished=False)


def _taken_in(where: str, records: Path, *, again: bool) -> int:
    """Open the archive, as each command does; 1 when that was refused."""
    refused = 0
    while True:
        try:
            with Archive.open(where, bay_id(records)) as archive:
                sync(archive, records)
        except ArchiveError:
            refused = 1
            if again:
                time.sleep(0.2)
                continue
        return refused


@dataclass
class Bays:
    """What so many bays came to.

    Parts:
        seconds: that they took.
        refused: how often a bay could not open the archive, and went on without.
        asked: when each question was put, and the seconds that its answer took.
        told: what the bays that failed said.
    """

    seconds: float = 0.0
    refused: int = 0
    asked: list[tuple[float, float]] = field(default_factory=list)
    told: list[str] = field(default_factory=list)


def bays_at_work(
    where: str, home: Path, bays: int, jobs: int, meanwhile: Callable[[Callable[[], int]], None]
) -> Bays:
    """Let ``bays`` processes do ``jobs`` each, and search all the time.

    Args:
        where: the archive.
        home: gets a folder of records for each.
        bays, jobs: how many.
        meanwhile: called again and again with what tells how many sessions are taken in.
    """
    with Archive.open(where, "desk"):
        pass
    processes = [
        _started(where, home / f"bay{n}", jobs, stays_open=n % 2 == 0) for n in range(bays)
    ]
    began, found = time.monotonic(), Bays()
    with Archive.open(where, "desk") as archive:
        while any(process.poll() is None for process in processes):
            meanwhile(lambda: archive.counts()[0])
            at = time.monotonic()
            archive.find(Wanted(said="volts", limit=20))
            found.asked.append((at - began, time.monotonic() - at))
            time.sleep(0.02)
    found.seconds = time.monotonic() - began
    for process in processes:
        said, told = process.communicate(timeout=60)
        if process.returncode or told:
            found.told.append(told)
        else:
            found.refused += int(said)
    return found


def _started(where: str, records: Path, jobs: int, *, stays_open: bool) -> subprocess.Popen[str]:
    records.mkdir()
    own = {**os.environ, "PYTHONPATH": f"{HOUSE}:{HOUSE / 'tests'}"}
    program = (
        "import sys; from pathlib import Path; from many_bays import work; "
        "where, records, jobs, stays = sys.argv[1:]; at = Path(records); "
        "print(work(where, at, at.name, int(jobs), stays_open=stays == 'True'))"
    )
    return subprocess.Popen(
        [sys.executable, "-c", program, where, str(records), str(jobs), str(stays_open)],
        cwd=HOUSE, env=own, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip


def lost_or_doubled(where: str, home: Path, bays: int, jobs: int) -> Sequence[str]:
    """The repair orders that the archive does not hold just once, each with how often."""
    wanted = {f"bay{bay}-{number}" for bay in range(bays) for number in range(1, jobs + 1)}
    with Archive.open(where, "desk") as archive:
        rows = archive.find(Wanted())
        held = [row["repair_order"] for row in rows]
        wrong = [order for order in wanted if held.count(order) != 1]
        wrong += [order for order in held if order not in wanted]
        wrong += [row["folder"] for row in rows if row["chain"] != "intact"]
        if archive.counts() != (len(wanted), len(wanted)):  # each has one reading
            wrong.append(f"{archive.counts()} sessions and readings")
        if len(archive.find(Wanted(said="volts"))) != len(wanted):
            wrong.append("words")
        wrong += [f"seal of {folder}" for _, folder in archive.broken_seals()]
    for bay in range(bays):
        records = home / f"bay{bay}"
        with Archive.open(where, bay_id(records)) as archive:
            again = sync(archive, records)
            if again.sessions or again.missing or again.unreadable:
                wrong.append(f"bay{bay} was not all taken in")
    return wrong

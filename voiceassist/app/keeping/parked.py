"""Jobs that are parked: each leaves a mark in its folder, so that they are found at once.

The mark only says where to look; what is told comes from the journal.
"""

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from voiceassist.errors import RecordError
from voiceassist.record.facts import fact
from voiceassist.record.folder import SessionFolder
from voiceassist.record.lines import ParkedLine
from voiceassist.record.outcomes import PARKED_FOR
from voiceassist.record.read_journal import verify
from voiceassist.record.read_session import ReadSession

_MARK = "parked"


@dataclass(frozen=True, slots=True)
class ParkedJob:
    """A job that is parked.

    Parts:
        session: its name.
        title: of its procedure.
        job: repair order and vehicle, as far as they are known.
        why: what it is parked for, in words.
        since: when it was parked, RFC 3339.
    """

    session: str
    title: str
    job: tuple[str, ...]
    why: str
    since: str


def mark(folder: Path) -> None:
    """The job in ``folder`` is parked."""
    with suppress(OSError):
        (folder / _MARK).touch(mode=0o600)


def unmark(folder: Path) -> None:
    """It goes on."""
    with suppress(OSError):
        (folder / _MARK).unlink(missing_ok=True)


def is_marked(folder: Path) -> bool:
    """True for a job that was parked when it was left."""
    return (folder / _MARK).is_file()


def parked_jobs(records: Path) -> tuple[ParkedJob, ...]:
    """The jobs in ``records`` that are parked, the latest first; none that cannot be read."""
    found = [job for path in records.glob(f"*/{_MARK}") if (job := _job(path.parent)) is not None]
    return tuple(sorted(found, key=lambda job: job.since, reverse=True))


def _job(path: Path) -> ParkedJob | None:
    folder = SessionFolder(path)
    try:
        if folder.deleted:
            return None
        read = ReadSession(entry.typed for entry in verify(folder.journal).entries)
    except RecordError:
        return None
    if not read.parked:
        return None
    last = read.every(ParkedLine)[-1]
    job = (fact(read.facts, name) for name in ("repair order", "vehicle"))
    why = PARKED_FOR.get(read.parked, "parked")
    return ParkedJob(folder.id, read.head.title, tuple(filter(None, job)), why, last.at)


def in_rows(jobs: tuple[ParkedJob, ...]) -> Iterator[str]:
    """Each as a row for people."""
    for job in jobs:
        told = " | ".join([*job.job, f"{job.why}, since {job.since[:16].replace('T', ' ')}"])
        yield f"{job.session}  {job.title} | {told}"

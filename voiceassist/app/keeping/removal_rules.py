"""What both ways of removing share: the stub that is left, and how old a session is."""

import getpass
from collections.abc import Iterable
from datetime import datetime

from voiceassist.errors import RecordError
from voiceassist.record import times
from voiceassist.record.chain import Harm
from voiceassist.record.folder import SessionFolder
from voiceassist.record.read_journal import verify
from voiceassist.record.read_session import ReadSession
from voiceassist.record.removal import Removal


def removal_of(folder: SessionFolder, names: Iterable[str], reason: str, at: datetime) -> Removal:
    """The removal of the files called ``names``, by whoever runs this program.

    Raises:
        RecordError: the journal cannot be read.
    """
    found = verify(folder.journal) if folder.begun else None
    return Removal(
        session=folder.id,
        removed_at=times.written(at),
        by=user(),
        reason=reason,
        lines=len(found.entries) if found is not None else 0,
        last_hash=found.last_hash if found is not None else "",
        files=tuple(sorted(names)),
    )


def ended_at(folder: SessionFolder) -> datetime | None:
    """When the last line of the job was written; None when the journal has no line.

    Raises:
        RecordError: it cannot be read, or a line was altered: past that nobody knows its age.
    """
    found = verify(folder.journal)
    if found.fault is not None and found.fault.harm is not Harm.TORN:
        raise RecordError(
            f"its age is not known: line {found.fault.line} was altered",
            place=str(folder.journal),
            remedy="delete it by its name",
        )
    read = ReadSession(entry.typed for entry in found.entries)
    return found.entries[len(read.job_lines) - 1].at if read.lines else None


def user() -> str:
    """Who runs this program."""
    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):
        return "unknown"

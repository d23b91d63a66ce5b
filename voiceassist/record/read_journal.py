"""Reads a journal, open or not, and looks whether it is as it was written."""

import errno
from pathlib import Path

from voiceassist.errors import RecordError
from voiceassist.record import disk
from voiceassist.record.chain import ChainFault, ChainReport, Harm, examine
from voiceassist.record.entry import Entry


def read(path: Path) -> tuple[Entry, ...]:
    """The lines of the journal at ``path``, open or not; what is torn at its end is left out.

    Raises:
        RecordError: it cannot be read, or was altered.
    """
    report = verify(path)
    if report.fault is not None and report.fault.harm is not Harm.TORN:
        raise altered(path, report.fault)
    return report.entries


def verify(path: Path, known_hash: str = "") -> ChainReport:
    """Whether the journal at ``path`` is as it was written.

    Args:
        path: the journal.
        known_hash: last hash as kept elsewhere, in a printed report for example; with it, a
            cut end is seen too.

    Raises:
        RecordError: it cannot be read.
    """
    try:
        return examine(disk.read_whole(path), known_hash)
    except OSError as error:
        raise refused("the journal cannot be read", path, error) from None


def altered(path: Path, fault: ChainFault) -> RecordError:
    """The journal at ``path`` is not as it was written."""
    return RecordError(
        f"the journal was altered: {fault.found}",
        place=f"{path}, line {fault.line}",
        remedy="keep it as it is, and begin a new session",
    )


def refused(found: str, path: Path, error: OSError) -> RecordError:
    """The disk refuses the journal at ``path``: ``found``, and why."""
    return RecordError(
        f"{found}: {disk.reason(error)}",
        place=str(path),
        remedy="move it away"
        if error.errno == errno.EINVAL
        else "choose another folder for records, or make this one writable",
    )

"""Records verified: every journal's chain, what is made from it, and the archive."""

from collections.abc import Iterator, Sequence
from typing import Any

from voiceassist import __version__
from voiceassist.app.records import Records
from voiceassist.app.records_session import resolved
from voiceassist.archive.verify import Verified, verified
from voiceassist.errors import ArchiveError, RecordError
from voiceassist.record.folder import SessionFolder, sessions

ALL = "all"
CANNOT_SEE = (
    "an end that was cut before the archive, a report or a transcript had seen it",
    "a journal written anew as a whole, together with all that holds a hash of it",
    "sound that was changed, where the journal holds no hash of it",
    "pages, and other files of a session, that the journal holds no hash of: make pages anew",
)


def verify(records: Records, names: Sequence[str]) -> Iterator[dict[str, Any]]:
    """Look through sessions, as the JSON objects of ``records verify``.

    Args:
        names: as people call them; none, or "all", for every one.

    Raises:
        RecordError: one of ``names`` is not found.
    """
    everything = not names or ALL in names
    records.sync()
    folders = _all(records) if everything else [resolved(records, name) for name in names]
    for folder in folders:
        try:
            yield _about(verified(folder, records.archive, __version__))
        except (RecordError, ArchiveError) as error:
            problem = {"kind": "unreadable", "file": "", "line": 0, "found": str(error)}
            yield _about(Verified(folder.id)) | {"ok": False, "problems": [problem]}


def _all(records: Records) -> list[SessionFolder]:
    """Every session that was begun, those whose folder is gone too."""
    there = {
        folder.id: folder for folder in sessions(records.folder) if folder.begun or folder.deleted
    }
    known = {name: SessionFolder(records.folder / name) for name in records.archive.known()}
    return [folder for _, folder in sorted((known | there).items())]


def _about(found: Verified) -> dict[str, Any]:
    return {
        "session": found.session,
        "ok": not found.problems,
        "lines": found.lines,
        "last_hash": found.last_hash,
        "held_by": list(found.held_by),
        "problems": [
            {"kind": p.kind, "file": p.file, "line": p.line, "found": p.found}
            for p in found.problems
        ],
        "notes": list(found.notes),
        "cannot_see": list(CANNOT_SEE),
    }

"""Whether a session's folder, and what the archive holds of it, are as they were written."""

import os
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from voiceassist.archive import verify_files, verify_rows
from voiceassist.archive.ahead import Holding
from voiceassist.archive.asking import Seal
from voiceassist.archive.named import clock_notes, false_deletion, misnamed, newer_notes
from voiceassist.archive.problems import Audit, Problem
from voiceassist.archive.rows import own_id
from voiceassist.errors import ArchiveContentError
from voiceassist.record import removal
from voiceassist.record.chain import ChainReport
from voiceassist.record.folder import JOURNAL, STUB, SessionFolder
from voiceassist.record.read_journal import verify
from voiceassist.record.transcript import Transcript

__all__ = ["Problem", "Verified", "verified"]

_REMAINS = (
    "it is here, and the stub says that all was deleted: that broke off, or the stub is false"
)


@dataclass(frozen=True, slots=True)
class Verified:
    """What looking through a session gave.

    Parts:
        session: its id.
        problems: empty when all is as it was written.
        notes: what could not be compared, and why.
        lines, last_hash: of the journal's good lines.
        held_by: where else a hash of this journal is kept and was compared; without any, a cut
            end cannot be seen.
        journal: as it was read; None where there is none.
    """

    session: str
    problems: tuple[Problem, ...] = ()
    notes: tuple[str, ...] = ()
    lines: int = 0
    last_hash: str = ""
    held_by: tuple[str, ...] = ()
    journal: ChainReport | None = None


def verified(
    folder: SessionFolder,
    archive: Holding | None,
    version: str,
    *,
    rows: bool = True,
    known_hash: str = "",
) -> Verified:
    """Look through the session in ``folder``.

    Args:
        folder: where it lies, or lay.
        archive: up to date with that folder, where ``rows`` are compared; None without one.
        version: of this program; files that another one made cannot be compared word by word.
        rows: compare what the archive tells of the session, not only its seal.
        known_hash: of a line that must be there, or its beginning, as a page has it.

    Raises:
        RecordError: the journal is there but cannot be read.
    """
    look = Audit()
    seal = _seal(look, archive, folder.id)  # before the journal, which may grow
    if (stub := removal.stub(folder)) is not None:
        look.problems += [Problem("remains", name, 0, _REMAINS) for name in removal.remains(folder)]
        if false := false_deletion(stub, seal):
            look.add("changed", STUB, 0, false)
        return Verified(folder.id, tuple(look.problems), ("the session was deleted",))
    look.notes += _links(folder)
    if not folder.journal.exists():
        look.add("missing", JOURNAL, 0, "the journal is gone, and nobody deleted the session here")
        return Verified(folder.id, tuple(look.problems), tuple(look.notes))
    found = verify(folder.journal)
    if archive is not None:
        seal = seal or _seal(look, archive, folder.id, own_id(found.entries))
    _chain(look, found)
    _sealed(look, found, seal)
    _known(look, found, known_hash)
    _beside(look, folder, found, version, archive if rows else None)
    return Verified(
        folder.id,
        tuple(look.problems),
        tuple(look.notes),
        len(found.entries),
        found.last_hash,
        tuple(look.held_by),
        found,
    )


def _beside(
    look: Audit, folder: SessionFolder, found: ChainReport, version: str, archive: Holding | None
) -> None:
    """Hold the journal against what lies beside it, its own name and times, and the archive."""
    first = cache(lambda lines: Transcript(found.entries[:lines]))  # most files tell all of them
    verify_files.made_files(look, folder, found, version, first)
    verify_files.page(look, folder, found)
    verify_files.followed(look, folder, found)
    verify_files.sound(look, folder, found)
    verify_files.pictures(look, folder, found)
    if misnaming := misnamed(folder.id, found.entries):
        look.add("renamed", JOURNAL, 1, misnaming)
    look.notes += clock_notes(found.entries)
    look.notes += newer_notes(found.entries)
    if archive is not None:
        try:
            verify_rows.rows(look, folder, found, archive, first(len(found.entries)).read)
        except ArchiveContentError as error:
            look.spoilt(error)


def _links(folder: SessionFolder) -> Iterator[str]:
    """What is a link leads out of the folder, and whoever copies the folder must know."""
    places = [folder.path]
    with suppress(OSError), os.scandir(folder.path) as entries:
        places += sorted(Path(entry.path) for entry in entries if entry.is_symlink())
    for path in places:
        with suppress(OSError):
            if path.is_symlink():
                yield f"{path.name} is a link; what was looked at is {os.readlink(path)}"


def _seal(look: Audit, archive: Holding | None, folder: str, own_id: str = "") -> Seal | None:
    try:
        return archive.seal(folder, own_id) if archive else None
    except ArchiveContentError as error:
        look.spoilt(error)
        return None


def _chain(look: Audit, found: ChainReport) -> None:
    if found.fault is not None:
        look.add(found.fault.harm.value, JOURNAL, found.fault.line, found.fault.found)
    elif not found.entries:
        look.add("empty", JOURNAL, 0, "it is empty: no line of the session was ever written")


def _sealed(look: Audit, found: ChainReport, seal: Seal | None) -> None:
    """Hold the journal against the last line that the archive has ever seen of it."""
    if seal is None:
        return
    look.held_by.append("archive")
    if found.fault is None:
        look.hold(found.entries, seal, "the archive")


def _known(look: Audit, found: ChainReport, known_hash: str) -> None:
    """Hold the journal against a hash that somebody has on paper."""
    if not known_hash:
        return
    seq = next((e.seq for e in found.entries if e.hash.startswith(known_hash)), 0)
    if not seq:
        look.add("hash", JOURNAL, 0, f"no line of it has the hash {known_hash}")
        return
    look.held_by.append("the hash given")
    since = len(found.entries) - seq
    later = f"; {since} were written since" if since else ", the last"
    look.notes.append(f"the hash given is that of line {seq} of {len(found.entries)}{later}")

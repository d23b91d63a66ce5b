"""Imports whatever the journals hold that the archive does not yet have.

A journal is read when its size or time of change is not what the archive has. Others are
passed over, so that looking through many sessions costs one listing and one question. Any
number of processes may do this at once: each session is put whole, in one transaction.
"""

import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from stat import S_ISREG

from voiceassist.archive.store import Archive, FileMark
from voiceassist.archive.synced import PointsOf, Progress, Synced
from voiceassist.record.folder import JOURNAL, STUB, SessionFolder, session_names

__all__ = ["PointsOf", "Progress", "Synced", "sync"]

#: After so many sessions at once the database looks at its tables anew.
_MANY = 500


def sync(
    archive: Archive,
    records: Path,
    points_of: PointsOf = lambda _: {},
    *,
    anew: bool = False,
    progress: Progress = lambda done, of: None,
) -> Synced:
    """Bring ``archive`` up to what lies in ``records``.

    Args:
        archive: of that folder's place.
        records: folder of records.
        points_of: test points of a session's procedure.
        anew: read every journal, changed or not.
        progress: told how many journals of how many are read, now and then.

    Raises:
        RecordError: the folder cannot be read.
        ArchiveError: the database fails; what was put so far stays.
    """
    known = archive.known()
    there = _look(records, {} if anew else known)
    held = {mark.sid: name for name, mark in known.items() if name in there.names}
    done = _taken_in(archive, there, held, points_of, progress)
    gone = sorted(known.keys() - there.names)
    _note(archive, [name for name in gone if not known[name].missing], missing=True)
    back = [name for name in known if known[name].missing and name in there.names]
    _note(archive, back, missing=False)
    if done.sessions >= _MANY:
        archive.tune()
    return replace(
        done,
        missing=tuple(gone),
        unreadable=(*there.odd, *done.unreadable),
        passed_over=(*there.foreign, *done.passed_over),
    )


def _taken_in(
    archive: Archive,
    there: "_There",
    held: Mapping[str, str],
    points_of: PointsOf,
    progress: Progress,
) -> Synced:
    known = archive.deleted() if there.stubs else frozenset()
    fresh = [folder for folder in there.stubs if folder.id not in known]
    if not fresh and not there.changed:
        return Synced()
    from voiceassist.archive.taking import Work  # what reads journals takes long to import

    work = Work(archive, points_of, progress, held)
    work.forget(fresh)
    work.take(there.changed)
    return work.done


def _note(archive: Archive, folders: Sequence[str], *, missing: bool) -> None:
    if folders:
        archive.set_missing(folders, missing=missing)


def _same(known: FileMark | None, found: os.stat_result) -> bool:
    return known is not None and (known.size, known.mtime_ns) == (found.st_size, found.st_mtime_ns)


@dataclass(frozen=True, slots=True)
class _There:
    """What lies in a folder of records: changed journals, stubs, and the names of all.

    Those of other accounts in ``foreign``, journals that are no files in ``odd``, a sentence each.
    """

    changed: Sequence[SessionFolder]
    stubs: Sequence[SessionFolder]
    names: frozenset[str]
    foreign: Sequence[str]
    odd: Sequence[str]


def _look(records: Path, known: Mapping[str, FileMark]) -> _There:
    """Two questions to the disk for each session: a stub counts, whatever else is left there."""
    changed, stubs, foreign, odd, names = [], [], list[str](), list[str](), set[str]()
    top = os.fspath(records)
    for name in session_names(records):
        place = f"{top}/{name}"  # joined as text: a path takes longer than asking the disk
        stamp = _stamp(f"{place}/{JOURNAL}")
        stub = os.path.exists(f"{place}/{STUB}")
        if stamp is not None and not stub and _same(known.get(name), stamp):
            names.add(name)
            continue
        folder = SessionFolder(records / name)
        if stub:
            stubs.append(folder)
        elif (why := folder.refused) and stamp is not None and not S_ISREG(stamp.st_mode):
            odd.append(f"{folder.journal}: {why}")
        elif why:
            foreign.append(f"Passed over, since it cannot be read here: {name} ({why})")
        elif stamp is None:
            continue
        else:
            changed.append(folder)
        names.add(name)
    return _There(changed, stubs, frozenset(names), foreign, odd)


def _stamp(journal: str) -> os.stat_result | None:
    try:
        return os.stat(journal)
    except OSError:
        return None  # no journal was begun there yet, or it is gone

"""Takes into the archive what the journals of a folder of records hold more than it.

A journal is read when its size or time of change is not what the archive has. Others are
passed over, so that looking through many sessions costs one listing and one question. Any
number of processes may do this at once: each session is put whole, in one transaction.
"""

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from stat import S_ISREG

from voiceassist.archive.named import false_deletion
from voiceassist.archive.rows import Taken
from voiceassist.archive.store import Archive, Mark
from voiceassist.errors import RecordError
from voiceassist.record import removal
from voiceassist.record.folder import JOURNAL, STUB, SessionFolder, sessions
from voiceassist.record.journal import verify

#: Lines that are put in one transaction: long enough to be quick, short enough to let others in.
_LINES = 10_000
_FALSE = "it does not fit what the archive has seen of the session; see: voiceassist records verify"
#: After so many sessions at once the database looks at its tables anew.
_MANY = 500
#: Test points of each step of the procedure in a session's folder.
PointsOf = Callable[[SessionFolder], Mapping[str, Sequence[str]]]
Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Synced:
    """What a look through the folders came to.

    Parts:
        sessions, lines: how many journals were read, and how many good lines they have.
        deleted: how many stubs were found anew.
        missing: folders that are gone, though nobody deleted them here.
        unreadable: one sentence for each journal or stub that cannot be read.
        passed_over: one for each session that is not for this account, or is a copy of another.
    """

    sessions: int = 0
    lines: int = 0
    deleted: int = 0
    missing: tuple[str, ...] = ()
    unreadable: tuple[str, ...] = ()
    passed_over: tuple[str, ...] = ()


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
    work = _Work(archive, points_of, progress, held)
    work.forget(there.stubs)
    work.take(there.changed)
    gone = sorted(known.keys() - there.names)
    _note(archive, [name for name in gone if not known[name].missing], missing=True)
    back = [name for name in known if known[name].missing and name in there.names]
    _note(archive, back, missing=False)
    if work.done.sessions >= _MANY:
        archive.tune()
    return replace(
        work.done,
        missing=tuple(gone),
        unreadable=(*there.odd, *work.unreadable),
        passed_over=(*there.foreign, *work.copies),
    )


def _note(archive: Archive, folders: Sequence[str], *, missing: bool) -> None:
    if folders:
        archive.set_missing(folders, missing=missing)


def _same(known: Mark | None, found: os.stat_result) -> bool:
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


def _look(records: Path, known: Mapping[str, Mark]) -> _There:
    """Two questions to the disk for each session: a stub counts, whatever else is left there."""
    changed, stubs, foreign, odd, names = [], [], list[str](), list[str](), set[str]()
    for folder in sessions(records):
        place = os.fspath(folder.path)  # joined as text: a path takes longer than asking the disk
        stamp = _stamp(f"{place}/{JOURNAL}")
        if os.path.exists(f"{place}/{STUB}"):
            stubs.append(folder)
        elif stamp is not None and _same(known.get(folder.id), stamp):
            pass
        elif (why := folder.refused) and stamp is not None and not S_ISREG(stamp.st_mode):
            odd.append(f"{folder.journal}: {why}")
        elif why:
            foreign.append(f"Passed over, since it cannot be read here: {folder.id} ({why})")
        elif stamp is None:
            continue
        else:
            changed.append(folder)
        names.add(folder.id)
    return _There(changed, stubs, frozenset(names), foreign, odd)


def _stamp(journal: str) -> os.stat_result | None:
    try:
        return os.stat(journal)
    except OSError:
        return None  # no journal was begun there yet, or it is gone


class _Work:
    """Puts sessions in portions, and counts."""

    def __init__(
        self,
        archive: Archive,
        points_of: PointsOf,
        progress: Progress,
        held: Mapping[str, str],
    ) -> None:
        self._archive = archive
        self._held = dict(held)  # id of each session that is known, and the folder it is in
        self._points_of = points_of
        self._progress = progress
        self._procedures: dict[str, Mapping[str, Sequence[str]]] = {}
        self.done = Synced()
        self.unreadable: list[str] = []
        self.copies: list[str] = []

    def forget(self, folders: Sequence[SessionFolder]) -> None:
        """Take out what was deleted, unless that is known."""
        known = self._archive.deleted() if folders else frozenset()
        fresh = [
            stub for folder in folders if folder.id not in known for stub in self._stub(folder)
        ]
        if fresh:
            self._archive.forget(fresh)
            self.done = replace(self.done, deleted=len(fresh))

    def _stub(self, folder: SessionFolder) -> Iterator[removal.Removal]:
        try:
            found = removal.stub(folder)
            if found is not None and false_deletion(found, self._archive.seal(folder.id)):
                self.unreadable.append(f"{folder.path / STUB}: {_FALSE}")
            elif found is not None:
                yield found
        except RecordError as error:
            self.unreadable.append(str(error))

    def take(self, folders: Sequence[SessionFolder]) -> None:
        """Read these journals and put them."""
        portion: list[Taken] = []
        for count, folder in enumerate(folders, 1):
            portion += self._read(folder)
            if sum(len(one.hashes) for one in portion) >= _LINES or count == len(folders):
                if portion:
                    self._archive.put(portion)
                self._count(portion)
                portion = []
                self._progress(count, len(folders))

    def _count(self, portion: Sequence[Taken]) -> None:
        lines = self.done.lines + sum(len(one.hashes) for one in portion)
        self.done = replace(self.done, sessions=self.done.sessions + len(portion), lines=lines)

    def _read(self, folder: SessionFolder) -> Iterator[Taken]:
        """The session; the stamp is taken before the content, so that no growth is missed."""
        try:
            stamp = os.stat(folder.journal)
            report = verify(folder.journal)
        except OSError:
            return  # removed meanwhile
        except RecordError as error:
            self.unreadable.append(str(error))
            return
        taken = Taken.of(folder.id, report, stamp.st_size, stamp.st_mtime_ns)
        if self._is_copy(taken):
            return
        yield replace(taken, points=self._points(folder, taken.summary.procedure_sha256))

    def _is_copy(self, taken: Taken) -> bool:
        """Another folder here holds the session already; one that has its very name comes first."""
        sid = taken.sid(self._archive.place)
        holder = self._held.setdefault(sid, taken.folder)
        if holder == taken.folder:
            return False
        own = taken.own_id == taken.folder
        copy, of = (holder, taken.folder) if own else (taken.folder, holder)
        self._held[sid] = of
        self.copies.append(f"{copy}: this is a copy of {of}, and is not counted")
        return not own

    def _points(self, folder: SessionFolder, sha: str) -> Mapping[str, Sequence[str]]:
        """Read once for each text of a procedure."""
        if sha and sha not in self._procedures:
            self._procedures[sha] = self._points_of(folder)
        return self._procedures.get(sha, {})

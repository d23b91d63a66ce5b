"""Reads the journals that are new or longer, and the stubs of deleted sessions, for the archive."""

import os
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from voiceassist.archive.named import false_deletion
from voiceassist.archive.rows import TakenSession
from voiceassist.archive.store import Archive
from voiceassist.archive.synced import PointsOf, Progress, Synced
from voiceassist.errors import RecordError
from voiceassist.record import removal
from voiceassist.record.folder import STUB, SessionFolder
from voiceassist.record.read_journal import verify

#: Lines that are put in one transaction: long enough to be quick, short enough to let others in.
_LINES = 10_000
_FALSE = "it does not fit what the archive has seen of the session; see: voiceassist records verify"


class Work:
    """Puts sessions in portions, and counts."""

    def __init__(
        self, archive: Archive, points_of: PointsOf, progress: Progress, held: Mapping[str, str]
    ) -> None:
        self._archive = archive
        self._held = dict(held)  # id of each session that is known, and the folder it is in
        self._points_of = points_of
        self._progress = progress
        self._procedures: dict[str, Mapping[str, Sequence[str]]] = {}
        self._done = Synced()
        self._unreadable: list[str] = []
        self._copies: list[str] = []

    @property
    def done(self) -> Synced:
        """What it came to so far."""
        unreadable, copies = tuple(self._unreadable), tuple(self._copies)
        return replace(self._done, unreadable=unreadable, passed_over=copies)

    def forget(self, folders: Sequence[SessionFolder]) -> None:
        """Take out what was deleted."""
        fresh = [stub for folder in folders for stub in self._stub(folder)]
        if fresh:
            self._archive.forget(fresh)
            self._done = replace(self._done, deleted=len(fresh))

    def _stub(self, folder: SessionFolder) -> Iterator[removal.Removal]:
        try:
            found = removal.stub(folder)
            if found is not None and false_deletion(found, self._archive.seal(folder.id)):
                self._unreadable.append(f"{folder.path / STUB}: {_FALSE}")
            elif found is not None:
                yield found
        except RecordError as error:
            self._unreadable.append(str(error))

    def take(self, folders: Sequence[SessionFolder]) -> None:
        """Read these journals and put them."""
        portion: list[TakenSession] = []
        for count, folder in enumerate(folders, 1):
            portion += self._read(folder)
            if sum(len(one.hashes) for one in portion) >= _LINES or count == len(folders):
                if portion:
                    self._archive.put(portion)
                self._count(portion)
                portion = []
                self._progress(count, len(folders))

    def _count(self, portion: Sequence[TakenSession]) -> None:
        lines = self._done.lines + sum(len(one.hashes) for one in portion)
        self._done = replace(self._done, sessions=self._done.sessions + len(portion), lines=lines)

    def _read(self, folder: SessionFolder) -> Iterator[TakenSession]:
        """The session; the stamp is taken before the content, so that no growth is missed."""
        try:
            stamp = os.stat(folder.journal)
            report = verify(folder.journal)
        except OSError:
            return  # removed meanwhile
        except RecordError as error:
            self._unreadable.append(str(error))
            return
        taken = TakenSession.of(folder.id, report, stamp.st_size, stamp.st_mtime_ns)
        if self._is_copy(taken):
            return
        yield replace(taken, points=self._points(folder, taken.summary.procedure_sha256))

    def _is_copy(self, taken: TakenSession) -> bool:
        """Another folder here holds the session already; one that has its very name comes first."""
        sid = taken.sid(self._archive.place)
        holder = self._held.setdefault(sid, taken.folder)
        if holder == taken.folder:
            return False
        own = taken.own_id == taken.folder
        copy, of = (holder, taken.folder) if own else (taken.folder, holder)
        self._held[sid] = of
        self._copies.append(f"{copy}: this is a copy of {of}, and is not counted")
        return not own

    def _points(self, folder: SessionFolder, sha: str) -> Mapping[str, Sequence[str]]:
        """Read once for each text of a procedure."""
        if sha and sha not in self._procedures:
            self._procedures[sha] = self._points_of(folder)
        return self._procedures.get(sha, {})

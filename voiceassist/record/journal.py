"""The journal of a session: a file of JSON lines that only grows, each chained to the last.

``entry.py`` says what a line holds, ``chain.py`` what the chain shows. Here they meet the disk:

* ``append`` returns when its lines are on the disk (one write, one fsync), or when the disk
  has refused them. It raises nothing for the disk's sake: the technician under the dash must
  be able to finish the reading. Refused lines wait in memory, in order, and go with the next
  ``append`` or ``flush``; ``durable`` says whether any wait and ``trouble`` says why.
* A disk that came back, or a journal that was deleted meanwhile, is opened or written anew
  from memory. A file that is not what this session wrote is left alone.
* One session at a time: the file is locked (flock) from ``create`` or ``open`` to ``close``.
* Times come from the ``clock`` given, or with each line as ``at``. Order is ``seq``, not time.

A journal belongs to one thread.
"""

import errno
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import Self

from voiceassist.errors import JournalInUseError, RecordError
from voiceassist.record import disk, times
from voiceassist.record.chain import ChainReport, Harm, examine
from voiceassist.record.disk import AppendFile, Files
from voiceassist.record.disk_trouble import Trouble
from voiceassist.record.entry import FIRST_PREV, Entry
from voiceassist.record.read_journal import altered, refused

Clock = Callable[[], datetime]
#: After these the open file is still good; after others it may be another disk by now.
_ONLY_FULL = frozenset({errno.ENOSPC, errno.EDQUOT, errno.EFBIG})


class Journal:
    """An open journal. Make it with ``create`` or ``open``, and close it."""

    def __init__(
        self, path: Path, clock: Clock, file: AppendFile, entries: Sequence[Entry], files: Files
    ) -> None:
        self._path = path
        self._clock = clock
        self._files = files
        self._file = file
        self._entries = list(entries)
        self._kept = len(self._entries)  # how many of them are on the disk
        self._must_reopen = False
        self._closed = False
        self.trouble: Trouble | None = None

    @classmethod
    def create(cls, path: Path, clock: Clock, files: Files = AppendFile) -> "Journal":
        """Begin a journal, making its folder where missing.

        Args:
            path: where; nothing is there yet.
            clock: the time of each line that brings none.
            files: opens its file, now and after trouble.

        Raises:
            RecordError: there is one already, or the disk refuses it.
        """
        if path.exists():
            raise RecordError(
                "there is already a journal", place=str(path), remedy="continue it instead"
            )
        try:
            disk.make_folder(path.parent)
            return cls(path, clock, files.create(path), (), files)
        except OSError as error:
            raise refused("the journal cannot be begun", path, error) from None

    @classmethod
    def open(cls, path: Path, clock: Clock, files: Files = AppendFile) -> "Journal":
        """Go on with a journal; the arguments are those of ``create``.

        What a power cut left of a torn last line is moved to a file beside the journal, named
        with ``.torn-`` and the number of the line that takes its place; that line has the
        event ``repaired``, with ``bytes`` and ``kept_in``.

        Raises:
            RecordError: it is missing, open in another session, or altered; or the disk refuses.
        """
        try:
            file = files.open(path)
        except BlockingIOError:
            raise JournalInUseError(
                "another session has this journal open",
                place=str(path),
                remedy="finish that session first",
            ) from None
        except OSError as error:
            raise refused("the journal cannot be opened", path, error) from None
        try:
            return cls._opened(path, clock, file, files)
        except OSError as error:
            file.close()
            raise refused("the journal cannot be mended", path, error) from None
        except BaseException:
            file.close()
            raise

    @classmethod
    def _opened(cls, path: Path, clock: Clock, file: AppendFile, files: Files) -> "Journal":
        report = examine(file.read())
        if report.fault is not None and report.fault.harm is not Harm.TORN:
            raise altered(path, report.fault)
        journal = cls(path, clock, file, report.entries, files)
        journal._repair(report)
        return journal

    def _repair(self, report: ChainReport) -> None:
        """Safe at every moment: should the power go again, the next ``open`` carries on here."""
        aside = self._path.with_name(f"{self._path.name}.torn-{len(report.entries) + 1}")
        earlier = aside.read_bytes() if aside.exists() else b""
        torn = earlier if earlier.endswith(report.tail) else earlier + report.tail
        if torn != earlier:
            disk.write_whole(aside, torn)
        if report.tail:
            self._file.cut(report.size)
        if torn:
            from voiceassist.record.lines import Repaired

            self.append([Repaired.made(bytes=len(torn), kept_in=aside.name)])

    # --- what is in it ---

    @property
    def entries(self) -> tuple[Entry, ...]:
        """All its lines, those that wait in memory too."""
        return tuple(self._entries)

    @property
    def last_hash(self) -> str:
        """Hash of its last line; 64 zeros when there is none."""
        return self._entries[-1].hash if self._entries else FIRST_PREV

    @property
    def durable(self) -> bool:
        """Every line is on the disk."""
        return self._kept == len(self._entries)

    # --- writing ---

    def append(self, lines: Sequence[Mapping[str, object]]) -> tuple[Entry, ...]:
        """Add ``lines``, all or none of them before a power cut is survived.

        Args:
            lines: JSON-able fields with ``event``; with ``at`` (RFC 3339) when the clock of
                the journal is not meant.

        Returns:
            The entries made, on the disk unless ``durable`` says otherwise.

        Raises:
            TypeError, ValueError: a line cannot be written; none of ``lines`` was added.
        """
        self._must_be_open()
        before = len(self._entries)
        try:
            for fields in lines:
                self._entries.append(self._made(fields))
        except BaseException:
            del self._entries[before:]
            raise
        self.flush()
        return tuple(self._entries[before:])

    def flush(self) -> bool:
        """Write what waits, if anything does.

        Returns:
            ``durable``.
        """
        self._must_be_open()
        if self.durable:
            return True
        try:
            if self._must_reopen:
                self._reopen()
            self._file.add(b"".join(entry.line for entry in self._entries[self._kept :]))
        except OSError as error:
            self._must_reopen = self._must_reopen or error.errno not in _ONLY_FULL
            waiting = len(self._entries) - self._kept
            self.trouble = Trouble(str(self._path), disk.reason(error), waiting)
            return False
        self._kept = len(self._entries)
        self.trouble = None
        return True

    def close(self) -> None:
        """Write what waits and let go of the file.

        Raises:
            RecordError: lines are not on the disk; they are lost when the program ends.
        """
        if self._closed:
            return
        self.flush()
        self._file.close()
        self._closed = True
        if self.trouble is not None:
            raise RecordError(
                f"{self.trouble.found}, and {self.trouble.waiting} lines were not kept",
                place=str(self._path),
                remedy="make the disk writable and write down what was done since",
            )

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: object, error: object, trace: object) -> None:
        """Close; lines that were not kept raise only when no other error is on its way."""
        try:
            self.close()
        except RecordError:
            if error is None:
                raise

    def _made(self, fields: Mapping[str, object]) -> Entry:
        at = fields.get("at")
        if at is None:
            at = times.written(self._clock())
        if not isinstance(at, str):
            raise TypeError("at is a string, as RFC 3339 has it")
        return Entry.made(fields, seq=len(self._entries) + 1, at=at, prev=self.last_hash)

    def _reopen(self) -> None:
        """Open the file by its name again; one that is gone is begun anew with all lines."""
        self._file.close()
        try:
            self._file = self._files.open(self._path)
        except FileNotFoundError:
            self._file = self._files.create(self._path)
            self._kept = 0
        kept = b"".join(entry.line for entry in self._entries[: self._kept])
        if not self._file.read().startswith(kept):
            raise OSError(errno.ESTALE, "another file has taken its place", str(self._path))
        self._file.size = len(kept)
        self._must_reopen = False

    def _must_be_open(self) -> None:
        if self._closed:
            raise RuntimeError("the journal is closed")

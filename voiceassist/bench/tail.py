"""A journal that grows, read line by line as it is written; nothing is locked or written."""

import os
import stat
from pathlib import Path

from voiceassist.record.chain import AFTER_END, entry_in
from voiceassist.record.entry import FIRST_PREV, Entry
from voiceassist.record.lines import Line

#: So much is read at a time, so that a huge file cannot fill the memory.
_MOST = 4_000_000
#: What tells one file from another, and one state of it from the next.
_Seen = tuple[int, int, int, int]


class Tail:
    """The lines of one journal, from the first on.

    Args:
        path: of the journal; it need not be there yet.

    Parts:
        fault: what is wrong with it, and where; empty when nothing is. No line after that counts.
        inode: number of the file, 0 while there is none.
        changed_s: when the file was last written, seconds since 1970; 0 while there is none.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._begin_anew()

    def _begin_anew(self) -> None:
        self._seen: _Seen | None = None
        self._size = 0
        self._count, self._prev, self._ended = 0, FIRST_PREV, False
        self.fault = ""
        self.inode, self.changed_s = 0, 0.0

    def look(self) -> tuple[bool, list[Line]]:
        """What is new.

        Returns:
            True when all lines begin anew, since another file has taken the place of the one that
            was read, or it was cut; and the lines that came.
        """
        try:
            found = os.stat(self._path)
        except OSError:
            return False, []  # gone for a moment, or for good: what was read stands
        now = (found.st_dev, found.st_ino, found.st_size, found.st_mtime_ns)
        if now == self._seen or not stat.S_ISREG(found.st_mode):
            return False, []
        anew = self._seen is not None and (now[:2] != self._seen[:2] or found.st_size < self._size)
        if anew:
            self._begin_anew()
        lines = [] if self.fault else self._read()
        if self._size >= found.st_size or not lines:
            self._seen = now  # else there is more to be read at once
        self.inode, self.changed_s = found.st_ino, found.st_mtime
        return anew, lines

    def _read(self) -> list[Line]:
        try:
            with open(self._path, "rb") as file:
                file.seek(self._size)
                data = file.read(_MOST)
        except OSError:
            return []
        whole, newline, _torn = data.rpartition(b"\n")
        self._size += len(whole) + len(newline)
        taken = (self._taken(line) for line in whole.split(b"\n")) if newline else ()
        return [line for line in taken if line is not None]

    def _taken(self, written: bytes) -> Line | None:
        """The line as it was written; None from the first one on that is not as it was."""
        if self.fault:
            return None
        entry = entry_in(written)
        why = entry if isinstance(entry, str) else self._misfit(entry)
        if why or isinstance(entry, str):
            self.fault = f"line {self._count + 1}: {why}"
            return None
        self._count, self._prev = self._count + 1, entry.hash
        self._ended = self._ended or entry.event == "end"
        return entry.typed

    def _misfit(self, entry: Entry) -> str:
        if entry.seq != self._count + 1 or entry.prev != self._prev:
            return "it does not follow the line before"
        if self._ended and entry.event not in AFTER_END:
            return "it was added after the job was closed"
        return ""

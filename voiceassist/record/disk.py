"""Files and folders that are on the disk when a function returns, readable by their owner alone."""

import errno
import fcntl
import os
import re
import secrets
import stat
from contextlib import suppress
from pathlib import Path
from typing import Protocol, Self

FILE_MODE = 0o600
FOLDER_MODE = 0o700
_DRAFT = re.compile(r"\.[0-9a-f]{8}\..+", re.ASCII)

_REASONS = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "the quota of the disk is used up",
    errno.EFBIG: "the file may not grow any further",
    errno.EROFS: "the disk can only be read",
    errno.EACCES: "permission forbids it",
    errno.EPERM: "permission forbids it",
    errno.EIO: "the disk does not answer",
    errno.ENODEV: "the disk is gone",
    errno.ENXIO: "the disk is gone",
    errno.ENOTCONN: "the network drive is gone",
    errno.ECONNABORTED: "the network drive is gone",
    errno.EHOSTDOWN: "the network drive is gone",
    errno.EHOSTUNREACH: "the network drive is gone",
    errno.ENETDOWN: "the network drive is gone",
    errno.ENETUNREACH: "the network drive is gone",
    errno.ETIMEDOUT: "the network drive does not answer",
    errno.ENOLCK: "the drive cannot keep others out of the file",
    errno.ENOENT: "the file or its folder is gone",
    errno.ENOTDIR: "a file is in the way",
    errno.EEXIST: "a file is in the way",
    errno.EISDIR: "this is not a file",
    errno.EAGAIN: "another session has it open",
    errno.ESTALE: "another file has taken its place",
}


def reason(error: OSError) -> str:
    """A clause that says why the disk refused."""
    return _REASONS.get(error.errno or 0) or error.strerror or "the disk refused it"


def read_whole(path: Path) -> bytes:
    """All of the file at ``path``; a pipe or device in its place would never end, and is refused.

    Raises:
        OSError: it cannot be read, or is no file.
    """
    handle = os.open(path, os.O_RDONLY | os.O_NONBLOCK)
    with open(handle, "rb") as file:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise OSError(errno.EINVAL, "this is not a file", str(path))
        return file.read()


def sync_folder(folder: Path) -> None:
    """Have the names in ``folder`` on the disk.

    Raises:
        OSError: it cannot be done.
    """
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def make_folder(folder: Path) -> None:
    """Make ``folder`` and those it lies in, where missing.

    Raises:
        OSError: it cannot be done.
    """
    if folder.is_dir():
        return
    make_folder(folder.parent)
    folder.mkdir(mode=FOLDER_MODE, exist_ok=True)
    sync_folder(folder.parent)


def clear_drafts(folder: Path) -> None:
    """Remove what ``write_whole`` had begun in ``folder`` when the program was killed.

    Raises:
        OSError: it cannot be done.
    """
    for path in folder.iterdir():
        if _DRAFT.fullmatch(path.name):
            path.unlink()


def write_whole(path: Path, data: bytes) -> None:
    """Put ``data`` at ``path`` whole or not at all, in place of what was there.

    Raises:
        OSError: it cannot be done; what was there is untouched.
    """
    # The ending stays: a draft of sound that a kill left behind is pruned with the sound.
    draft = path.with_name(f".{secrets.token_hex(4)}.{path.name}")
    try:
        handle = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, FILE_MODE)
        with open(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(handle)
        draft.replace(path)
    except BaseException:
        draft.unlink(missing_ok=True)
        raise
    sync_folder(path.parent)


class AppendFile:
    """A file that only grows, held by one writer at a time.

    ``size`` counts the bytes known to be on the disk. What ``add`` could not put there whole
    is cut off again, so that the file never ends in half a line for long.
    """

    def __init__(self, handle: int, path: Path, size: int) -> None:
        self._handle = handle
        self._path = path
        self.size = size

    @classmethod
    def create(cls, path: Path) -> Self:
        """Begin an empty file in a folder that is there.

        Raises:
            OSError: it is there already, or cannot be made.
        """
        file = cls(_open(path, os.O_CREAT | os.O_EXCL), path, 0)
        try:
            os.fsync(file._handle)
            sync_folder(path.parent)
        except OSError:
            file.close()
            raise
        return file

    @classmethod
    def open(cls, path: Path) -> Self:
        """Hold the file at ``path``; ``size`` counts all that is in it.

        Raises:
            OSError: it cannot be opened; ``BlockingIOError`` when another holds it.
        """
        handle = _open(path, 0)
        return cls(handle, path, os.fstat(handle).st_size)

    def read(self) -> bytes:
        """The first ``size`` bytes.

        Raises:
            OSError: they cannot be read.
        """
        parts, at = [], 0
        while at < self.size and (part := os.pread(self._handle, self.size - at, at)):
            parts.append(part)
            at += len(part)
        return b"".join(parts)

    def cut(self, size: int) -> None:
        """Keep the first ``size`` bytes only.

        Raises:
            OSError: it cannot be done.
        """
        os.ftruncate(self._handle, size)
        os.fsync(self._handle)
        self.size = size

    def add(self, data: bytes) -> None:
        """Put ``data`` behind what is there; on the disk when this returns.

        Raises:
            OSError: it is not, or not surely, on the disk; ``size`` is what it was. Write it
                again then: after a failed fsync, Linux takes unwritten pages for written.
        """
        try:
            self._put(data)
            if os.fstat(self._handle).st_nlink == 0:
                raise FileNotFoundError(errno.ENOENT, "the file was removed", str(self._path))
        except OSError:
            self._cut_back()
            raise
        self.size += len(data)

    def close(self) -> None:
        """Let go of the file; nothing happens when it is closed."""
        handle, self._handle = self._handle, -1
        if handle >= 0:
            with suppress(OSError):  # the disk is gone; what is unwritten still counts as such
                os.close(handle)

    def _put(self, data: bytes) -> None:
        view, at = memoryview(data), self.size
        while view:
            written = os.pwrite(self._handle, view, at)
            view, at = view[written:], at + written
        os.fsync(self._handle)

    def _cut_back(self) -> None:
        with suppress(OSError):  # the next ``add`` begins at ``size`` and covers the rest
            os.ftruncate(self._handle, self.size)


def _open(path: Path, flags: int) -> int:
    handle = os.open(path, os.O_RDWR | os.O_CLOEXEC | flags, FILE_MODE)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        os.close(handle)
        raise
    return handle


class Files(Protocol):
    """Opens the file of a journal; ``AppendFile`` is one, a test may bring its own."""

    def create(self, path: Path) -> AppendFile:
        """Begin an empty file; raises OSError."""
        ...

    def open(self, path: Path) -> AppendFile:
        """Hold the file that is there; raises OSError."""
        ...

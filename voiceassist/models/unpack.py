"""Unpacks an archive that may have been made to do harm.

Only plain files and folders come out, only below the folder they are meant for, and no more of
them than the limits let in: the bytes that come are counted, whatever the archive claims.
"""

import bz2
import gzip
import lzma
import stat
import tarfile
import zipfile
import zlib
from pathlib import Path, PurePosixPath
from typing import IO, cast

from voiceassist.errors import ModelError
from voiceassist.models.limits import Budget, Limits, Reader, inside, write_new

_ZIP = b"PK"
_ENCRYPTED = 1
_BROKEN = (
    tarfile.TarError, zipfile.BadZipFile, zlib.error, lzma.LZMAError, EOFError, OSError,
    NotImplementedError, UnicodeDecodeError, ValueError, RuntimeError,
)  # fmt: skip


def unpack(archive: Path, folder: Path, limits: Limits | None = None) -> None:
    """Unpack ``archive`` (zip; tar, plain or packed with gzip, bzip2 or xz) into ``folder``.

    What is in ``folder`` after an error is not whole.

    Raises:
        ModelError: it is no such archive, damaged, or holds what must not be let in.
    """
    try:
        with archive.open("rb") as file:
            start = file.read(6)
        if start.startswith(_ZIP):
            _unzip(archive, folder, limits or Limits())
        else:
            _untar(archive, start, folder, limits or Limits())
    except ModelError as error:
        raise ModelError(error.found, place=str(archive), remedy=error.remedy) from None
    except _BROKEN:
        raise ModelError(
            "this is no whole zip or tar archive",
            place=str(archive),
            remedy="copy or fetch it again",
        ) from None


def _unzip(archive: Path, folder: Path, limits: Limits) -> None:
    budget = Budget(limits, archive.stat().st_size)
    with zipfile.ZipFile(archive) as opened:
        for entry in opened.infolist():
            budget.entry()
            _refuse_unless_plain(entry.filename, entry.external_attr >> 16)
            if entry.flag_bits & _ENCRYPTED:
                raise ModelError("it needs a password", remedy="unpack it yourself first")
            target = inside(folder, entry.filename)
            if entry.is_dir():
                target.mkdir(parents=True, exist_ok=True)
            else:
                with opened.open(entry) as source:
                    write_new(target, source, budget)


def _refuse_unless_plain(name: str, mode: int) -> None:
    """A zip from a system without such modes has 0 there."""
    if stat.S_IFMT(mode) not in (0, stat.S_IFREG, stat.S_IFDIR):
        raise _no_file(name)


def _untar(archive: Path, start: bytes, folder: Path, limits: Limits) -> None:
    budget = Budget(limits, archive.stat().st_size)
    with _opened(archive, start) as source:
        stream = _Counted(source, Budget(limits, archive.stat().st_size))
        # As a stream, each entry is met once, and nothing is read before it is due.
        with tarfile.open(mode="r|", fileobj=cast("IO[bytes]", stream)) as opened:
            for entry in opened:
                budget.entry()
                if not (entry.isreg() or entry.isdir()):
                    raise _no_file(entry.name)
                if PurePosixPath(entry.name).parts:  # else it is "./", the folder itself
                    _take(opened, entry, inside(folder, entry.name), budget)


def _take(opened: tarfile.TarFile, entry: tarfile.TarInfo, target: Path, budget: Budget) -> None:
    if entry.isdir():
        target.mkdir(parents=True, exist_ok=True)
        return
    content = opened.extractfile(entry)
    assert content is not None
    write_new(target, content, budget)


def _no_file(name: str) -> ModelError:
    return ModelError(f"{name!r} in it is a link or a device", remedy="do not use this archive")


def _opened(archive: Path, start: bytes) -> IO[bytes]:
    if start.startswith(b"\x1f\x8b"):
        return cast("IO[bytes]", gzip.open(archive, "rb"))
    if start.startswith(b"BZh"):
        return bz2.open(archive, "rb")
    if start.startswith(b"\xfd7zXZ\x00"):
        return lzma.open(archive, "rb")
    return archive.open("rb")


class _Counted:
    """Counts all that comes out of a packed tar: its headers, too, can be made endless."""

    def __init__(self, source: Reader, budget: Budget) -> None:
        self._source = source
        self._budget = budget

    def read(self, size: int) -> bytes:
        """The next bytes.

        Raises:
            ModelError: they are too many.
        """
        found = self._source.read(size)
        self._budget.use(len(found))
        return found

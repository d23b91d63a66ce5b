"""Limits on what is unpacked, fetched or copied, and the paths that are let in."""

import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import IO, Protocol

from voiceassist.errors import ModelError

_CHUNK = 1 << 20
#: Names that Windows keeps for devices, whatever follows the first dot.
_DEVICES = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)
_GB = 1_000_000_000
#: Seconds that the other side may be silent.
TIMEOUT_S = 30.0


class Reader(Protocol):
    """Gives bytes, so many at most; none at the end."""

    def read(self, size: int, /) -> bytes:
        """The next bytes."""
        ...


@dataclass(frozen=True, slots=True)
class Limits:
    """How much is let in.

    Parts:
        bytes: of all files together.
        files: how many files and folders.
        ratio: how many times its own size an archive may unpack to; models hardly shrink.
    """

    bytes: int = 8 * _GB
    files: int = 10_000
    ratio: int = 50


class Budget:
    """Counts what is let in.

    Args:
        limits: what may be.
        packed: bytes of the archive; 0 when nothing is packed.
    """

    def __init__(self, limits: Limits, packed: int = 0) -> None:
        self._limits = limits
        packed_most = limits.ratio * max(packed, _CHUNK)
        self._bytes = min(limits.bytes, packed_most) if packed else limits.bytes
        self._entries = 0
        self._used = 0

    def entry(self) -> None:
        """One more file or folder.

        Raises:
            ModelError: it is one too many.
        """
        self._entries += 1
        if self._entries > self._limits.files:
            raise ModelError(f"it holds more than {self._limits.files} files")

    def use(self, count: int) -> None:
        """So many more bytes.

        Raises:
            ModelError: they are too many.
        """
        self._used += count
        if self._used > self._bytes:
            raise ModelError(f"it holds more than {self._bytes} bytes, which no such model does")


def chunks(source: Reader, budget: Budget) -> Iterator[bytes]:
    """The bytes of ``source``, counted."""
    while chunk := source.read(_CHUNK):
        budget.use(len(chunk))
        yield chunk


def write_new(file: Path, source: Reader, budget: Budget) -> None:
    """Write a file that is not there yet.

    Raises:
        ModelError: it is there, or too long, or the disk is full.
    """
    try:
        _make_folder(file.parent)
        with file.open("xb") as out:
            _copy(source, out, budget)
    except FileExistsError:
        raise ModelError(f"it holds {file.name!r} twice", remedy="make the archive again") from None
    except OSError as error:
        raise ModelError(f"{file.name!r} cannot be written: {error.strerror}") from None


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except FileExistsError:
        raise ModelError(
            f"{folder.name!r} in it is a file and a folder", remedy="make the archive again"
        ) from None


def _copy(source: Reader, out: IO[bytes], budget: Budget) -> None:
    for chunk in chunks(source, budget):
        out.write(chunk)


def inside(root: Path, name: str) -> Path:
    """Where the archive's ``name`` goes below ``root``.

    Raises:
        ModelError: it would lead out of it, or is no name that every system takes.
    """
    parts = PurePosixPath(name).parts
    bad = (
        not parts
        or name.startswith("/")
        or any(part == ".." or _DEVICES.fullmatch(part) for part in parts)
        or any(letter in name for letter in "\\:\0")
    )
    if bad:
        raise ModelError(f"it holds the unsafe name {name!r}", remedy="do not use this archive")
    return root.joinpath(*parts)


def check_room(folder: Path, wanted: int) -> None:
    """Nothing, when the disk has ``wanted`` bytes left.

    Raises:
        ModelError: it has not.
    """
    free = shutil.disk_usage(folder).free
    if free < wanted:
        raise ModelError(
            f"the disk has {free // 1_000_000} MB left, and it takes {wanted // 1_000_000} MB",
            place=str(folder),
            remedy="make room",
        )

"""Keeps models in one folder: each whole, under a name of its own, with checksums.

``NAME/manifest.json`` tells about the model, ``NAME/model/`` holds its files. A model is made
ready under another name and then renamed, so that one with its own name is always whole.
"""

import hashlib
import re
import shutil
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path, PurePath
from urllib.parse import urlsplit

from voiceassist.errors import ModelError
from voiceassist.models.kinds import find_model
from voiceassist.models.limits import TIMEOUT_S, Budget, Limits, check_room, write_new
from voiceassist.models.manifest import NAME, Manifest, Stored, read_manifest, write_manifest
from voiceassist.models.unpack import unpack

_MODEL = "model"
_NEW = ".new-"
#: No adding takes a day.
_LEFT_OVER_S = 86_400
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,63}")
_ENDINGS = re.compile(r"\.(zip|whl|tar|tgz|tar\.(gz|bz2|xz))$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Wish:
    """What to add, and how.

    Parts:
        source: a folder, an archive, or an address.
        name: to keep it under; empty for the source's own.
        language: that it hears; empty when not told.
        sha256: that the archive must have; empty to take it as it is.
        insecure: let an http address pass.
        timeout_s: seconds that a server may be silent.
    """

    source: str
    name: str = ""
    language: str = ""
    sha256: str = ""
    insecure: bool = False
    timeout_s: float = TIMEOUT_S


@dataclass(frozen=True, slots=True)
class Kept:
    """A model that is kept.

    Parts:
        name: it is kept under.
        folder: of its files.
        manifest: what is known of it.
    """

    name: str
    folder: Path
    manifest: Manifest


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong with a kept file: "missing", "changed", or "not in the manifest"."""

    path: str
    found: str


class Store:
    """The models in ``home``.

    Args:
        home: a folder; made when the first model is added.
        limits: of what is added.
    """

    def __init__(self, home: Path, limits: Limits | None = None) -> None:
        self.home = home
        self._limits = limits or Limits()

    def names(self) -> tuple[str, ...]:
        """The name of every model kept, in order."""
        if not self.home.is_dir():
            return ()
        folders = [each for each in self.home.iterdir() if (each / NAME).is_file()]
        return tuple(sorted(each.name for each in folders if _NAME.fullmatch(each.name)))

    def get(self, name: str) -> Kept:
        """The model kept under ``name``.

        Raises:
            ModelError: there is none, or its manifest is damaged.
        """
        if name not in self.names():
            known = ", ".join(self.names()) or "none so far"
            raise ModelError(f"there is no model {name!r}", remedy=f"those kept: {known}")
        folder = self.home / name
        return Kept(name, folder / _MODEL, read_manifest(folder))

    def add(self, wish: Wish) -> Kept:
        """Keep another model.

        Raises:
            ModelError: the source cannot be had, is no model, or must not be let in; then nothing
                is kept.
        """
        name = wish.name or _own_name(wish.source)
        self._check_name(name)
        try:
            self.home.mkdir(parents=True, exist_ok=True)
            self._clear_left_over()
            with tempfile.TemporaryDirectory(prefix=_NEW, dir=self.home) as new:
                return self._add(wish, name, Path(new))
        except OSError as error:
            raise ModelError(
                f"it cannot be kept: {error.strerror}", place=str(self.home / name)
            ) from None

    def verify(self, name: str) -> tuple[Fault, ...]:
        """Compare every file of a model with its checksum; nothing when all is well.

        Raises:
            ModelError: there is no such model, or its manifest is damaged.
        """
        kept = self.get(name)
        faults = tuple(_faults(kept))
        if kept.manifest.verified == bool(faults):
            write_manifest(self.home / name, replace(kept.manifest, verified=not faults))
        return faults

    def _clear_left_over(self) -> None:
        """Remove what was being added when the machine went down."""
        for folder in self.home.glob(f"{_NEW}*"):
            if time.time() - folder.stat().st_mtime > _LEFT_OVER_S:
                shutil.rmtree(folder, ignore_errors=True)

    def _check_name(self, name: str) -> None:
        if not _NAME.fullmatch(name):
            raise ModelError(
                f"{name!r} is no name for a model",
                remedy="give one with --name: letters, digits, dots, hyphens and underscores",
            )
        if (self.home / name).exists():
            raise ModelError(
                f"there is a model {name!r} already",
                place=str(self.home / name),
                remedy="give another --name, or delete that folder",
            )

    def _add(self, wish: Wish, name: str, new: Path) -> Kept:
        unpacked, staged = new / "unpacked", new / "staged"
        unpacked.mkdir()
        staged.mkdir()
        self._bring(wish, new, unpacked)
        model, kind = find_model(unpacked)
        model.rename(staged / _MODEL)
        files = {
            path.relative_to(staged / _MODEL).as_posix(): Stored(
                path.stat().st_size, _sha256_of(path)
            )
            for path in sorted((staged / _MODEL).rglob("*"))
            if path.is_file()
        }
        manifest = Manifest(kind, wish.language, wish.source, files, bool(wish.sha256))
        write_manifest(staged, manifest)
        staged.rename(self.home / name)
        return Kept(name, self.home / name / _MODEL, manifest)

    def _bring(self, wish: Wish, new: Path, unpacked: Path) -> None:
        """Put the files of the source into ``unpacked``."""
        source = Path(wish.source).expanduser()
        if _is_address(wish.source):
            # Here and nowhere else is a network wanted, and its library takes long to load.
            from voiceassist.models.fetch import fetch

            source = new / "fetched"
            fetch(
                wish.source, source, self._limits, insecure=wish.insecure, timeout_s=wish.timeout_s
            )
        elif source.is_dir():
            if wish.sha256:
                raise ModelError(
                    "a folder has no SHA-256 of its own",
                    place=wish.source,
                    remedy="leave --sha256 out, or name the archive it came in",
                )
            self._copy(source, unpacked)
            return
        elif not source.is_file():
            raise ModelError(
                "there is no such folder or file",
                place=wish.source,
                remedy="name a folder, an archive or an https address",
            )
        _check_sum(source, wish)
        check_room(self.home, source.stat().st_size)
        try:
            unpack(source, unpacked, self._limits)
        except ModelError as error:
            raise ModelError(error.found, place=wish.source, remedy=error.remedy) from None

    def _copy(self, source: Path, target: Path) -> None:
        """Copy a folder the user names; a link to a file is taken for the file."""
        budget = Budget(self._limits)
        check_room(self.home, sum(p.stat().st_size for p in source.rglob("*") if p.is_file()))
        for path in sorted(source.rglob("*")):
            if path.is_file():
                budget.entry()
                with path.open("rb") as opened:
                    write_new(target / path.relative_to(source), opened, budget)


def _check_sum(archive: Path, wish: Wish) -> None:
    if not wish.sha256:
        return
    found = _sha256_of(archive)
    if found != wish.sha256.strip().lower():
        raise ModelError(
            f"its SHA-256 is {found}, not the one given",
            place=wish.source,
            remedy="do not use it; fetch it again from where the sum was published",
        )


def _faults(kept: Kept) -> Iterator[Fault]:
    there = {
        path.relative_to(kept.folder).as_posix()
        for path in kept.folder.rglob("*")
        if not path.is_dir() or path.is_symlink()
    }
    for name, stored in sorted(kept.manifest.files.items()):
        file = kept.folder / name
        if name not in there:
            yield Fault(name, "missing")
        elif not _same(file, stored):
            yield Fault(name, "changed")
    for name in sorted(there - set(kept.manifest.files)):
        yield Fault(name, "not in the manifest")


def _same(file: Path, stored: Stored) -> bool:
    if file.is_symlink() or file.stat().st_size != stored.bytes:
        return False
    return _sha256_of(file) == stored.sha256


def _own_name(source: str) -> str:
    """The last part of a path or address, without the ending of an archive."""
    if _is_address(source):
        return _ENDINGS.sub("", PurePath(urlsplit(source).path).name)
    return _ENDINGS.sub("", Path(source).expanduser().resolve().name)


def _is_address(source: str) -> bool:
    """True for what looks like an address and not like a path."""
    return "://" in source


def _sha256_of(file: Path) -> str:
    """The SHA-256 of a file, in hexadecimal digits (FIPS 180-4)."""
    with file.open("rb") as opened:
        return hashlib.file_digest(opened, "sha256").hexdigest()

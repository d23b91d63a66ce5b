"""Sessions and sound that were removed on purpose, and the stubs that say so.

The stub is on the disk before anything is removed. So a power cut in between leaves a session
that says it was deleted and still has files; removing it again completes the work.
"""

import json
import shutil
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from voiceassist.errors import RecordError
from voiceassist.record import disk, times
from voiceassist.record.disk import AppendFile
from voiceassist.record.folder import STUB, SessionFolder

SOUND_STUB = "sound-removed.json"
SOUND_ENDINGS = frozenset({".wav", ".flac", ".ogg", ".mp3"})


@dataclass(frozen=True, slots=True)
class Removal:
    """What a stub says.

    Parts:
        session: the session's id.
        removed_at: when, RFC 3339.
        by: who.
        reason: why; may be empty.
        lines, last_hash: of the journal as it was; 0 and empty when it could not be read.
        files: names of what was removed.
    """

    session: str
    removed_at: str
    by: str
    reason: str = ""
    lines: int = 0
    last_hash: str = ""
    files: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        times.parsed(self.removed_at)
        texts = (self.session, self.by, self.reason, self.last_hash, *self.files)
        if not all(isinstance(text, str) for text in texts) or type(self.lines) is not int:
            raise TypeError("a stub holds texts, and a number of lines")

    def to_json(self) -> dict[str, object]:
        """Its parts, ready for ``json.dumps``."""
        return {**asdict(self), "files": list(self.files)}


def stub(folder: SessionFolder, name: str = STUB) -> Removal | None:
    """What the stub in ``folder`` says; None when there is none.

    Raises:
        RecordError: there is one, but it cannot be read.
    """
    path = folder.path / name
    if not path.exists():
        return None
    try:
        fields = json.loads(folder.read(name))
        own = {"session": folder.id, "files": tuple(fields["files"])}  # it speaks for no other
        return Removal(**{**fields, **own})
    except (ValueError, TypeError, KeyError, RecursionError):
        raise RecordError(
            "this is not the stub of a deleted session",
            place=str(path),
            remedy="delete the session again",
        ) from None


def sound_files(folder: SessionFolder) -> tuple[Path, ...]:
    """The sound in ``folder``."""
    return tuple(p for p in _content(folder) if p.suffix.lower() in SOUND_ENDINGS)


def remains(folder: SessionFolder) -> tuple[str, ...]:
    """Names of what lies in ``folder`` beside the stub."""
    return tuple(path.name for path in _content(folder) if path.name != STUB)


def remove_session(folder: SessionFolder, removal: Removal) -> None:
    """Leave the stub, then remove all else.

    Raises:
        RecordError: a session has it open, or the disk refuses; what is left says "deleted".
    """
    _remove(folder, STUB, removal, [p for p in _content(folder) if p.name != STUB])


def remove_sound(folder: SessionFolder, removal: Removal) -> None:
    """Leave a stub that names the sound, then remove the sound and keep the rest.

    Sound that was removed before stays named.

    Raises:
        RecordError: a session has it open, or the disk refuses.
    """
    earlier = _earlier(folder)
    named = replace(removal, files=tuple(sorted({*earlier, *removal.files})))
    _remove(folder, SOUND_STUB, named, sound_files(folder))


def _earlier(folder: SessionFolder) -> tuple[str, ...]:
    try:
        before = stub(folder, SOUND_STUB)
    except RecordError:
        return ()  # it told nothing that could be kept
    return before.files if before is not None else ()


def _remove(folder: SessionFolder, name: str, removal: Removal, paths: Sequence[Path]) -> None:
    if folder.path.is_symlink():
        raise RecordError(
            "this is a link to a folder elsewhere",
            place=str(folder.path),
            remedy="delete the session where it lies",
        )
    try:
        with _held(folder):
            folder.write(name, json.dumps(removal.to_json(), ensure_ascii=False, indent=1) + "\n")
            for path in paths:
                shutil.rmtree(path) if path.is_dir() and not path.is_symlink() else path.unlink()
            disk.sync_folder(folder.path)
    except OSError as error:
        raise RecordError(
            f"it cannot be removed: {disk.reason(error)}",
            place=str(folder.path),
            remedy="finish the session first, or make the folder writable",
        ) from None


@contextmanager
def _held(folder: SessionFolder) -> Iterator[None]:
    """Hold the journal, so that no session goes on with it meanwhile."""
    if not folder.begun:
        yield
        return
    with closing(AppendFile.open(folder.journal)):
        yield


def _content(folder: SessionFolder) -> list[Path]:
    return sorted(folder.path.iterdir()) if folder.path.is_dir() else []

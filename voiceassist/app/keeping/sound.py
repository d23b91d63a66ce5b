"""Keeps the sound of a session as FLAC files beside its journal, one for each thing said."""

from pathlib import Path

from voiceassist.app.keeping.sound_writer import SoundStore, Write
from voiceassist.app.warn import Warn
from voiceassist.errors import DeviceError
from voiceassist.record import disk
from voiceassist.record.entry import digest
from voiceassist.record.fields import Part
from voiceassist.record.sound import ENDING, SoundKind
from voiceassist.sound.clip import Clip

#: "Noted." waits so long, at most, for the sound of the note to be on the disk.
_NOTE_S = 0.5


class SoundKeeping:
    """Names sound files, and has them written.

    Args:
        folder: the session's.
        warn: told in one sentence when sound cannot be kept at all.
        everything: keep all sound, not only that of spoken notes.
        write: puts a file on the disk.
    """

    def __init__(
        self, folder: Path, warn: Warn, *, everything: bool, write: Write = disk.write_whole
    ) -> None:
        self._folder = folder
        self._warn = warn
        self._everything = everything
        self._names: set[str] = set()
        self._store = SoundStore(folder, write)

    @property
    def found(self) -> str:
        """Why sound waits to be written; empty when none is refused."""
        return self._store.found

    def keep(self, kind: SoundKind, start_s: float, clip: Clip) -> Part:
        """Have ``clip`` written, when such sound is kept.

        Only a note is waited for, and not for long: its sound is what was said.

        Args:
            kind: what it is.
            start_s: second of the session at which it begins.
            clip: the sound.

        Returns:
            What the line that it belongs to tells of it.
        """
        if not clip.samples or not (self._everything or kind is SoundKind.NOTE):
            return {}
        from voiceassist.devices.flac import flac_bytes

        try:
            data = flac_bytes(clip)
        except DeviceError as error:
            self._warn(str(error))
            return {}
        name = self._name(kind, start_s)
        self._store.put(name, data)
        if kind is SoundKind.NOTE:
            self._store.settle(_NOTE_S)
        return {"sound": name, "sound_sha256": digest(data), "sound_start_s": round(start_s, 3)}

    def close(self) -> tuple[str, ...]:
        """Have all written; the names of files that are lost."""
        return self._store.close()

    def _name(self, kind: SoundKind, start_s: float) -> str:
        plain = f"{kind.value}-{round(max(0.0, start_s) * 1000):08}"
        name, again = plain + ENDING, 1
        while name in self._names or (self._folder / name).exists():
            again += 1
            name = f"{plain}-{again}{ENDING}"
        self._names.add(name)
        return name

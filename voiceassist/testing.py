"""Stand-ins for the outside world, for tests of procedures and of programs built on this one.

Each keeps the protocol of the part it stands in for.
"""

import os
from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

from voiceassist.errors import DeviceError
from voiceassist.recognise.base import Candidate, HeardClip, ListenerGrammar, Nothing
from voiceassist.record.disk import AppendFile
from voiceassist.record.fields import Part
from voiceassist.record.lines import Line, Picture, Record
from voiceassist.record.sound import SoundKind
from voiceassist.sound.clip import Clip

#: How long a captured sentence is taken to last, in seconds a character.
_SECONDS_A_CHARACTER = 0.06


class ScriptedListener:
    """Hears what the script says, one entry per clip: words, or a reason for nothing."""

    name = "scripted"

    def __init__(self, script: Iterable[str | Nothing]) -> None:
        self._script = iter(script)
        self.grammars: list[ListenerGrammar] = []

    def prepare(self, grammar: ListenerGrammar) -> None:
        """Remember the grammar in ``grammars``."""
        self.grammars.append(grammar)

    def hear(self, clip: Clip) -> HeardClip:
        """The next entry of the script; no speech when it has ended."""
        entry = next(self._script, Nothing.NO_SPEECH)
        if isinstance(entry, Nothing):
            return HeardClip(self.name, nothing=entry)
        return HeardClip(self.name, candidates=(Candidate(entry, 0.0),))

    def close(self) -> None:
        """Nothing to free."""


class FakeMicrophone:
    """Gives clips as a microphone would, without waiting, and goes away where told.

    Args:
        script: clips of one rate; None where the device goes away.
        absent: how often it cannot be opened again after that.
        chunk_s: length of a chunk, in seconds.
    """

    name = "fake microphone"

    def __init__(
        self, script: Iterable[Clip | None], absent: int = 0, chunk_s: float = 0.03
    ) -> None:
        self._script = iter(script)
        self._absent = absent
        self._chunk_s = chunk_s
        self.dropped_s = 0.0
        self.closed = False

    def chunks(self) -> Iterator[Clip]:
        """The next clips of the script, in chunks."""
        for clip in self._script:
            if clip is None:
                raise DeviceError("the microphone went away", place=self.name)
            size = 2 * round(self._chunk_s * clip.rate_hz)
            for at in range(0, len(clip.pcm), size):
                if self.closed:
                    return
                yield Clip(clip.pcm[at : at + size], clip.rate_hz)

    def again(self) -> "FakeMicrophone":
        """The same one, going on with its script, once it is no longer absent."""
        self._absent -= 1
        if self._absent >= 0:
            raise DeviceError("there is no microphone", place=self.name)
        self.closed = False
        return self

    def close(self) -> None:
        """End ``chunks``."""
        self.closed = True


class ScriptedDetector:
    """Takes frames for speech as the script says: "F" for speech, anything else for quiet.

    When the script has ended all is quiet.
    """

    def __init__(self, script: str) -> None:
        self._flags = iter(script)
        self.resets = 0

    def is_speech(self, frame: bytes) -> bool:
        """The next letter of the script."""
        return next(self._flags, ".") == "F"

    def reset(self) -> None:
        """Count it in ``resets``."""
        self.resets += 1


class CapturingVoice:
    """Keeps what it is told to say in ``sentences``, and gives silence of a likely length."""

    name = "capturing"

    def __init__(self) -> None:
        self.sentences: list[str] = []
        self.adjusted: list[str] = []

    def synthesise(self, sentence: str) -> Clip:
        """Silence, about as long as the sentence would take."""
        self.sentences.append(sentence)
        return Clip.silence(len(sentence) * _SECONDS_A_CHARACTER)

    def adjust(self, change: str) -> None:
        """Remember the change in ``adjusted``."""
        self.adjusted.append(change)

    def cancel(self) -> None:
        """Nothing runs that could be ended."""

    def close(self) -> None:
        """Nothing to free."""


class CutPlayer:
    """Plays without a sound; each clip is stopped after the next of ``heard_s`` seconds.

    Keeps what it was given in ``played``; when ``heard_s`` has ended, clips are played whole.
    """

    name = "cut"

    def __init__(self, heard_s: Iterable[float] = ()) -> None:
        self._heard_s = iter(heard_s)
        self.played: list[Clip] = []

    def play(self, clip: Clip) -> float:
        """Seconds of ``clip`` that were heard."""
        self.played.append(clip)
        return min(clip.seconds, next(self._heard_s, clip.seconds))

    def stop(self) -> None:
        """Nothing sounds that could be stopped."""

    def close(self) -> None:
        """Nothing to free."""


class MemoryKeeper:
    """Keeps journal lines in ``lines``, in memory only.

    Args:
        keeps_sound: keep all sound, not only that of spoken notes.
    """

    def __init__(self, *, keeps_sound: bool = False) -> None:
        self.lines: list[Line] = []
        self.sounds: dict[str, Clip] = {}
        self.durable = True
        self.befallen: list[Record] = []
        self._keeps_sound = keeps_sound

    def keep(self, lines: Sequence[Line]) -> Sequence[Line]:
        """Keep ``lines``."""
        self.lines += lines
        return lines

    def keep_sound(self, kind: SoundKind, start_s: float, clip: Clip) -> Part:
        """Keep ``clip`` in ``sounds``."""
        if kind is not SoundKind.NOTE and not self._keeps_sound:
            return {}
        name = f"{kind.value}-{len(self.sounds) + 1}.flac"
        self.sounds[name] = clip
        return {"sound": name}

    def keep_picture(self, asked: str) -> Picture:
        """Keep that a picture was asked for."""
        return Picture.made(file=asked, caption="")

    def news(self) -> Sequence[Record]:
        """What was put into ``befallen`` since the last call."""
        befallen, self.befallen = self.befallen, []
        return befallen


class FaultyDisk:
    """Opens journal files on the real disk, which refuses all while ``error`` is set.

    Parts:
        error: number of the operating system's error (``errno.ENOSPC``); 0 for none.
        part: so many bytes still get through before it refuses.
    """

    def __init__(self) -> None:
        self.error = 0
        self.part = 0

    def create(self, path: Path) -> AppendFile:
        """A new file."""
        self.check(path)
        return _FaultyFile.create(path).on(self)

    def open(self, path: Path) -> AppendFile:
        """The file that is there."""
        self.check(path)
        return _FaultyFile.open(path).on(self)

    def check(self, path: Path) -> None:
        """Nothing while all is well.

        Raises:
            OSError: the disk refuses.
        """
        if self.error:
            raise OSError(self.error, os.strerror(self.error), str(path))


class _FaultyFile(AppendFile):
    """Writes as its disk lets it."""

    _disk: FaultyDisk

    def on(self, disk: FaultyDisk) -> "_FaultyFile":
        self._disk = disk
        return self

    def _put(self, data: bytes) -> None:
        if not self._disk.error:
            super()._put(data)
            return
        super()._put(data[: self._disk.part])
        self._disk.check(self._path)


class FixedTimeline:
    """A clock that moves only when sound passes, from a fixed moment on."""

    def __init__(self, zero: datetime = datetime(2026, 1, 2, 8, 0, tzinfo=UTC)) -> None:
        self._zero = zero
        self._now_s = 0.0

    def now_s(self) -> float:
        """Seconds of sound so far."""
        return self._now_s

    def wall(self) -> datetime:
        """The fixed moment plus the sound so far."""
        return self._zero + timedelta(seconds=self._now_s)

    def advance(self, seconds: float) -> None:
        """Let ``seconds`` pass."""
        self._now_s += seconds

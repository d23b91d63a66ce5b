"""The record of the session under way: its folder, its journal, and what is made of it."""

import io
import wave
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from types import TracebackType

from voiceassist.app.loop import Line
from voiceassist.app.sources import Warn
from voiceassist.app.timeline import RealTimeline, Timeline
from voiceassist.app.turn import Spoken
from voiceassist.errors import RecordError
from voiceassist.record.disk import FILE_MODE
from voiceassist.record.folder import SessionFolder, create, latest_unfinished
from voiceassist.record.journal import Journal
from voiceassist.record.report import report
from voiceassist.record.transcript import plain_text, webvtt
from voiceassist.sound.clip import BYTES_PER_SAMPLE, Clip


class Keeping:
    """Keeps lines in a session's journal, and completes its folder at the end.

    Args:
        folder: the session's.
        timeline: gives the time of each line.
        warn: told in one sentence when the disk refuses lines, and when it takes them again.
    """

    def __init__(self, folder: SessionFolder, timeline: Timeline, warn: Warn) -> None:
        self._folder = folder
        self._timeline = timeline
        self._warn = warn
        self._told = ""
        begun = folder.journal.exists()
        self._journal = (Journal.open if begun else Journal.create)(folder.journal, self._wall)

    @classmethod
    def create(cls, records: Path, procedure: str, timeline: Timeline, warn: Warn) -> "Keeping":
        """A new session's record.

        Raises:
            RecordError: it cannot be made.
        """
        return cls(create(records, procedure, timeline.wall()), timeline, warn)

    @classmethod
    def reopen(cls, records: Path, warn: Warn) -> "Keeping":
        """The record of the latest unfinished session.

        Raises:
            RecordError: there is none, or its journal is altered or in use.
        """
        folder = latest_unfinished(records)
        if folder is None:
            raise RecordError(
                "there is no unfinished session",
                place=str(records),
                remedy="begin one: voiceassist run PROCEDURE",
            )
        return cls(folder, RealTimeline(), warn)

    def use(self, timeline: Timeline) -> None:
        """Take times from ``timeline`` from now on."""
        self._timeline = timeline

    def _wall(self) -> datetime:
        return self._timeline.wall()

    @property
    def folder(self) -> Path:
        """Where it is."""
        return self._folder.path

    @property
    def lines(self) -> Sequence[Line]:
        """Every line so far."""
        return [entry.to_json() for entry in self._journal.entries]

    def write(self, name: str, text: str) -> None:
        """Put a text file into the folder."""
        self._folder.write(name, text)

    def read(self, name: str) -> str:
        """Read a text file from the folder."""
        return self._folder.read(name)

    def keep(self, lines: Sequence[Line]) -> Sequence[Line]:
        """Have ``lines`` on disk; if that fails, say so once and go on trying."""
        entries = self._journal.append(lines)
        found = self._journal.trouble.found if self._journal.trouble else ""
        if found != self._told:
            self._told = found
            self._warn(str(self._journal.trouble or "The record is on disk again, and whole."))
        return [entry.to_json() for entry in entries]

    def keep_sound(self, name: str, clip: Clip) -> None:
        """Put ``clip`` into the folder; if that fails, say so and go on."""
        try:
            self._folder.write(name, wav_bytes(clip))
        except RecordError as error:
            self._warn(str(error))

    def finish(self, spoken: Sequence[Spoken], answers: Sequence[Path]) -> None:
        """Write transcript and report, and the spoken answers to the WAV files ``answers``."""
        entries = self._journal.entries
        self._folder.write("transcript.vtt", webvtt(entries))
        self._folder.write("transcript.txt", plain_text(entries))
        self._folder.write("report.txt", report(entries))
        for path in answers if spoken else ():
            write_answers(path, spoken)
            if path.parent == self.folder:
                path.chmod(FILE_MODE)

    def __enter__(self) -> "Keeping":
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._journal.close()


def wav_bytes(clip: Clip) -> bytes:
    """``clip`` as the content of a 16-bit mono WAV file."""
    content = io.BytesIO()
    with wave.open(content, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(BYTES_PER_SAMPLE)
        file.setframerate(clip.rate_hz)
        file.writeframes(clip.pcm)
    return content.getvalue()


def write_answers(path: Path, spoken: Sequence[Spoken]) -> None:
    """Lay the sentences on one timeline, as long as the session, and write them to a WAV.

    Raises:
        DeviceError: it cannot be written.
    """
    from voiceassist.devices.wav import write_clip
    from voiceassist.sound.mix import mixed

    rate_hz = max(sentence.clip.rate_hz for sentence in spoken)
    write_clip(path, mixed([(s.start_s, s.clip) for s in spoken], rate_hz))

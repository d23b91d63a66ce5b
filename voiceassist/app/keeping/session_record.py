"""The record of the session under way: its folder, its journal, and what is made of it."""

import shutil
import tempfile
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from voiceassist.app.keeping.disk_watch import RecordWatch
from voiceassist.app.keeping.sound import SoundKeeping
from voiceassist.app.keeping.unfinished import ResumeChoice
from voiceassist.app.mouth.spoken_turn import Spoken
from voiceassist.app.pages.made_files import make_files
from voiceassist.app.pages.pictures import file_and_caption, kept_picture
from voiceassist.app.timeline import RealTimeline, Timeline
from voiceassist.app.warn import Warn
from voiceassist.errors import RecordError
from voiceassist.record import disk, removal
from voiceassist.record.disk import Files
from voiceassist.record.entry import Entry
from voiceassist.record.fields import Part
from voiceassist.record.folder import SessionFolder, create
from voiceassist.record.journal import Journal
from voiceassist.record.lines import Line, Picture, Record, SoundLost
from voiceassist.record.sound import SoundKind, lost_sounds, named_sounds
from voiceassist.sound.clip import Clip


class SessionRecord:
    """Keeps lines and sound in a session's folder, and completes it at the end.

    Args:
        folder: the session's.
        timeline: gives the time of each line.
        warn: told in one sentence when the disk refuses something, and when it takes it again.
        keep_sound: whether all sound is kept, not only that of spoken notes.
        files: opens the journal's file.
    """

    def __init__(
        self,
        folder: SessionFolder,
        timeline: Timeline,
        warn: Warn,
        *,
        keep_sound: bool = False,
        files: Files = disk.AppendFile,
    ) -> None:
        self._folder = folder
        self._timeline = timeline
        self._warn = warn
        self._told = ""
        self._watch = RecordWatch()
        self._sound = SoundKeeping(folder.path, warn, everything=keep_sound)
        begun = folder.begun
        opener = Journal.open if begun else Journal.create
        self._journal = opener(folder.journal, self._wall, files)
        if begun:
            self._after_a_break()

    @classmethod
    def create(
        cls,
        records: Path,
        procedure: str,
        timeline: Timeline,
        warn: Warn,
        *,
        keep_sound: bool = False,
    ) -> "SessionRecord":
        """A new session's record.

        Raises:
            RecordError: it cannot be made.
        """
        folder = create(records, procedure, timeline.wall())
        try:
            return cls(folder, timeline, warn, keep_sound=keep_sound)
        except RecordError:
            _clear(folder)
            raise

    @classmethod
    def reopen(
        cls, choice: ResumeChoice, warn: Warn, *, keep_sound: bool = False
    ) -> "SessionRecord":
        """The record of the first session of ``choice`` that is free; see there."""
        return choice.first_free(
            lambda folder: cls(folder, RealTimeline(), warn, keep_sound=keep_sound), warn
        )

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
        return [entry.typed for entry in self._journal.entries]

    def write(self, name: str, text: str) -> None:
        """Put a text file into the folder."""
        self._folder.write(name, text)

    def read(self, name: str) -> str:
        """Read a text file from the folder."""
        return self._folder.read(name)

    # --- lines ---

    @property
    def durable(self) -> bool:
        """Every line is on the disk."""
        return self._journal.durable

    def keep(self, lines: Sequence[Line]) -> Sequence[Line]:
        """Have ``lines`` on disk; if that fails, say so once and go on trying."""
        entries = self._journal.append(lines)
        found = self._journal.trouble.found if self._journal.trouble else ""
        if found != self._told:
            self._told = found
            self._warn(str(self._journal.trouble or "The record is on disk again, and whole."))
        return [entry.typed for entry in entries]

    def news(self) -> Sequence[Record]:
        """Lines to be kept and spoken about what befell the record since the last call."""
        lines = self._journal.trouble.found if self._journal.trouble else ""
        return self._watch.news(lines, self._sound.found)

    # --- sound ---

    def keep_sound(self, kind: SoundKind, start_s: float, clip: Clip) -> Part:
        """Have ``clip`` written beside the journal; see ``SoundKeeping.keep``."""
        return self._sound.keep(kind, start_s, clip)

    def keep_picture(self, asked: str) -> Picture:
        """Put a picture beside the journal; see ``pictures.kept_picture``."""
        path, caption = file_and_caption(asked)
        return kept_picture(self._folder, path, caption)

    def _after_a_break(self) -> None:
        """Clear what a kill left half written, and tell which sound it kept from the disk."""
        try:
            disk.clear_drafts(self.folder)
        except OSError as error:
            self._warn(f"{self.folder}: {disk.reason(error)}")
        entries = self._journal.entries
        stub = removal.stub(self._folder, removal.SOUND_STUB)
        known = lost_sounds(entries) | set(stub.files if stub is not None else ())
        self._tell_lost(
            [
                sound.name
                for sound in named_sounds(entries)
                if sound.name not in known and not (self.folder / sound.name).is_file()
            ]
        )

    def _tell_lost(self, names: Sequence[str]) -> None:
        if names:
            self._journal.append([SoundLost.made(step="", text="", names=list(names))])

    # --- the end ---

    def finish(self, spoken: Sequence[Spoken], answers: Sequence[Path]) -> None:
        """Complete sound, transcript and report; write the answers to the WAV files ``answers``.

        What cannot be written is told, and keeps nothing else from being so.
        """
        lost = self._sound.close()
        if lost:
            self._warn(f"{self.folder}: sound could not be kept: {', '.join(lost)}")
        self._tell_lost(lost)
        make_files(self._folder, self._journal.entries, self._warn)
        for path in answers if spoken else ():
            write_answers(path, spoken)
            if path.parent == self.folder:
                path.chmod(disk.FILE_MODE)

    def __enter__(self) -> "SessionRecord":
        return self

    def __exit__(self, kind: object, error: object, trace: object) -> None:
        self._sound.close()
        if error is not None and not self._journal.entries:  # refused before it was begun
            self._journal.close()
            _clear(self._folder)
            return
        try:
            self._close()
        except RecordError as refused:
            if error is None:
                raise
            self._warn(str(refused))

    def _close(self) -> None:
        """Close the journal; one that its disk refuses is written elsewhere as a whole."""
        try:
            self._journal.close()
        except RecordError as refused:
            refuge = _refuge(self._folder, self._journal.entries)
            if refuge is None:
                raise
            raise RecordError(
                f"{refused.found} there",
                place=str(self._folder.journal),
                remedy=f"put {refuge} in its place, which has all lines",
            ) from None


def _clear(folder: SessionFolder) -> None:
    """Leave nothing of a session of which no line was written."""
    shutil.rmtree(folder.path, ignore_errors=True)


def _refuge(folder: SessionFolder, entries: Sequence[Entry]) -> Path | None:
    """The whole journal written elsewhere, since its own disk refuses; None when all refuse."""
    try:
        place = Path(tempfile.mkdtemp(prefix=f"{folder.id}-"))
        disk.write_whole(place / folder.journal.name, b"".join(e.line for e in entries))
    except OSError:
        return None
    return place / folder.journal.name


def write_answers(path: Path, spoken: Sequence[Spoken]) -> None:
    """Lay the sentences on one timeline, as long as the session, and write them to a WAV.

    Raises:
        DeviceError: it cannot be written.
    """
    from voiceassist.devices.wav import write_clip
    from voiceassist.sound.mix import mixed

    rate_hz = max(sentence.clip.rate_hz for sentence in spoken)
    write_clip(path, mixed([(s.start_s, s.clip) for s in spoken], rate_hz))

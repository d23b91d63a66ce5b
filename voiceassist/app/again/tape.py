"""What a kept session needs to be heard again anywhere: journal, files and sound, only read."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from voiceassist.errors import RecordError
from voiceassist.record import disk, removal
from voiceassist.record.entry import Entry, digest
from voiceassist.record.folder import PROCEDURE, SessionFolder
from voiceassist.record.lines import Heard, Line, SessionLine
from voiceassist.record.read_journal import verify
from voiceassist.record.sound import lost_sounds, named_sounds


@dataclass(frozen=True, slots=True)
class Tape:
    """One session, as it is sent to whoever hears it again.

    Parts:
        session: its name.
        lines: of the journal, the good ones, each with its fields.
        files: name to text of the files that it was led by.
        sounds: name to content of each sound file that is as it was kept.
        without: number of a line to the reason why its sound cannot be heard.
        why_not: why none of it can be heard again; empty when it can.
        note: what else there is to say of its record.
    """

    session: str
    lines: tuple[Mapping[str, object], ...] = ()
    files: Mapping[str, str] | None = None
    sounds: Mapping[str, bytes] | None = None
    without: Mapping[int, str] | None = None
    why_not: str = ""
    note: str = ""


def tape_of(folder: SessionFolder) -> Tape:
    """The session in ``folder``; one that cannot be read says why. Nothing there is written."""
    try:
        if (gone := removal.stub(folder)) is not None:
            return Tape(folder.id, why_not=f"it was deleted on {gone.removed_at[:10]}")
        report = verify(folder.journal)
    except RecordError as error:
        return Tape(folder.id, why_not=error.found)
    entries = report.entries
    note = f"line {report.fault.line} of the journal: {report.fault.found}" if report.fault else ""
    typed = [entry.typed for entry in entries]
    told = tuple(entry.to_json() for entry in entries)
    if not typed or not isinstance(typed[0], SessionLine):
        return Tape(folder.id, told, why_not="its journal does not begin with a session", note=note)
    try:
        files = dict(_files(folder, typed[0]))
    except RecordError as error:
        return Tape(folder.id, told, why_not=_clause(error), note=note)
    sounds, without = _sounds(folder, entries, typed)
    return Tape(folder.id, told, files, sounds, without, note=note)


def _clause(error: RecordError) -> str:
    return f"{Path(error.place).name}: {error.found}"


def _files(folder: SessionFolder, head: SessionLine) -> Iterator[tuple[str, str]]:
    """The procedure, what it puts in, and the meter, each as the journal says it was.

    Raises:
        RecordError: one is gone, or is another.
    """
    wanted = {str(name): str(sha) for name, sha in head.files_sha256.items()}
    for name, sha in {PROCEDURE: head.procedure_sha256, **wanted}.items():
        text = folder.read(name)
        if sha and digest(text.encode()) != sha:
            raise RecordError("it was changed since the job", place=str(folder.path / name))
        yield name, text


def _sounds(
    folder: SessionFolder, entries: Sequence[Entry], lines: Sequence[Line]
) -> tuple[dict[str, bytes], dict[int, str]]:
    """The sound that is whole, and why other sound is not there."""
    heard = {line.seq for line in lines if isinstance(line, Heard) and line.listener}
    named = {sound.seq: sound for sound in named_sounds(entries) if sound.seq in heard}
    lost, removed = lost_sounds(entries), _removed(folder)
    sounds: dict[str, bytes] = {}
    without = dict.fromkeys(heard - named.keys(), "no sound of it was kept")
    for seq, sound in named.items():
        try:
            content = disk.read_whole(folder.path / sound.name)
        except OSError:
            without[seq] = _why_gone(sound.name, lost, removed)
            continue
        if sound.sha256 and digest(content) == sound.sha256:
            sounds[sound.name] = content
        else:
            without[seq] = "its sound is not what was kept"
    return sounds, without


def _removed(folder: SessionFolder) -> Mapping[str, str]:
    """Name of removed sound to the day it was removed."""
    try:
        found = removal.stub(folder, removal.SOUND_STUB)
    except RecordError:
        return {}
    return dict.fromkeys(found.files, found.removed_at[:10]) if found is not None else {}


def _why_gone(name: str, lost: Collection[str], removed: Mapping[str, str]) -> str:
    if name in removed:
        return f"its sound was removed on {removed[name]}"
    return "its sound could not be kept then" if name in lost else "its sound is gone"

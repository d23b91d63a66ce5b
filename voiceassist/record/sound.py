"""Sound that lines of a journal name, and whether it is still what was kept. Pure.

A line of something said carries ``sound``, the name of a file beside the journal; with it
``sound_sha256``, SHA-256 of that file in small hexadecimal, and ``sound_start_s``, the second of
the session at which the file begins. Since those stand in the chain of hashes, a changed file
shows. A line of the kind ``sound-lost`` names files that could not be written, or that a kill
had kept from the disk.
"""

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass
from enum import Enum

from voiceassist.record.entry import Entry, lines_of
from voiceassist.record.lines import SoundLost, of_kind

#: Ending of the files.
ENDING = ".flac"


class SoundKind(Enum):
    """What a stretch of sound is; the name of its file begins so."""

    HEARD = "heard"  # what the technician said
    NOTE = "note"  # a spoken note: the words caught are only a guess at it
    SAID = "said"  # what the assistant said


class SoundHarm(Enum):
    """What can be found of a sound file."""

    MISSING = "missing"
    CHANGED = "changed"
    LOST = "lost"  # the journal says so itself
    NO_HASH = "no hash"
    UNNAMED = "unnamed"  # a kill came between the file and its line, or somebody put it there


@dataclass(frozen=True, slots=True)
class NamedSound:
    """A sound file that a line names.

    Parts:
        seq: number of the line.
        name: plain name of the file.
        sha256: of the file; empty when none was kept.
    """

    seq: int
    name: str
    sha256: str


@dataclass(frozen=True, slots=True)
class SoundFault:
    """Something about a sound file that is not as it should be.

    Parts:
        harm: what kind; ``MISSING`` and ``CHANGED`` are faults, the others are worth a note.
        sound: the file, and the line that names it; line 0 when none does.
        found: one clause.
    """

    harm: SoundHarm
    sound: NamedSound
    found: str


def named_sounds(lines: Sequence[Entry]) -> tuple[NamedSound, ...]:
    """The sound that ``lines`` name, in order; a name that leads elsewhere is none."""
    found = []
    for line in lines_of(lines):
        if _is_plain(line.sound):
            found.append(NamedSound(line.seq, line.sound, line.sound_sha256))
    return tuple(found)


def lost_sounds(lines: Sequence[Entry]) -> frozenset[str]:
    """Names of sound that the journal itself tells to be lost."""
    lost = of_kind(lines_of(lines), SoundLost)
    return frozenset(name for line in lost for name in line.names)


def checked_sounds(
    lines: Sequence[Entry],
    sha256_of: Callable[[str], str | None],
    removed: Collection[str] = (),
    there: Collection[str] = (),
) -> Iterator[SoundFault]:
    """Hold sound files against the lines that name them.

    Args:
        lines: of the journal, its good ones.
        sha256_of: gives SHA-256 of the file so called, None when there is none.
        removed: names of files that were removed on purpose.
        there: names of the sound files of utterances and answers that there are.
    """
    lost, named = lost_sounds(lines), named_sounds(lines)
    for sound in named:
        if sound.name not in removed:
            yield from _checked(sound, sha256_of(sound.name), told_lost=sound.name in lost)
    for name in sorted(set(there) - {sound.name for sound in named}):
        unnamed = NamedSound(0, name, "")
        yield SoundFault(SoundHarm.UNNAMED, unnamed, "no line of the journal names it")


def _checked(sound: NamedSound, sha256: str | None, *, told_lost: bool) -> Iterator[SoundFault]:
    if sha256 is None and told_lost:
        yield SoundFault(SoundHarm.LOST, sound, "it could not be kept; the journal says so")
    elif sha256 is None:
        found = f"line {sound.seq} of the journal names it, and it is gone"
        yield SoundFault(SoundHarm.MISSING, sound, found)
    elif not sound.sha256:
        yield SoundFault(SoundHarm.NO_HASH, sound, "no hash was kept of it")
    elif sha256 != sound.sha256:
        found = f"it is not the sound of line {sound.seq} of the journal"
        yield SoundFault(SoundHarm.CHANGED, sound, found)


def _is_plain(name: str) -> bool:
    return name not in {"", ".", ".."} and "/" not in name and "\0" not in name

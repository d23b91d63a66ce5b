"""What a session's first line, its stubs and its clock tell against its folder. Pure but for names.

Each function gives clauses for people; none when there is nothing to tell.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta

from voiceassist.archive.asking import Seal
from voiceassist.record.entry import Entry, lines_of
from voiceassist.record.lines import Other, SessionLine
from voiceassist.record.removal import Removal
from voiceassist.record.sound import named_sounds
from voiceassist.record.times import steps_back
from voiceassist.record.webvtt import one_line

#: Between the making of a folder and its first line.
_SLACK = timedelta(minutes=2)


def misnamed(folder: str, entries: Sequence[Entry]) -> str:
    """Why ``folder`` is not what this session was called when it began; empty when it is.

    Journals of earlier versions do not hold the name; there the time in it is compared.
    """
    if not entries:
        return ""
    if own := SessionLine(entries[0].fields).session:
        return "" if own == folder else f"it is the session {own}: copied, or renamed since"
    try:
        named = datetime.strptime(folder[:15], "%Y%m%d-%H%M%S")
    except ValueError:
        return ""
    began = entries[0].at.replace(tzinfo=None)
    if abs(began - named) <= _SLACK:
        return ""
    return f"it was begun at {began:%Y-%m-%d %H:%M}, as its name does not say: copied, or renamed"


def false_deletion(stub: Removal, seal: Seal | None) -> str:
    """Why a stub is not that of the session which the archive has seen; empty when it can be."""
    if (
        seal is None
        or not seal.lines
        or (stub.lines, stub.last_hash) == (seal.lines, seal.last_hash)
    ):
        return ""
    return (
        f"it names {stub.lines} lines and another last hash than the {seal.lines} lines that the"
        " archive has seen; if the session is to be gone, delete it by its name"
    )


def false_silence(stub: Removal, entries: Sequence[Entry], there: Sequence[str]) -> Iterator[str]:
    """Why a stub of removed sound is not true: a removal takes all sound there is by then."""
    if stub.lines > len(entries) or (stub.lines and entries[stub.lines - 1].hash != stub.last_hash):
        yield "it names a line that this journal does not have"
    named = [sound.name for sound in named_sounds(entries) if sound.seq <= stub.lines]
    left = [name for name in named if name in there]
    if left:
        yield f"it says that the sound was removed, and {len(left)} files of it are here"
    untold = [name for name in named if name not in there and name not in stub.files]
    if untold:
        yield f"{', '.join(untold[:3])} went with the sound, and it does not say so"


def newer_notes(entries: Sequence[Entry]) -> Iterator[str]:
    """What a newer version has written that this one keeps and cannot tell."""
    kinds, fields = Counter[str](), Counter[str]()
    for line in lines_of(entries):
        if isinstance(line, Other):
            kinds[line.event] += 1
        else:
            fields.update(f"{name} of {line.event}" for name in line.unknown)
    if kinds:
        counted = ", ".join(f"{one_line(kind)} ({count})" for kind, count in sorted(kinds.items()))
        yield f"lines of kinds that this version does not know: {counted}"
    if fields:
        counted = ", ".join(f"{one_line(name)} ({count})" for name, count in sorted(fields.items()))
        yield f"fields that this version does not know: {counted}"


def clock_notes(entries: Sequence[Entry]) -> Iterator[str]:
    """Where the computer's clock ran backwards."""
    for seq, seconds in steps_back([entry.fields for entry in entries]):
        yield f"the clock ran back by {seconds} s before line {seq}: times are the computer's own"

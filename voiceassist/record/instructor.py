"""A note of the instructor's on its way to a session: one file, until it is spoken.

Whoever may write in the session's folder, which is its owner's alone, may leave one. The session
that has the journal open takes it, keeps it in the journal, speaks it and removes the file.
"""

import errno
import json
import os
import secrets
import stat
import unicodedata
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from voiceassist.errors import RecordError
from voiceassist.record import disk

NOTE = "instructor-note.json"
#: So much can be said at a pause, and a name is no longer.
MOST_WORDS, MOST_NAME = 200, 40
_LARGEST = 4096
#: Signs beside letters, figures and blanks that a voice can be given.
_MARKS = frozenset(".,;:!?'’\"()/%°+-–±&Ωµ")
_NAME_MARKS = frozenset(".'’-")


@dataclass(frozen=True, slots=True)
class WaitingNote:
    """What an instructor has to say.

    Parts:
        id: by which it is known again, so that it is spoken once.
        by: his name.
        words: of the note.
    """

    id: str
    by: str
    words: str


def note_of(by: str, words: str) -> WaitingNote:
    """A note as it can be spoken.

    Raises:
        RecordError: the name or the words are missing, too long, or hold what nobody says.
    """
    return WaitingNote(
        secrets.token_hex(8),
        _plain(by, "name", MOST_NAME, _NAME_MARKS),
        _plain(words, "note", MOST_WORDS, _MARKS),
    )


def _plain(text: str, what: str, most: int, marks: frozenset[str]) -> str:
    plain = " ".join(text.split())
    if not plain:
        raise RecordError(f"the {what} is empty", remedy="write one")
    if len(plain) > most:
        raise RecordError(f"the {what} has {len(plain)} characters", remedy=f"write at most {most}")
    for sign in plain:
        if not (unicodedata.category(sign)[0] in "LMN" or sign == " " or sign in marks):
            raise RecordError(
                f"the {what} has a character that cannot be said, U+{ord(sign):04X}",
                remedy="write plain words",
            )
    return plain


def leave(folder: Path, note: WaitingNote) -> None:
    """Leave ``note`` for the session in ``folder``.

    Raises:
        RecordError: the one before it was not spoken yet, or the disk refuses it.
    """
    about = {"id": note.id, "by": note.by, "words": note.words}
    draft = folder / f".{secrets.token_hex(4)}.{NOTE}"
    try:
        disk.write_whole(draft, json.dumps(about).encode())
        try:
            os.link(draft, folder / NOTE)  # which never takes the place of another
        finally:
            draft.unlink(missing_ok=True)
    except FileExistsError:
        raise RecordError(
            "the note before this one was not spoken yet", remedy="wait for the next pause"
        ) from None
    except OSError as error:
        raise RecordError(f"the note cannot be left: {disk.reason(error)}") from None


def waiting(folder: Path) -> WaitingNote | None:
    """The note that waits in ``folder``; one that is none is removed, and None like no note."""
    path = folder / NOTE
    try:
        handle = os.open(path, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK)
    except OSError as error:
        if error.errno == errno.ELOOP:
            remove(folder)
        return None
    with open(handle, "rb") as file:
        regular = stat.S_ISREG(os.fstat(handle).st_mode)
        data = file.read(_LARGEST + 1) if regular else b""
    found = _read(data)
    if found is None:
        remove(folder)
    return found


def _read(data: bytes) -> WaitingNote | None:
    if len(data) > _LARGEST:
        return None
    with suppress(ValueError, TypeError, KeyError, RecursionError, RecordError):
        told = json.loads(data)
        note = note_of(str(told["by"]), str(told["words"]))
        return WaitingNote(str(told["id"])[:16], note.by, note.words)
    return None


def remove(folder: Path) -> None:
    """Take the note away."""
    with suppress(OSError):
        (folder / NOTE).unlink()

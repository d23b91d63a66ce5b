"""Records verified: every journal's chain, what is made from it, and the archive."""

import re
from collections.abc import Iterator, Sequence
from typing import Any

from voiceassist import __version__
from voiceassist.app.records.find_session import resolved
from voiceassist.app.records.opened import Records
from voiceassist.archive.ahead import ahead
from voiceassist.archive.sync import Progress
from voiceassist.archive.verify import Verified, verified
from voiceassist.errors import ArchiveError, RecordError, SettingsError
from voiceassist.record.folder import SessionFolder, sessions

ALL = "all"
CANNOT_SEE = (
    "an end that was cut before the archive, a report or a transcript had seen it",
    "a journal written anew as a whole, together with all that holds a hash of it: --hash holds"
    " it against a page that was handed out",
    "sound that was changed, where the journal holds no hash of it",
    "pages, and other files of a session, that the journal holds no hash of: make pages anew",
    "whether the clock was right: times are those of the computer",
)


#: Digits of a hash that are asked for at least, and all that there are.
LEAST_DIGITS, ALL_DIGITS = 12, 64
_HEX = re.compile(r"[0-9a-f]+", re.ASCII)


def hash_on_paper(text: str, names: Sequence[str]) -> str:
    """A hash, or its beginning, as somebody typed it from a page; empty for none.

    Raises:
        SettingsError: it is no hash, too short, or not asked of one session.
    """
    plain = "".join(text.split()).lower()
    if text and not (_HEX.fullmatch(plain) and LEAST_DIGITS <= len(plain) <= ALL_DIGITS):
        raise SettingsError(
            f"found {text!r}",
            place="--hash",
            remedy=f"give the first {LEAST_DIGITS} or more of the {ALL_DIGITS} signs on the page,"
            " figures and letters a to f",
        )
    if text and (len(names) != 1 or ALL in names):
        raise SettingsError(
            "a hash is that of one session", place="--hash", remedy="name that session"
        )
    return plain


def verify(
    records: Records,
    names: Sequence[str],
    known_hash: str = "",
    progress: Progress = lambda done, of: None,
) -> Iterator[dict[str, Any]]:
    """Look through sessions, as the JSON objects of ``records verify``.

    Args:
        records: where they lie.
        names: as people call them; none, or "all", for every one.
        known_hash: that a line of the one session must have, or its beginning.
        progress: told how many sessions of how many are looked through.

    Raises:
        RecordError: one of ``names`` is not found.
    """
    everything = not names or ALL in names
    records.sync(progress=progress)
    folders = _all(records) if everything else [resolved(records, name) for name in names]
    for count, (folder, held) in enumerate(ahead(records.archive, folders), 1):
        progress(count, len(folders))
        try:
            yield _about(verified(folder, held, __version__, known_hash=known_hash))
        except (RecordError, ArchiveError) as error:
            problem = {"kind": "unreadable", "file": "", "line": 0, "found": str(error)}
            yield _about(Verified(folder.id)) | {"ok": False, "problems": [problem]}


def _all(records: Records) -> list[SessionFolder]:
    """Every session that was begun, those whose folder is gone too."""
    known = {name: SessionFolder(records.folder / name) for name in records.archive.known()}
    others = (folder for folder in sessions(records.folder) if folder.id not in known)
    there = {folder.id: folder for folder in others if folder.begun or folder.deleted}
    return [folder for _, folder in sorted((known | there).items())]


def _about(found: Verified) -> dict[str, Any]:
    return {
        "session": found.session,
        "ok": not found.problems,
        "lines": found.lines,
        "last_hash": found.last_hash,
        "held_by": list(found.held_by),
        "problems": [
            {"kind": p.kind, "file": p.file, "line": p.line, "found": p.found}
            for p in found.problems
        ],
        "notes": list(found.notes),
        "cannot_see": list(CANNOT_SEE),
    }

"""Kept sound that is old enough goes when the next session begins; words stay."""

import getpass
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

from voiceassist.app.sources import Warn
from voiceassist.errors import RecordError
from voiceassist.record import removal, times
from voiceassist.record.folder import SessionFolder, sessions
from voiceassist.record.journal import verify
from voiceassist.record.removal import Removal


def prune_sound(records: Path, days: int, now: datetime, warn: Warn) -> None:
    """Remove the sound of every session whose last line is more than ``days`` days old.

    A stub in its folder says so. What cannot be removed is told, and tried again next time.
    """
    for folder in _old(records, now - timedelta(days=days)):
        try:
            removal.remove_sound(folder, _removal(folder, days, now))
        except RecordError as error:
            warn(str(error))


def _old(records: Path, due: datetime) -> Iterator[SessionFolder]:
    """Sessions with sound that ended before ``due``; journals without any are not read."""
    for folder in sessions(records):
        if removal.sound_files(folder) and folder.journal.exists():
            entries = verify(folder.journal).entries
            if entries and entries[-1].at < due:
                yield folder


def _removal(folder: SessionFolder, days: int, now: datetime) -> Removal:
    chain = verify(folder.journal)
    earlier = removal.stub(folder, removal.SOUND_STUB)
    names = {path.name for path in removal.sound_files(folder)}
    return Removal(
        session=folder.id,
        removed_at=times.written(now),
        by=_user(),
        reason=f"keep_sound is days:{days}",
        lines=len(chain.entries),
        last_hash=chain.last_hash,
        files=tuple(sorted(names | set(earlier.files if earlier is not None else ()))),
    )


def _user() -> str:
    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):
        return "unknown"

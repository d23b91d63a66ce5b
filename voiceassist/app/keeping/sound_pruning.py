"""Kept sound that is old enough goes when the next session begins; words stay."""

from datetime import datetime, timedelta
from pathlib import Path

from voiceassist.app.keeping.removal_rules import ended_at, removal_of
from voiceassist.app.warn import Warn
from voiceassist.errors import RecordError
from voiceassist.record import removal
from voiceassist.record.folder import SessionFolder, sessions


def prune_sound(records: Path, days: int, now: datetime, warn: Warn) -> None:
    """Remove the sound of every session whose last line is more than ``days`` days old.

    A stub in its folder says so. What cannot be removed is told, and tried again next time.
    """
    for folder in sessions(records):
        if folder.refused:
            warn(f"{folder.journal}: its sound is kept, for {folder.refused}")
        elif folder.begun and removal.sound_files(folder):
            try:
                _prune(folder, days, now)
            except RecordError as error:
                warn(str(error))


def _prune(folder: SessionFolder, days: int, now: datetime) -> None:
    ended = ended_at(folder)
    if ended is not None and ended < now - timedelta(days=days):
        names = [path.name for path in removal.sound_files(folder)]
        gone = removal_of(folder, names, f"keep_sound is days:{days}", now)
        removal.remove_sound(folder, gone)

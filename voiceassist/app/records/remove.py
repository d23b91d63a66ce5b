"""Sessions deleted, and old ones pruned; a dated stub stays in the place of each."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

from voiceassist.app.keeping.removal_rules import ended_at, removal_of
from voiceassist.app.records.find_session import resolved
from voiceassist.app.records.opened import Records, Wanted, wall
from voiceassist.errors import RecordError, SettingsError
from voiceassist.record import removal, times
from voiceassist.record.folder import STUB, SessionFolder, sessions
from voiceassist.record.removal import Removal

_AGE = re.compile(r"(\d{1,5})\s*([dwy])", re.ASCII)
_DAYS = {"d": 1, "w": 7, "y": 365}


def age(text: str) -> timedelta:
    """An age such as "90d", "12w" or "2y" (of 365 days).

    Raises:
        SettingsError: it is none.
    """
    match = _AGE.fullmatch(text.strip().lower())
    if match is None:
        raise SettingsError(
            f"found {text!r}", place="--older-than", remedy="write it like 90d, 12w or 2y"
        )
    return timedelta(days=int(match[1]) * _DAYS[match[2]])


def delete(records: Records, name: str, reason: str) -> dict[str, Any]:
    """Delete the session called ``name``; the JSON object of ``records delete``.

    Raises:
        RecordError: it is not found, a session has it open, or the disk refuses.
        ArchiveError: the folder is deleted, but the archive could not be told; it will be when
            it is next looked at.
    """
    folder = resolved(records, name)
    gone = _begun(folder) or _removal(folder, reason)
    removal.remove_session(folder, gone)
    records.archive.forget([gone])
    return gone.to_json()


def _begun(folder: SessionFolder) -> Removal | None:
    """The stub of a removal that broke off; None without one, or when it says nothing."""
    try:
        return removal.stub(folder)
    except RecordError:
        return None


def _removal(folder: SessionFolder, reason: str, *, sound_only: bool = False) -> Removal:
    paths = removal.sound_files(folder) if sound_only else folder.path.iterdir()
    return removal_of(folder, (p.name for p in paths if p.name != STUB), reason, wall())


@dataclass(frozen=True, slots=True)
class Pruning:
    """What to prune.

    Parts:
        older_than: sessions whose last line is older.
        sound_only: only their sound goes; journals stay.
        dry_run: tell only.
    """

    older_than: timedelta
    sound_only: bool = False
    dry_run: bool = False

    def __post_init__(self) -> None:
        if self.older_than <= timedelta(0):
            raise SettingsError(
                "no time at all would prune everything",
                place="--older-than",
                remedy="give at least a day",
            )

    def due(self, now: datetime) -> float:
        """What ended before this moment (seconds since 1970) is old enough."""
        return now.timestamp() - self.older_than.total_seconds()


def prune(records: Records, asked: Pruning) -> Iterator[dict[str, Any]]:
    """Prune old sessions, as the JSON objects of ``records prune``."""
    records.sync()
    gone: list[Removal] = []
    try:
        for folder, last_at, ended in _old(records, asked):
            about: dict[str, Any] = {
                "session": folder.id,
                "last_at": last_at,
                "ended": ended,
                "bytes": sum(path.lstat().st_size for path in _doomed(folder, asked)),
                "removed": False,
                "error": _refusal(folder, asked),
            }
            if not asked.dry_run and not about["error"]:
                about |= _prune(folder, asked, gone)
            yield about
    finally:
        if gone:
            records.archive.forget(gone)


def would_go(records: Records, asked: Pruning) -> str:
    """What would be pruned, in a clause with how many and from when to when; empty for nothing."""
    found = [one for one in prune(records, replace(asked, dry_run=True)) if not one["error"]]
    if not found:
        return ""
    days = sorted(str(one["last_at"])[:10] for one in found)
    many = "1 session" if len(found) == 1 else f"{len(found)} sessions"
    what = f"the sound of {many}" if asked.sound_only else many
    when = f"of {days[0]}" if days[0] == days[-1] else f"of {days[0]} to {days[-1]}"
    open_ = sum(not one["ended"] for one in found)
    unfinished = f", {open_} of them not ended" if open_ else ""
    megabytes = sum(int(one["bytes"]) for one in found) / 1_000_000
    return f"{what} {when}{unfinished}, {megabytes:.1f} MB"


def _prune(folder: SessionFolder, asked: Pruning, gone: list[Removal]) -> dict[str, Any]:
    why = f"pruned: older than {asked.older_than.days} days"
    try:
        done = _removal(folder, why, sound_only=asked.sound_only)
        if asked.sound_only:
            removal.remove_sound(folder, done)
        else:
            removal.remove_session(folder, done)
            gone.append(done)
    except RecordError as error:
        return {"error": str(error)}
    return {"removed": True}


def _old(records: Records, asked: Pruning) -> Iterator[tuple[SessionFolder, str, bool]]:
    """Sessions of this folder that are old enough and have something to prune; oldest first.

    Each with the time of its last line, and whether it has ended.
    """
    due = asked.due(wall())
    there = {folder.id: folder for folder in sessions(records.folder)}
    for row in reversed(records.archive.find(Wanted())):
        folder = there.get(row["folder"])  # a folder is named by the disk, never by a database
        if folder is None or not records.here(row) or not _before(row["last_at"], due):
            continue
        if _doomed(folder, asked):
            yield folder, row["last_at"], bool(row["ended"])


def _refusal(folder: SessionFolder, asked: Pruning) -> str:
    """Why it is not to be pruned though the archive says that it is old; empty when it is.

    The journal has the last word; past a line that was altered nobody knows how old it is.
    """
    try:
        last = ended_at(folder)
    except RecordError as error:
        return str(error)
    last_at = times.written(last) if last is not None else ""
    due = asked.due(wall())
    return "" if _before(last_at, due) else "the archive is wrong, it is younger; rebuild that"


def _before(at: str, due: float) -> bool:
    """Nothing is old whose age is not known."""
    try:
        return times.parsed(at).timestamp() < due
    except ValueError:
        return False


def _doomed(folder: SessionFolder, asked: Pruning) -> list[Any]:
    if asked.sound_only:
        return list(removal.sound_files(folder))
    return [path for path in folder.path.rglob("*") if path.is_file()]

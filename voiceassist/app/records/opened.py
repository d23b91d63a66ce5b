"""The folder of records and its archive, opened together; sessions listed and found."""

import os
import socket
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from voiceassist.app.settings.chosen import existing_records_folder, records_folder, settings_for
from voiceassist.archive.asking import Row
from voiceassist.archive.engine import address, is_damaged
from voiceassist.archive.find import Wanted
from voiceassist.archive.store import Archive
from voiceassist.archive.sync import Progress, Synced, sync
from voiceassist.errors import RecordError
from voiceassist.record import times
from voiceassist.record.bay import bay_id
from voiceassist.record.folder import SessionFolder
from voiceassist.record.outcomes import in_words

__all__ = ["Records", "Synced", "Wanted", "opened", "rebuilt", "wall"]

ARCHIVE = "archive.db"


@dataclass(frozen=True, slots=True)
class Records:
    """A folder of records with its open archive.

    Parts:
        folder: where the sessions lie.
        archive: what is known of them, and of those of other bays.
    """

    folder: Path
    archive: Archive

    def sync(self, *, anew: bool = False, progress: Progress = lambda done, of: None) -> Synced:
        """Take in what journals are new or longer; all of them ``anew``."""
        self.archive.note_bay(_shown(self.folder))
        return sync(self.archive, self.folder, _points_of, anew=anew, progress=progress)

    def here(self, row: Row) -> bool:
        """The session of an archive's row lies in this folder."""
        return bool(row["place"] == self.archive.place)


@contextmanager
def opened(records: str = "", archive: str = "") -> Iterator[Records]:
    """Open the records.

    Args:
        records, archive: of the command line; empty for what is set, or the default.

    Raises:
        RecordError: there is no such folder.
        ArchiveError: the archive cannot be reached or written.
        SettingsError: a setting cannot be used.
    """
    chosen = settings_for(records, archive)
    folder = existing_records_folder(chosen)
    where = chosen.archive or str(_own_archive(folder))
    place = (bay_id(folder) or _shown(folder)) if chosen.archive else ""
    with Archive.open(where, place) as found:
        yield Records(folder, found)


def _points_of(folder: SessionFolder) -> Mapping[str, Sequence[str]]:
    """Asked of new sessions alone, and what answers takes long to import."""
    from voiceassist.app.pages.session_folder import points_of

    return points_of(folder)


def _shown(folder: Path) -> str:
    """A folder of records as people know it: host and path."""
    return f"{socket.gethostname()}:{folder.resolve()}"


def _own_archive(folder: Path) -> Path:
    """The archive in a folder of records; another beside it where that is another account's."""
    usual = folder / ARCHIVE
    if not usual.exists() or os.access(usual, os.R_OK | os.W_OK) or not hasattr(os, "geteuid"):
        return usual
    mine = usual.stat().st_uid == os.geteuid()
    return usual if mine else usual.with_name(f"archive-{os.geteuid()}.db")


# --- listed and found ---


def listed(records: Records, limit: int) -> list[dict[str, Any]]:
    """The youngest sessions, deleted ones too, as the JSON objects of ``records list``."""
    bays = records.archive.bays()
    wanted = Wanted(limit=limit)
    rows = records.archive.find(wanted)
    found = [(row["number"], about) for row, about in zip(rows, _told(records, rows), strict=True)]
    gone = [(row["number"], _deleted(row, bays)) for row in records.archive.deletions(limit)]
    ordered = [about for _, about in sorted(found + gone, key=lambda pair: pair[0], reverse=True)]
    return ordered[:limit] if limit else ordered


def found(records: Records, wanted: Wanted) -> list[dict[str, Any]]:
    """The sessions that fit, as the JSON objects of ``records find``."""
    return _told(records, records.archive.find(wanted))


def _told(records: Records, rows: Sequence[Row]) -> list[dict[str, Any]]:
    bays, broken = records.archive.bays(), records.archive.broken_seals()
    return [
        _about(row, bays) | {"as_seen": (row["place"], row["folder"]) not in broken} for row in rows
    ]


def _about(row: Row, bays: Mapping[str, str]) -> dict[str, Any]:
    names = ("began", "last_at", "procedure", "title", "repair_order", "vehicle", "technician")
    more = ("complaint", "outcome", "cause", "lines", "last_hash", "chain")
    state = "missing" if row["missing"] else "ended" if row["ended"] else "open"
    outcome = in_words(row["outcome"])
    about = {"session": row["folder"], "state": state, **{n: row[n] for n in (*names, *more)}}
    place = bays.get(row["place"], row["place"])
    about |= {"minutes": round(row["worked_s"] / 60, 1), "questions": row["questions"]}
    return about | {"outcome_text": outcome, "place": place, "bay": row["place"]}


def _deleted(row: Row, bays: Mapping[str, str]) -> dict[str, Any]:
    names = ("removed_at", "removed_by", "reason", "last_hash")
    about = {"session": row["folder"], "state": "deleted", **{name: row[name] for name in names}}
    return about | {"place": bays.get(row["place"], row["place"]), "bay": row["place"]}


# --- rebuilt ---


@dataclass(frozen=True, slots=True)
class Rebuilt:
    """What a rebuild came to: what was read, what it took, and where a broken file is now."""

    synced: Synced
    seconds: float
    set_aside: str = ""


def rebuilt(records: str, archive: str, progress: Progress) -> Rebuilt:
    """Make the archive again from the journals; a broken SQLite file is set aside first.

    Raises:
        as ``opened``, and RecordError when the file cannot be set aside.
    """
    chosen = settings_for(records, archive)
    url = address(chosen.archive or str(_own_archive(records_folder(chosen))))
    aside = ""
    if url.get_backend_name() == "sqlite" and is_damaged(Path(url.database or "")):
        aside = _set_aside(Path(url.database or ""))
    began = wall()
    with opened(records, archive) as there:
        synced = there.sync(anew=True, progress=progress)
    took = Rebuilt(synced, (wall() - began).total_seconds())
    return replace(took, set_aside=aside)


def _set_aside(path: Path) -> str:
    """Give a broken file and those beside it other names."""
    target = path.with_name(f"{path.name}.damaged-{wall():%Y%m%d-%H%M%S}")
    try:
        for ending in ("-wal", "-shm", ""):
            part = path.with_name(path.name + ending)
            if part.exists():
                part.rename(target.with_name(target.name + ending))
    except OSError as error:
        raise RecordError(
            f"the broken archive cannot be set aside: {error.strerror}",
            place=str(path),
            remedy="make its folder writable",
        ) from None
    return str(target)


def wall() -> datetime:
    """Now, by the clock on the wall, with its offset from UTC."""
    return times.here()

"""Transcript and report: made from the journal at the end of a session, or when missing."""

import os
from collections.abc import Callable, Sequence
from pathlib import Path

from voiceassist.app.pages.pages import page
from voiceassist.app.warn import Warn
from voiceassist.errors import RecordError
from voiceassist.record.entry import Entry
from voiceassist.record.folder import (
    REPORT,
    REPORT_HTML,
    TRANSCRIPT_TXT,
    TRANSCRIPT_VTT,
    SessionFolder,
    sessions,
)
from voiceassist.record.read_journal import read
from voiceassist.record.report import report
from voiceassist.record.transcript import Transcript

#: So many sessions are completed when a job begins; the next one takes the rest.
_AT_ONCE = 10


def make_files(folder: SessionFolder, entries: Sequence[Entry], warn: Warn) -> None:
    """Write all that is made of ``entries``; the page for people only when the session has ended.

    What cannot be written is told, and keeps nothing else from being so.
    """
    transcript = Transcript(entries)
    making: dict[str, Callable[[], str | bytes]] = {
        TRANSCRIPT_VTT: transcript.webvtt,
        TRANSCRIPT_TXT: transcript.plain_text,
        REPORT: lambda: report(entries),
    }
    if _ended(entries):
        making[REPORT_HTML] = lambda: page(folder, entries)
    for name, make in making.items():
        _make(folder, name, make, warn)


def complete(records: Path, warn: Warn) -> None:
    """Make the files of sessions that have ended without them, by a kill or a full disk.

    A session that cannot be read here, another account's for one, is nobody's hindrance. The
    youngest come first, and no job waits for more than a few.
    """
    left = _AT_ONCE
    for folder in reversed(sessions(records)):
        if not left:
            return
        if os.path.exists(f"{folder.path}/{REPORT_HTML}"):  # so with most, and quickly told
            continue
        if not folder.begun or folder.refused or folder.deleted:
            continue
        try:
            entries = read(folder.journal)
        except RecordError:  # ``records verify`` tells what is wrong with it
            continue
        if _ended(entries):
            make_files(folder, entries, warn)
            left -= 1


def _ended(entries: Sequence[Entry]) -> bool:
    return any(entry.event == "end" for entry in entries)


def _make(folder: SessionFolder, name: str, make: Callable[[], str | bytes], warn: Warn) -> None:
    try:
        folder.write(name, make())
    except RecordError as error:
        warn(str(error))
    except Exception as error:  # the journal is whole, and the file can be made again from it
        warn(f"{folder.path / name}: it could not be made ({type(error).__name__}: {error})")

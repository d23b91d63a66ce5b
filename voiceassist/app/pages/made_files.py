"""Transcript and report: made from the journal at the end of a session, or when missing."""

from collections.abc import Callable, Sequence
from pathlib import Path

from voiceassist.app.pages.pages import page
from voiceassist.app.warn import Warn
from voiceassist.errors import RecordError
from voiceassist.record.chain import Entry
from voiceassist.record.folder import (
    REPORT,
    REPORT_HTML,
    TRANSCRIPT_TXT,
    TRANSCRIPT_VTT,
    SessionFolder,
    sessions,
)
from voiceassist.record.journal import read
from voiceassist.record.report import report
from voiceassist.record.sequence import in_order
from voiceassist.record.transcript import plain_text, webvtt


def make_files(folder: SessionFolder, entries: Sequence[Entry], warn: Warn) -> None:
    """Write all that is made of ``entries``; the page for people only when the session has ended.

    What cannot be written is told, and keeps nothing else from being so.
    """
    making: dict[str, Callable[[], str | bytes]] = {
        TRANSCRIPT_VTT: lambda: webvtt(entries),
        TRANSCRIPT_TXT: lambda: plain_text(entries),
        REPORT: lambda: report(entries),
    }
    if _ended(entries):
        making[REPORT_HTML] = lambda: page(folder, entries)
    for name, make in making.items():
        _make(folder, name, make, warn)


def complete_last(records: Path, warn: Warn) -> None:
    """Make the files of the youngest session, when a kill came between its end and them.

    A session that cannot be read here, another account's for one, is nobody's hindrance.
    """
    mine = [folder for folder in sessions(records) if folder.begun and not folder.refused]
    for folder in in_order(mine)[-1:]:
        if (folder.path / REPORT_HTML).exists():
            continue
        try:
            entries = read(folder.journal)
        except RecordError:  # ``records verify`` tells what is wrong with it
            continue
        if _ended(entries):
            make_files(folder, entries, warn)


def _ended(entries: Sequence[Entry]) -> bool:
    return any(entry.event == "end" for entry in entries)


def _make(folder: SessionFolder, name: str, make: Callable[[], str | bytes], warn: Warn) -> None:
    try:
        folder.write(name, make())
    except RecordError as error:
        warn(str(error))
    except Exception as error:  # the journal is whole, and the file can be made again from it
        warn(f"{folder.path / name}: it could not be made ({type(error).__name__}: {error})")

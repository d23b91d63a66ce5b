"""Where records of sessions lie: one folder per session, named by time, procedure and chance."""

import os
import re
import secrets
import stat
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from voiceassist.errors import RecordError
from voiceassist.record import disk

JOURNAL = "journal.jsonl"
TRANSCRIPT_VTT = "transcript.vtt"
TRANSCRIPT_TXT = "transcript.txt"
REPORT = "report.txt"
REPORT_HTML = "report.html"
PROCEDURE = "procedure.yaml"
METER = "meter.yaml"
ANSWERS = "answers.wav"
#: What is left in the place of a session that was deleted.
STUB = "deleted.json"

_NAME = re.compile(r"\d{8}-\d{6}-[a-z0-9-]+-[0-9a-f]{4,}", re.ASCII)


def used_file(name: str) -> str:
    """How a procedure that the session's own puts in is called in its folder."""
    return f"used-{name}.yaml"


@dataclass(frozen=True, slots=True)
class SessionFolder:
    """The folder of one session.

    Parts:
        path: where it is; its last part is the session's ``id``.
    """

    path: Path

    @property
    def id(self) -> str:
        """What the session is called."""
        return self.path.name

    @property
    def journal(self) -> Path:
        """The journal in it."""
        return self.path / JOURNAL

    def write(self, name: str, content: str | bytes) -> Path:
        """Put a file made from the journal into the folder, whole or not at all.

        Args:
            name: plain name of the file; one that is there is replaced.
            content: text, written as UTF-8, or bytes.

        Raises:
            RecordError: the disk refuses it.
        """
        path = self._inside(name)
        data = content.encode("utf-8", "replace") if isinstance(content, str) else content
        try:
            disk.write_whole(path, data)
        except OSError as error:
            raise _refused("it cannot be written", path, error) from None
        return path

    def read(self, name: str) -> str:
        """The text of a file in the folder.

        Raises:
            RecordError: it cannot be read, or is not UTF-8.
        """
        path = self._inside(name)
        try:
            return disk.read_whole(path).decode("utf-8")
        except UnicodeDecodeError:
            raise RecordError("it is not UTF-8 text", place=str(path)) from None
        except OSError as error:
            raise _refused("it cannot be read", path, error) from None

    def _inside(self, name: str) -> Path:
        if name in {"", ".", "..", JOURNAL} or os.path.basename(name) != name:
            raise ValueError(f"{name!r} is not a name for a file made from the journal")
        return self.path / name

    @property
    def deleted(self) -> bool:
        """A stub says that the session was deleted, though not all of it may be gone."""
        return _is_there(self.path / STUB)

    @property
    def begun(self) -> bool:
        """A journal is there, and this account may see it."""
        return _is_there(self.journal)

    @property
    def refused(self) -> str:
        """Why the journal cannot be read, such as a session of another account's; else empty."""
        try:
            found = os.stat(self.journal)
        except (FileNotFoundError, NotADirectoryError):
            return ""  # nothing was begun here, or it is gone
        except OSError as error:
            return disk.reason(error)
        if not stat.S_ISREG(found.st_mode):
            return "its journal is not a file"
        return "" if os.access(self.journal, os.R_OK) else "permission forbids it"

    @property
    def unfinished(self) -> bool:
        """A session was begun here, has not ended, and was not deleted.

        Raises:
            RecordError: the journal cannot be read.
        """
        from voiceassist.record.read_journal import verify

        if self.deleted or not self.begun or self._says_that_it_ended():
            return False
        events = [entry.event for entry in verify(self.journal).entries]
        return events[:1] == ["session"] and "end" not in events

    def _says_that_it_ended(self) -> bool:
        """A quick look, without the hashes."""
        from voiceassist.record.chain import entry_in
        from voiceassist.record.entry import Entry

        try:
            lines = disk.read_whole(self.journal).splitlines()
        except OSError as error:
            raise _refused("the journal cannot be read", self.journal, error) from None
        likely = [entry_in(line) for line in lines if b'"event":"end"' in line]
        return any(isinstance(entry, Entry) and entry.event == "end" for entry in likely)


def create(
    records: Path,
    procedure: str,
    began: datetime,
    chance: Callable[[], str] = lambda: secrets.token_hex(3),
) -> SessionFolder:
    """Make the folder of a new session, and ``records`` where missing.

    Args:
        records: folder of all records.
        procedure: name of the procedure.
        began: when the session began, by the clock on the wall.
        chance: gives the short hexadecimal end of the name.

    Raises:
        RecordError: the disk refuses it.
    """
    plain = re.sub(r"[^a-z0-9]+", "-", procedure.lower()).strip("-")[:60] or "session"
    try:
        disk.make_folder(records)
        while True:
            path = records / f"{began:%Y%m%d-%H%M%S}-{plain}-{chance()}"
            try:
                path.mkdir(mode=disk.FOLDER_MODE)
            except FileExistsError:
                continue
            disk.sync_folder(records)
            return SessionFolder(path)
    except OSError as error:
        raise _refused("no record can be begun there", records, error) from None


def sessions(records: Path) -> tuple[SessionFolder, ...]:
    """Every session in ``records``, the oldest first; none when there is no such folder.

    Raises:
        RecordError: the folder cannot be read.
    """
    return tuple(SessionFolder(records / name) for name in session_names(records))


def session_names(records: Path) -> tuple[str, ...]:
    """What the sessions in ``records`` are called, as ``sessions`` has them.

    Raises:
        RecordError: the folder cannot be read.
    """
    try:
        with os.scandir(records) as entries:
            return tuple(sorted(e.name for e in entries if _NAME.fullmatch(e.name) and e.is_dir()))
    except FileNotFoundError:
        return ()
    except OSError as error:
        raise _refused("the records cannot be read", records, error) from None


def unreadable(folders: Iterable[SessionFolder]) -> dict[SessionFolder, str]:
    """Those of ``folders`` that cannot be read here, each with the reason."""
    return {folder: why for folder in folders if (why := folder.refused)}


def _is_there(path: Path) -> bool:
    """False too for what may not be seen."""
    try:
        return path.exists()
    except OSError:
        return False


def _refused(found: str, path: Path, error: OSError) -> RecordError:
    return RecordError(
        f"{found}: {disk.reason(error)}",
        place=str(path),
        remedy="choose another folder for records, or make this one writable",
    )

"""Whether a session's folder, and what the archive holds of it, are as they were written."""

import os
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from voiceassist.archive import tables
from voiceassist.archive.ahead import Holding
from voiceassist.archive.named import (
    clock_notes,
    false_deletion,
    false_silence,
    misnamed,
    newer_notes,
)
from voiceassist.archive.rows import TakenSession, own_id, reading_row, session_row
from voiceassist.archive.store import Seal
from voiceassist.errors import ArchiveContentError, RecordError
from voiceassist.record import removal
from voiceassist.record.chain import ChainReport, Entry, digest, lines_of
from voiceassist.record.folder import (
    JOURNAL,
    PROCEDURE,
    REPORT,
    REPORT_HTML,
    STUB,
    TRANSCRIPT_TXT,
    TRANSCRIPT_VTT,
    SessionFolder,
)
from voiceassist.record.journal import verify
from voiceassist.record.lines import Picture, Session, of_kind
from voiceassist.record.page_seal import is_edited
from voiceassist.record.read_session import ReadSession
from voiceassist.record.report import report
from voiceassist.record.sound import ENDING, SoundHarm, checked_sounds
from voiceassist.record.transcript import Transcript

_MADE: Mapping[str, Callable[[Transcript], str]] = {
    TRANSCRIPT_VTT: Transcript.webvtt,
    TRANSCRIPT_TXT: Transcript.plain_text,
    REPORT: lambda told: report(told.entries, told.read),
}
_STATED = re.compile(r"journal: (\d{1,9}) lines, last SHA-256 ([0-9a-f]{64})")
_HASH_ON_PAGE = re.compile(r'class="hash">([0-9a-f]{64})<')
#: Columns of ``sessions`` that tell of the file, not of the session.
_OF_THE_FILE = frozenset({"size", "mtime_ns", "missing", "chain"})
_REMAINS = (
    "it is here, and the stub says that all was deleted: that broke off, or the stub is false"
)


@dataclass(frozen=True, slots=True)
class Problem:
    """Something that is not as it was written.

    Parts:
        kind: "edited", "removed", "reordered", "torn", "cut", "added", "empty", "renamed",
            "hash", "missing", "changed", "archive" or "remains".
        file: name in the session's folder; empty for the archive's own rows.
        line: in that file, from 1 on; 0 when no line is meant.
        found: one clause.
    """

    kind: str
    file: str
    line: int
    found: str


@dataclass(frozen=True, slots=True)
class Verified:
    """What looking through a session gave.

    Parts:
        session: its id.
        problems: empty when all is as it was written.
        notes: what could not be compared, and why.
        lines, last_hash: of the journal's good lines.
        held_by: where else a hash of this journal is kept and was compared; without any, a cut
            end cannot be seen.
        journal: as it was read; None where there is none.
    """

    session: str
    problems: tuple[Problem, ...] = ()
    notes: tuple[str, ...] = ()
    lines: int = 0
    last_hash: str = ""
    held_by: tuple[str, ...] = ()
    journal: ChainReport | None = None


@dataclass(slots=True)
class _Look:
    """What is found while looking."""

    problems: list[Problem] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    held_by: list[str] = field(default_factory=list)

    def add(self, kind: str, file: str, line: int, found: str) -> None:
        self.problems.append(Problem(kind, file, line, found))

    def spoilt(self, error: ArchiveContentError) -> None:
        """Rows that hold what was never put there are a problem of the session, told once."""
        problem = Problem("archive", "", 0, str(error))
        self.problems += [problem] if problem not in self.problems else []


def verified(
    folder: SessionFolder,
    archive: Holding | None,
    version: str,
    *,
    rows: bool = True,
    known_hash: str = "",
) -> Verified:
    """Look through the session in ``folder``.

    Args:
        folder: where it lies, or lay.
        archive: up to date with that folder, where ``rows`` are compared; None without one.
        version: of this program; files that another one made cannot be compared word by word.
        rows: compare what the archive tells of the session, not only its seal.
        known_hash: of a line that must be there, or its beginning, as a page has it.

    Raises:
        RecordError: the journal is there but cannot be read.
    """
    look = _Look()
    seal = _seal(look, archive, folder.id)  # before the journal, which may grow
    if (stub := removal.stub(folder)) is not None:
        look.problems += [Problem("remains", name, 0, _REMAINS) for name in removal.remains(folder)]
        if false := false_deletion(stub, seal):
            look.add("changed", STUB, 0, false)
        return Verified(folder.id, tuple(look.problems), ("the session was deleted",))
    look.notes += _links(folder)
    if not folder.journal.exists():
        look.add("missing", JOURNAL, 0, "the journal is gone, and nobody deleted the session here")
        return Verified(folder.id, tuple(look.problems), tuple(look.notes))
    found = verify(folder.journal)
    if archive is not None:
        seal = seal or _seal(look, archive, folder.id, own_id(found.entries))
    _chain(look, found)
    _sealed(look, found, seal)
    _known(look, found, known_hash)
    first = cache(lambda lines: Transcript(found.entries[:lines]))  # most files tell all of them
    _made_files(look, folder, found, version, first)
    _page(look, folder, found)
    _followed(look, folder, found)
    _sound(look, folder, found)
    _pictures(look, folder, found)
    if misnaming := misnamed(folder.id, found.entries):
        look.add("renamed", JOURNAL, 1, misnaming)
    look.notes += clock_notes(found.entries)
    look.notes += newer_notes(found.entries)
    if archive is not None and rows:
        try:
            _rows(look, folder, found, archive, first(len(found.entries)).read)
        except ArchiveContentError as error:
            look.spoilt(error)
    return Verified(
        folder.id,
        tuple(look.problems),
        tuple(look.notes),
        len(found.entries),
        found.last_hash,
        tuple(look.held_by),
        found,
    )


def _links(folder: SessionFolder) -> Iterator[str]:
    """What is a link leads out of the folder, and whoever copies the folder must know."""
    places = [folder.path]
    with suppress(OSError), os.scandir(folder.path) as entries:
        places += sorted(Path(entry.path) for entry in entries if entry.is_symlink())
    for path in places:
        with suppress(OSError):
            if path.is_symlink():
                yield f"{path.name} is a link; what was looked at is {os.readlink(path)}"


def _seal(look: _Look, archive: Holding | None, folder: str, own_id: str = "") -> Seal | None:
    try:
        return archive.seal(folder, own_id) if archive else None
    except ArchiveContentError as error:
        look.spoilt(error)
        return None


def _chain(look: _Look, found: ChainReport) -> None:
    if found.fault is not None:
        look.add(found.fault.harm.value, JOURNAL, found.fault.line, found.fault.found)
    elif not found.entries:
        look.add("empty", JOURNAL, 0, "it is empty: no line of the session was ever written")


def _sealed(look: _Look, found: ChainReport, seal: Seal | None) -> None:
    """Hold the journal against the last line that the archive has ever seen of it."""
    if seal is None:
        return
    look.held_by.append("archive")
    if found.fault is None:
        _held_against(look, found.entries, seal, "the archive")


def _known(look: _Look, found: ChainReport, known_hash: str) -> None:
    """Hold the journal against a hash that somebody has on paper."""
    if not known_hash:
        return
    seq = next((e.seq for e in found.entries if e.hash.startswith(known_hash)), 0)
    if not seq:
        look.add("hash", JOURNAL, 0, f"no line of it has the hash {known_hash}")
        return
    look.held_by.append("the hash given")
    since = len(found.entries) - seq
    later = f"; {since} were written since" if since else ", the last"
    look.notes.append(f"the hash given is that of line {seq} of {len(found.entries)}{later}")


def _held_against(look: _Look, entries: Sequence[Entry], seal: Seal, who: str) -> None:
    if len(entries) < seal.lines:
        trouble = f"the end was cut: {who} has seen {seal.lines} lines, here are {len(entries)}"
        look.add("cut", JOURNAL, len(entries) + 1, trouble)
    elif seal.lines and entries[seal.lines - 1].hash != seal.last_hash:
        trouble = f"this line is not the one that {who} has seen: the journal was written anew"
        look.add("edited", JOURNAL, seal.lines, trouble)


def _made_files(
    look: _Look,
    folder: SessionFolder,
    found: ChainReport,
    version: str,
    first: Callable[[int], Transcript],
) -> None:
    """Make transcript and report again from as many lines as each says it is made of."""
    ended = any(entry.event == "end" for entry in found.entries)
    for name, make in _MADE.items():
        try:
            there = folder.read(name)
        except RecordError as error:
            if (folder.path / name).exists():
                look.add("changed", name, 0, error.found)
            elif ended:
                look.add("missing", name, 0, "it is gone")
            continue
        stated = _stated(there)
        if stated is None:
            look.add("changed", name, 0, "it does not say which journal it is made from")
            continue
        look.held_by.append(name)
        if found.fault is None:
            _held_against(look, found.entries, stated, name)
            if ended and stated.lines < len(found.entries):
                trouble = f"it tells {stated.lines} lines of {len(found.entries)}"
                look.add("added", name, 0, f"{trouble}: lines were added since it was made")
        _compare(look, name, there, make(first(stated.lines)), found, version)


def _page(look: _Look, folder: SessionFolder, found: ChainReport) -> None:
    """The page that was made at the end must tell the last line, by its hash."""
    try:
        page = folder.read(REPORT_HTML)
    except RecordError:
        return  # it can be made anew at any time
    stated = _HASH_ON_PAGE.findall(page)[-1:]
    if is_edited(page):
        look.add("changed", REPORT_HTML, 0, "it was edited since it was made: make it anew")
    elif not stated or (found.fault is None and stated[0] != found.last_hash):
        look.add("changed", REPORT_HTML, 0, "it is not the page of this journal: make it anew")


def _followed(look: _Look, folder: SessionFolder, found: ChainReport) -> None:
    """What the session went by must be what the first line has the hashes of."""
    for name, due in _hashes(found.entries[0].fields if found.entries else {}).items():
        there = _sha256_in(folder)(name)
        if there is None:
            look.add("missing", name, 0, "it is gone")
        elif there != due:
            look.add("changed", name, 0, "it is not what the session went by")


def _hashes(first: Mapping[str, object]) -> Mapping[str, str]:
    """Name of a file to its hash: procedure, those it puts in, and meter."""
    head = Session(first)
    due = {PROCEDURE: head.procedure_sha256, **head.files_sha256}  # older journals have less
    return {n: str(sha) for n, sha in due.items() if sha and n and Path(n).name == n}


def _stated(text: str) -> Seal | None:
    """The last statement counts: facts of the job stand before it, and could hold another."""
    found = _STATED.findall(text)
    return Seal(int(found[-1][0]), found[-1][1]) if found else None


def _compare(
    look: _Look, name: str, there: str, again: str, found: ChainReport, version: str
) -> None:
    if there == again or found.fault is not None:
        return
    made_by = str(found.entries[0].fields.get("version") or "") if found.entries else ""
    if made_by != version:
        look.notes.append(f"{name} was made by version {made_by}, and cannot be compared here")
        return
    pairs = zip(there.splitlines(), [*again.splitlines(), None], strict=False)
    line = next((i for i, (a, b) in enumerate(pairs, 1) if a != b), len(there.splitlines()) + 1)
    look.add("changed", name, line, "it is not what the journal gives")


def _sound(look: _Look, folder: SessionFolder, found: ChainReport) -> None:
    """Sound that the journal names must be there, and have its hash where one was kept."""
    stub = removal.stub(folder, removal.SOUND_STUB)
    gone = set(stub.files) if stub is not None else set()
    if stub is not None:
        look.notes.append(f"the sound was removed on {stub.removed_at[:10]}")
        for false in false_silence(stub, found.entries, _flacs(folder)):
            look.add("changed", removal.SOUND_STUB, 0, false)
    settled = _settled(folder, found.entries)
    for fault in checked_sounds(found.entries, _sha256_in(folder), gone, _flacs(folder)):
        name, harm = fault.sound.name, fault.harm
        missing = harm is SoundHarm.MISSING and fault.sound.seq <= settled
        if missing or harm is SoundHarm.CHANGED:
            look.add(harm.value, name, 0, fault.found)
        else:
            look.notes.append(f"{name}: {fault.found}")


def _pictures(look: _Look, folder: SessionFolder, found: ChainReport) -> None:
    """Pictures that the journal names must be there, as they were attached."""
    sha256_of = _sha256_in(folder)
    for line in of_kind(lines_of(found.entries), Picture):
        name = line.file
        if not name or Path(name).name != name:
            continue
        there = sha256_of(name)
        if there is None:
            look.add("missing", name, 0, "the picture is gone")
        elif there != line.sha256:
            look.add("changed", name, 0, "the picture is not the one that was attached")


def _settled(folder: SessionFolder, entries: Sequence[Entry]) -> int:
    """So many lines had all their sound written; that of later ones a kill may have stopped."""
    if any(entry.event == "end" for entry in entries):
        return len(entries)
    try:
        stated = _stated(folder.read(TRANSCRIPT_TXT))
    except RecordError:
        return 0
    return stated.lines if stated is not None else 0


def _flacs(folder: SessionFolder) -> list[str]:
    return [p.name for p in removal.sound_files(folder) if p.suffix == ENDING]


def _sha256_in(folder: SessionFolder) -> Callable[[str], str | None]:
    """A file that cannot be read is surely not as it was written."""

    def sha256_of(name: str) -> str | None:
        path = folder.path / name
        try:
            return digest(path.read_bytes()) if path.is_file() else None
        except OSError:
            return ""

    return sha256_of


def _grows(folder: SessionFolder, size: int) -> bool:
    """The journal is another size by now than when the archive took it in."""
    try:
        return folder.journal.stat().st_size != size
    except OSError:
        return True


def _rows(
    look: _Look, folder: SessionFolder, found: ChainReport, archive: Holding, read: ReadSession
) -> None:
    """Hold what the archive says against what the journal gives."""
    row = archive.session(folder.id)
    if row is None:
        look.add("archive", "", 0, "the archive does not hold the session")
        return
    taken = TakenSession.of(folder.id, found, row["size"], row["mtime_ns"], read)
    if row["lines"] != len(taken.hashes) and _grows(folder, row["size"]):
        look.notes.append("the session is under way; the archive is some lines behind")
        return
    due = {k: v for k, v in session_row(taken, archive.place).items() if k not in _OF_THE_FILE}
    wrong = [name for name, value in due.items() if row[name] != value]
    if wrong:
        look.add("archive", "", 0, f"the archive tells another {', '.join(sorted(wrong))}")
    wanted = [reading_row(measured) for measured in taken.summary.readings]
    names = [column.name for column in tables.readings.c if column.name not in {"session", "place"}]
    held = [{name: r[name] for name in names} for r in archive.readings(row["number"])]
    for number, (one, other) in enumerate(zip(wanted, held, strict=False), 1):
        if one != other or str(one["value"]) != str(other["value"]):
            look.add("archive", "", 0, f"the archive tells reading {number} otherwise")
    if len(held) != len(wanted):
        look.add("archive", "", 0, f"the archive has {len(held)} readings of {len(wanted)}")

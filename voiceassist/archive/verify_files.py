"""Whether the files of a session's folder are as its journal has them."""

import re
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from voiceassist.archive.asking import Seal
from voiceassist.archive.named import false_silence
from voiceassist.archive.problems import Audit
from voiceassist.errors import RecordError
from voiceassist.record import removal
from voiceassist.record.chain import ChainReport
from voiceassist.record.entry import Entry, digest, lines_of
from voiceassist.record.folder import (
    PROCEDURE,
    REPORT,
    REPORT_HTML,
    TRANSCRIPT_TXT,
    TRANSCRIPT_VTT,
    SessionFolder,
)
from voiceassist.record.lines import Picture, SessionLine, of_kind
from voiceassist.record.page_seal import is_edited
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


def made_files(
    look: Audit,
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
            look.hold(found.entries, stated, name)
            if ended and stated.lines < len(found.entries):
                trouble = f"it tells {stated.lines} lines of {len(found.entries)}"
                look.add("added", name, 0, f"{trouble}: lines were added since it was made")
        _compare(look, name, there, make(first(stated.lines)), found, version)


def page(look: Audit, folder: SessionFolder, found: ChainReport) -> None:
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


def followed(look: Audit, folder: SessionFolder, found: ChainReport) -> None:
    """What the session went by must be what the first line has the hashes of."""
    for name, due in _hashes(found.entries[0].fields if found.entries else {}).items():
        there = _sha256_in(folder)(name)
        if there is None:
            look.add("missing", name, 0, "it is gone")
        elif there != due:
            look.add("changed", name, 0, "it is not what the session went by")


def _hashes(first: Mapping[str, object]) -> Mapping[str, str]:
    """Name of a file to its hash: procedure, those it puts in, and meter."""
    head = SessionLine(first)
    due = {PROCEDURE: head.procedure_sha256, **head.files_sha256}  # older journals have less
    return {n: str(sha) for n, sha in due.items() if sha and n and Path(n).name == n}


def _stated(text: str) -> Seal | None:
    """The last statement counts: facts of the job stand before it, and could hold another."""
    found = _STATED.findall(text)
    return Seal(int(found[-1][0]), found[-1][1]) if found else None


def _compare(
    look: Audit, name: str, there: str, again: str, found: ChainReport, version: str
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


def sound(look: Audit, folder: SessionFolder, found: ChainReport) -> None:
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


def pictures(look: Audit, folder: SessionFolder, found: ChainReport) -> None:
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

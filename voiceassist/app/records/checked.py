"""A session read together with what ``records verify`` finds of it, for all that hands it out."""

from contextlib import ExitStack
from dataclasses import replace
from pathlib import Path

from voiceassist import __version__
from voiceassist.app.pages.session_folder import (
    KeptSession,
    check_not_deleted,
    kept_session,
    named_outright,
)
from voiceassist.app.records.find_session import resolved
from voiceassist.app.records.opened import ARCHIVE, Records, opened
from voiceassist.app.settings.chosen import existing_records_folder, settings_for
from voiceassist.archive.store import Archive
from voiceassist.archive.verify import Problem, verified
from voiceassist.errors import ArchiveError
from voiceassist.record.folder import JOURNAL, SessionFolder


def load(records: Records, name: str) -> KeptSession:
    """The session called ``name``, looked through.

    Raises:
        RecordError: it is not found, was deleted, or its journal cannot be read.
    """
    return looked_through(resolved(records, name), records.archive)


def load_from(name: str, records: str, archive: str) -> KeptSession:
    """The same without the archive being open; one that cannot be asked keeps no page back.

    Raises:
        RecordError: as ``load``.
        ArchiveError: the archive must be asked for the name, and cannot be.
    """
    chosen = settings_for(records, archive)
    folder = existing_records_folder(chosen)
    outright = named_outright(folder, name)
    with ExitStack() as stack:
        there, note = None, ""
        if outright is None or chosen.archive or (folder / ARCHIVE).exists():
            try:
                there = stack.enter_context(opened(records, archive))
            except ArchiveError as error:
                if outright is None:
                    raise
                note = f"the archive could not be asked: {error}"
        if outright is None and there is not None:
            outright = resolved(there, name)
        assert outright is not None  # found one way or the other, or raised
        kept = looked_through(outright, there.archive if there else None)
        return replace(kept, notes=(*kept.notes, note)) if note else kept


def looked_through(folder: SessionFolder, archive: Archive | None) -> KeptSession:
    """The session in ``folder`` with all that is not as it was written; its journal is read once.

    Raises:
        RecordError: it was deleted, or its journal is gone or cannot be read.
    """
    check_not_deleted(folder)
    found = verified(folder, archive, __version__, rows=False)
    read = found.journal
    kept = KeptSession(folder, read.entries, read.fault) if read else kept_session(folder)
    others = [p for p in found.problems if not (p.file == JOURNAL and kept.fault_is(p.line))]
    return replace(
        kept,
        problems=tuple(_clause(problem) for problem in others),
        notes=found.notes,
        held_by=found.held_by,
        doubted=any(problem.file == JOURNAL for problem in others),
    )


def _clause(problem: Problem) -> str:
    line = f", line {problem.line}" if problem.line else ""
    return f"{Path(problem.file).stem}{line}: {problem.found}"

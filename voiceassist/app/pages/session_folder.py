"""One session's folder, read; nothing here needs the archive."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from voiceassist.errors import ProcedureError, RecordError
from voiceassist.record import removal
from voiceassist.record.chain import ChainFault
from voiceassist.record.entry import Entry
from voiceassist.record.folder import PROCEDURE, SessionFolder, sessions, used_file
from voiceassist.record.read_journal import verify
from voiceassist.record.read_session import ReadSession
from voiceassist.record.sequence import in_order
from voiceassist.record.summary import SessionSummary, summary
from voiceassist.record.webvtt import one_line

if TYPE_CHECKING:
    from voiceassist.procedure.glance import Words
    from voiceassist.procedure.model import Procedure

LAST = "last"


@dataclass(frozen=True)
class KeptSession:
    """A session as its folder has it.

    Parts:
        folder: where it lies.
        entries: the journal's good lines.
        fault: the first thing wrong with the journal; None when it is intact.
        problems: what else is not as it was written, where that was looked at.
        notes: what else there is to say of the record.
        held_by: what the journal was held against.
        doubted: some of the problems are of the journal itself.
    """

    folder: SessionFolder
    entries: tuple[Entry, ...]
    fault: ChainFault | None = None
    problems: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    held_by: tuple[str, ...] = ()
    doubted: bool = False

    @cached_property
    def read(self) -> ReadSession:
        """What the lines tell."""
        return ReadSession(entry.typed for entry in self.entries)

    @cached_property
    def summary(self) -> SessionSummary:
        """What the lines come to."""
        return summary(self.read)

    @cached_property
    def points(self) -> Mapping[str, Sequence[str]]:
        """Step to the test points it is measured at."""
        return points_of(self.folder)

    @property
    def fault_text(self) -> str:
        """What is wrong with the journal, and where; empty when nothing is."""
        return f"journal, line {self.fault.line}: {self.fault.found}" if self.fault else ""

    def fault_is(self, line: int) -> bool:
        """The journal's first fault is at this line."""
        return self.fault is not None and self.fault.line == line

    @property
    def all_wrong(self) -> str:
        """Everything that is not as it was written; empty when all is."""
        return "; ".join([*([self.fault_text] if self.fault else []), *self.problems])


def kept_session(folder: SessionFolder) -> KeptSession:
    """The session in ``folder``.

    Raises:
        RecordError: it was deleted, or its journal cannot be read.
    """
    check_not_deleted(folder)
    report = verify(folder.journal)
    return KeptSession(folder, report.entries, report.fault)


def check_not_deleted(folder: SessionFolder) -> None:
    """Refuse a session that was deleted.

    Raises:
        RecordError: it was.
    """
    gone = removal.stub(folder)
    if gone is not None:
        why = f" ({one_line(gone.reason)})" if gone.reason else ""
        raise RecordError(
            f"the session was deleted on {gone.removed_at[:10]} by {one_line(gone.by)}{why}",
            place=str(folder.path),
            remedy="files of it are left, see: voiceassist records verify"
            if removal.remains(folder)
            else "nothing of it is kept",
        )


def named_outright(records: Path, name: str) -> SessionFolder | None:
    """The session in ``records`` of just that name, or the last one; None for any other name."""
    folders = {folder.id: folder for folder in sessions(records)}
    if name != LAST:
        return folders.get(name)
    mine = [folder for folder in folders.values() if folder.begun and not folder.refused]
    return in_order(mine)[-1] if mine else folders.get(name)


def procedure_of(folder: SessionFolder) -> "Procedure | None":
    """The procedure as the session's folder has it; None if it cannot be read any more."""
    from voiceassist.procedure.read import read_procedure  # takes long, and is seldom needed

    try:
        return read_procedure(
            folder.read(PROCEDURE), PROCEDURE, lambda name: folder.read(used_file(name))
        )
    except (RecordError, ProcedureError, ValueError):
        return None


def words_of(folder: SessionFolder) -> "Words":
    """What the procedure in the session's folder says of its steps and facts; none without one."""
    from voiceassist.procedure.glance import Words, procedure_words

    try:
        return procedure_words(folder.read(PROCEDURE), lambda name: folder.read(used_file(name)))
    except (RecordError, ValueError):
        return Words()


def points_of(folder: SessionFolder) -> Mapping[str, Sequence[str]]:
    """Step to test points, as the procedure in the session's folder has them; none without one."""
    procedure = procedure_of(folder)
    if procedure is None:
        return {}
    steps = {**procedure.steps, **procedure.repairs}
    return {name: [point.name for point in step.points] for name, step in steps.items()}

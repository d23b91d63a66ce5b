"""What is found while a session is looked through: problems, notes, and what it is held against."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from voiceassist.archive.asking import Seal
from voiceassist.errors import ArchiveContentError
from voiceassist.record.entry import Entry
from voiceassist.record.folder import JOURNAL


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


@dataclass(slots=True)
class Audit:
    """What is found while looking."""

    problems: list[Problem] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    held_by: list[str] = field(default_factory=list)

    def add(self, kind: str, file: str, line: int, found: str) -> None:
        """A problem more."""
        self.problems.append(Problem(kind, file, line, found))

    def spoilt(self, error: ArchiveContentError) -> None:
        """Rows that hold what was never put there are a problem of the session, told once."""
        problem = Problem("archive", "", 0, str(error))
        self.problems += [problem] if problem not in self.problems else []

    def hold(self, entries: Sequence[Entry], seal: Seal, who: str) -> None:
        """Hold the journal's lines against the longest that ``who`` has seen."""
        if len(entries) < seal.lines:
            trouble = f"the end was cut: {who} has seen {seal.lines} lines, here are {len(entries)}"
            self.add("cut", JOURNAL, len(entries) + 1, trouble)
        elif seal.lines and entries[seal.lines - 1].hash != seal.last_hash:
            trouble = f"this line is not the one that {who} has seen: the journal was written anew"
            self.add("edited", JOURNAL, seal.lines, trouble)

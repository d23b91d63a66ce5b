"""What a look through a folder of records came to, and what it is handed."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from voiceassist.record.folder import SessionFolder

#: Test points of each step of the procedure in a session's folder.
PointsOf = Callable[[SessionFolder], Mapping[str, Sequence[str]]]
Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Synced:
    """What a look through the folders came to.

    Parts:
        sessions, lines: how many journals were read, and how many good lines they have.
        deleted: how many stubs were found anew.
        missing: folders that are gone, though nobody deleted them here.
        unreadable: one sentence for each journal or stub that cannot be read.
        passed_over: one for each session that is not for this account, or is a copy of another.
    """

    sessions: int = 0
    lines: int = 0
    deleted: int = 0
    missing: tuple[str, ...] = ()
    unreadable: tuple[str, ...] = ()
    passed_over: tuple[str, ...] = ()

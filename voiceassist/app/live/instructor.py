"""Notes of the instructor for a session under way, spoken at its pauses."""

import time
from collections.abc import Callable, Iterable
from pathlib import Path

from voiceassist.record.instructor import NOTE, WaitingNote, remove, waiting
from voiceassist.record.lines import InstructorNote, Line, of_kind
from voiceassist.session.offered import warns
from voiceassist.session.session import Session
from voiceassist.session.states import State

#: How often the folder is looked at while nobody speaks.
_LOOK_S = 0.5
#: Nothing comes between a caution or a question and its answer, and who stands by wants quiet.
QUIET = frozenset(
    {State.CAUTION, State.CONFIRM, State.NOTE, State.PARKED, State.STAND_BY, State.CLOSED}
)


def is_quiet(session: Session) -> bool:
    """Whether nothing may be said now; an offer with cautions waits as a caution does."""
    return session.state in QUIET or warns(session)


class InstructorNotes:
    """What waits to be said to the session.

    Args:
        now_s: a steady clock, in seconds.

    Parts:
        held: nothing is to be said just now.
    """

    def __init__(self, now_s: Callable[[], float] = time.monotonic) -> None:
        self._now_s = now_s
        self._folder: Path | None = None
        self._spoken: set[str] = set()
        self._looked_s = -_LOOK_S
        self._there = False
        self.held = False

    def use(self, folder: Path, lines: Iterable[Line]) -> None:
        """Take the notes of the session in ``folder``; those in its ``lines`` were spoken."""
        self._folder = folder
        self._spoken = {line.note for line in of_kind(lines, InstructorNote)}

    def waits(self) -> bool:
        """A note is there, and may be said now; asked often, and looked for seldom."""
        if self.held or self._folder is None:
            return False
        if self._now_s() - self._looked_s >= _LOOK_S:
            self._looked_s = self._now_s()
            self._there = (self._folder / NOTE).exists()
        return self._there

    def next(self) -> WaitingNote | None:
        """The note to be said now; one that was said before a break is only taken away."""
        if self.held or self._folder is None:
            return None
        self._there = False  # it is looked at here and now
        note = waiting(self._folder)
        if note is not None and note.id in self._spoken:
            self.done(note)
            return None
        return note

    def done(self, note: WaitingNote) -> None:
        """It stands in the journal."""
        self._spoken.add(note.id)
        self._there = False
        if self._folder is not None:
            remove(self._folder)

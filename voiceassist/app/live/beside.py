"""What can be said in a session beside the job: to a simulated vehicle, when it is a rehearsal."""

from collections.abc import Callable, Sequence
from typing import Protocol

from voiceassist.language.expectation import Choice, Expectation
from voiceassist.record.lines import Line
from voiceassist.session.session import Session


class Beside(Protocol):
    """Answers what the session engine does not see."""

    @property
    def choices(self) -> tuple[Choice, ...]:
        """What can be said to it, each with the ways to say it."""
        ...

    def expects(self, expected: Expectation, session: Session) -> Expectation:
        """``expected`` with what is likely to be said now, as far as the vehicle tells."""
        ...

    def takes(self, name: str) -> bool:
        """True when the answer called ``name`` is for it."""
        ...

    def answer(self, name: str, session: Session) -> Line:
        """What comes of it, as a line to be kept, whose ``text`` is spoken."""
        ...

    def instead(self, words: str, understood: Callable[[str], bool]) -> str:
        """One sentence for ``words`` that are for it, but cannot be; empty where they are not.

        Args:
            words: that nothing understands as they stand.
            understood: tells whether words are understood by themselves.
        """
        ...

    def unknown(self, words: str) -> str:
        """The same where they mean nothing to the job either, loosely said or not."""
        ...

    def opening(self) -> Sequence[Line]:
        """What is said before the job begins."""
        ...

    def closing(self, session: Session) -> Sequence[Line]:
        """What is said before the job is closed."""
        ...

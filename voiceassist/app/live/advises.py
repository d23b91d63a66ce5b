"""Who is asked how sure a cause is, and what would tell most: in a job, or in a rehearsal."""

from typing import Protocol

from voiceassist.session.outputs import Advice
from voiceassist.session.session import Session


class Advises(Protocol):
    """Answers what the session engine cannot work out."""

    def advise(self, asked: Advice, session: Session) -> Advice:
        """``asked`` with its answer, at once; with when it will come, if it takes longer."""
        ...

    @property
    def waiting(self) -> bool:
        """An answer is still to come."""
        ...

    def late(self, session: Session, wait_s: float) -> Advice | None:
        """The answer that was still to come, after waiting for it so long; None as long as not."""
        ...

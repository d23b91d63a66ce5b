"""The adviser of a job. It costs nothing until it is asked, and never keeps an answer waiting."""

import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING

from voiceassist.app.build import Written
from voiceassist.procedure.model import Procedure
from voiceassist.session.actions.advised import AGAINST, MOST
from voiceassist.session.choosing import choosable
from voiceassist.session.copying import replace
from voiceassist.session.outputs import Advice
from voiceassist.session.session import Session, SessionSetup, Stage

if TYPE_CHECKING:
    from voiceassist.reason.adviser import Adviser
    from voiceassist.reason.telling import Known

#: So long an answer may take; what is not known by then comes later.
PATIENCE_S = 0.12
_MAKING = "voiceassist.app.advising.making"


def can_advise(procedure: Procedure) -> bool:
    """True for a procedure with a circuit whose faults are known."""
    return procedure.circuit is not None and bool(procedure.faults)


class JobAdviser:
    """Reckons from the readings of the job itself.

    Args:
        setup: of the session.
        written: the files of the procedure.
        folder: the session's, which holds these files.
        language: of the sentences.
    """

    def __init__(
        self, setup: SessionSetup, written: Written, folder: Path, language: str = "en"
    ) -> None:
        self._setup = setup
        self._written = written
        self._arguments = [str(folder), language]
        self._adviser: Adviser | None = None
        self._thread: Thread | None = None
        self._child: subprocess.Popen[bytes] | None = None
        self._asked: Advice | None = None

    @property
    def waiting(self) -> bool:
        """An answer is still to come."""
        return self._asked is not None

    def advise(self, asked: Advice, session: Session) -> Advice:
        """``asked`` with its answer; with when it will come, where the table is not there yet."""
        if session.finding and asked.asked == MOST:
            return replace(asked, text=self._setup.book("advised.named"))
        if self._ready(PATIENCE_S):
            return self._told(asked, session)
        self._asked = asked
        return replace(asked, text=self._setup.book("advised.not_ready"))

    def late(self, session: Session, wait_s: float) -> Advice | None:
        """The answer that was still to come."""
        if self._asked is None or not self._ready(wait_s):
            return None
        asked, self._asked = self._asked, None
        return self._told(replace(asked, step=session.step), session)

    def close(self) -> None:
        """Whoever still makes a table stops."""
        if self._child is not None and self._child.poll() is None:
            self._child.terminate()
            self._child.wait()

    def _ready(self, wait_s: float) -> bool:
        """Have the table read, or made; whether that is over, after so long."""
        if self._thread is None:
            self._thread = Thread(target=self._read, daemon=True)
            self._thread.start()
        self._thread.join(wait_s)
        return not self._thread.is_alive()

    def _read(self) -> None:
        from voiceassist.app.rehearsal.tables import kept

        self._adviser = kept(self._setup, self._written)
        if self._adviser is None:
            self._child = subprocess.Popen(
                [sys.executable, "-m", _MAKING, *self._arguments],
                stdin=subprocess.DEVNULL,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
            )
            self._child.wait()
            self._adviser = kept(self._setup, self._written)

    def _told(self, asked: Advice, session: Session) -> Advice:
        from voiceassist.reason.telling import Known, how_sure, speaks_against

        book = self._setup.book
        if self._adviser is None:
            return replace(asked, text=book("advised.failed"))
        known = Known(self._adviser, tuple(self._adviser.seen(session.ledger)))
        told = replace(
            asked,
            causes=tuple(finding for finding, _ in known.likeliest),
            shares=tuple(f"{share:.4f}" for _, share in known.likeliest),
        )
        if asked.asked == AGAINST:
            return replace(told, text=speaks_against(known, asked.about, book))
        if asked.asked == MOST:
            return self._most(told, known, session.at_step)
        return replace(told, text=how_sure(known, book))

    def _most(self, told: Advice, known: "Known", session: Session) -> Advice:
        from voiceassist.reason.telling import from_here

        free: Sequence[str] = ()
        if session.stage is Stage.DIAGNOSE:
            free = choosable(self._setup, session)
        worths = known.worths()
        best = next((known.step(each.place) for each in worths), "")
        text = from_here(known, worths, session.place, free, self._setup.book)
        return replace(told, text=text, best=best)

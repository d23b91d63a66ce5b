"""What a session waits for besides words: a step's timer, and for somebody to answer at all."""

from voiceassist.app.timeline import Timeline
from voiceassist.session.actions.waiting import left_s
from voiceassist.session.outputs import Listen
from voiceassist.session.session import Session, SessionSetup

#: Which wait: the step, and when it was begun, in seconds of the session.
Wait = tuple[str, float]


class Timers:
    """Knows when the timer of a waiting step ends, and when silence has lasted too long.

    Args:
        setup: tells how long a step waits.
        timeline: the session's clock.
        attended: a technician is there: silence is answered after a while.

    Parts:
        timer_s, prompt_s: the second of the session at which each is due; None for never.
    """

    def __init__(self, setup: SessionSetup, timeline: Timeline, *, attended: bool) -> None:
        self._setup = setup
        self._timeline = timeline
        self._attended = attended
        self._wait: Wait | None = None
        self._begun_s: float | None = None  # how long the timer runs that the last turn began
        self.timer_s: float | None = None
        self.prompt_s: float | None = None

    def listen(self, listen: Listen, session: Session) -> None:
        """All was spoken, and an answer is awaited from now on."""
        self._set_timer(listen, session)
        self.spoken_on(listen)

    def spoken_on(self, listen: Listen) -> None:
        """The last turn is at its end only now: what it lets begin begins here."""
        if self._begun_s is not None:
            self.timer_s = self._timeline.now_s() + self._begun_s
        self.await_answer(listen)

    def await_answer(self, listen: Listen) -> None:
        """Silence counts from now."""
        due = self._attended and listen.prompt_s
        self.prompt_s = self._timeline.now_s() + listen.prompt_s if due else None

    def end_timer(self) -> None:
        """Its time was told."""
        self._wait = self._begun_s = self.timer_s = None

    def _set_timer(self, listen: Listen, session: Session) -> None:
        """A timer begins when its step is first waited at, and runs on through questions."""
        at_step = session.at_step
        wait = (at_step.step, at_step.since_s)
        self._begun_s = None
        if not listen.wait_s or at_step.wait_over:
            self.end_timer()
        elif self._wait != wait:
            self._wait = wait
            self._begun_s = left_s(self._setup, at_step)

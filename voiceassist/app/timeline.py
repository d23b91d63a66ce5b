"""One clock for a session: real time when people talk, sound time when files do."""

import time
from datetime import datetime, timedelta
from typing import Protocol

from voiceassist.record import times


class Timeline(Protocol):
    """Tells how far a session is."""

    def now_s(self) -> float:
        """Seconds since the session began."""
        ...

    def wall(self) -> datetime:
        """The time of day, with its offset from UTC."""
        ...

    def advance(self, seconds: float) -> None:
        """``seconds`` of sound have passed."""
        ...


class RealTimeline:
    """Time as the clock on the wall has it; sound passes by itself."""

    def __init__(self, start_s: float = 0.0) -> None:
        self._began = time.monotonic() - start_s

    def now_s(self) -> float:
        """Seconds since the session began."""
        return time.monotonic() - self._began

    def wall(self) -> datetime:
        """The time of day, with its offset from UTC."""
        return times.here()

    def advance(self, seconds: float) -> None:
        """Nothing to do: whoever plays or records the sound waits for it."""


class SoundTimeline:
    """Time passes only as sound does, so that recorded sessions need not be waited for.

    Args:
        start_s: seconds the session already lasts.
        paced: wait in real time as the sound passes.
    """

    def __init__(self, start_s: float = 0.0, *, paced: bool = False) -> None:
        self._zero = times.here() - timedelta(seconds=start_s)
        self._now_s = start_s
        self._paced = paced

    def now_s(self) -> float:
        """Seconds of sound since the session began."""
        return self._now_s

    def wall(self) -> datetime:
        """When the session began plus the sound since."""
        return self._zero + timedelta(seconds=self._now_s)

    def advance(self, seconds: float) -> None:
        """Let ``seconds`` pass."""
        self._now_s += seconds
        if self._paced:
            time.sleep(seconds)

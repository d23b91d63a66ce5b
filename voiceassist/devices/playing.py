"""How far a clip is played: what the loudspeaker's stream has taken, and what has sounded of it."""

import threading
import time
from collections.abc import Callable
from typing import Any

from voiceassist.sound.clip import BYTES_PER_SAMPLE, Clip

#: What a driver that does not tell is taken to hold before it sounds, in seconds.
_USUAL_DELAY_S = 0.15
#: Silence after it, beyond what the driver knows of: some sound servers hold a little more.
_TAIL_S = 0.1
#: Drivers that tell a longer way to the ear do not know it (a radio headset takes 0.3 s).
_LONGEST_DELAY_S = 2.0


class Playing:
    """How far one clip is played, over one stream or several; fed on PortAudio's thread.

    Args:
        clip: what is played.
        now_s: a clock that runs on steadily, in seconds.
    """

    def __init__(self, clip: Clip, now_s: Callable[[], float] = time.monotonic) -> None:
        self._pcm = memoryview(clip.pcm)
        self._rate_hz = clip.rate_hz
        self._now_s = now_s
        self._at = 0
        self._calls = 0
        self._stream = 0
        self._most_ahead_s = 0.0
        self._zero_s: float | None = None  # when its first sample was handed over
        self._sounds_s: float | None = None  # when its first sample sounds, as far as is known
        self._ended = threading.Event()
        self._awake = threading.Event()
        self.stopped = threading.Event()
        self.swallowed = False

    @property
    def ended(self) -> bool:
        """True when the stream has ended, for whatever reason."""
        return self._ended.is_set()

    @property
    def over(self) -> bool:
        """True when every sample was handed over and played."""
        return self._whole and self.ended and not self.swallowed

    @property
    def _whole(self) -> bool:
        return self._at >= len(self._pcm)

    @property
    def given_s(self) -> float:
        """Seconds handed over so far."""
        return self._at / BYTES_PER_SAMPLE / self._rate_hz

    @property
    def heard_s(self) -> float:
        """Seconds that have sounded by now; what stands in a buffer has not."""
        return min(self.given_s, max(0.0, self._reached_s))

    @property
    def _reached_s(self) -> float:
        """Where we are now, be it before the first sample or behind the last."""
        return self._now_s() - self._sounds_s if self._sounds_s is not None else 0.0

    def begin(self, number: int, most_ahead_s: float) -> None:
        """Stream ``number`` goes on from here; what it takes further ahead, it swallows."""
        self._stream = number
        self._most_ahead_s = most_ahead_s
        self._zero_s = self._sounds_s = None
        self.swallowed = False
        self._ended.clear()
        if not self.stopped.is_set():
            self._awake.clear()

    def go_back(self, seconds: float) -> None:
        """Go on from there, between two streams."""
        self._at = round(seconds * self._rate_hz) * BYTES_PER_SAMPLE

    def wait(self, patience_s: float) -> bool:
        """Wait for the end or a stop.

        Returns:
            False when the device ended it before, or took no sound for ``patience_s`` seconds.
        """
        calls = -1
        while self._calls > calls and not self._awake.is_set():
            calls = self._calls
            self._awake.wait(patience_s)
        return self.over or self.stopped.is_set()

    def stop(self) -> None:
        """Hand over no more, and wake the one who waits."""
        self.stopped.set()
        self._awake.set()

    def end(self, number: int) -> None:
        """Stream ``number`` has ended, for whatever reason."""
        if number == self._stream:
            self._ended.set()
            self._awake.set()

    def filler(self, finish: type[Exception], abort: type[Exception]) -> Any:  # noqa: ANN401
        """The callback; it raises ``finish`` after the last sample, ``abort`` when stopped.

        Silence follows the last sample until that has sounded, since drivers drop what is in
        their buffers when a stream ends.
        """

        def give(out: Any, _frames: int, at: Any, _status: object) -> None:  # noqa: ANN401
            part = self._pcm[self._at : self._at + len(out)]
            out[: len(part)] = part
            out[len(part) :] = bytes(len(out) - len(part))
            self._calls += 1
            self._look(float(at.outputBufferDacTime) - float(at.currentTime))
            if self.stopped.is_set() or self.swallowed:
                out[:] = bytes(len(out))
                raise abort
            if self._whole and self._reached_s >= self.given_s + _TAIL_S:
                raise finish
            self._at += len(part)

        return give

    def _look(self, delay_s: float) -> None:
        """Look at the clock; what is handed over now will sound after ``delay_s``."""
        now_s = self._now_s()
        if self._zero_s is None:
            self._zero_s = now_s - self.given_s
        if not self._whole or self._sounds_s is None:
            known = 0 < delay_s < _LONGEST_DELAY_S
            self._sounds_s = now_s + (delay_s if known else _USUAL_DELAY_S) - self.given_s
        self.swallowed = self.given_s - (now_s - self._zero_s) > self._most_ahead_s

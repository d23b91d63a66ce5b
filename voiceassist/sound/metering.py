"""The level of a running microphone, told a few times a second."""

import math

import numpy as np

from voiceassist.sound.clip import LISTEN_RATE_HZ, Clip
from voiceassist.sound.level import Level, level_of

#: Frames of 30 ms between two reports: eleven a second.
_FRAMES = 3
#: How much of the noise's power each frame without speech renews: it follows in about a second.
_RENEWED = 0.03


class LevelMeter:
    """Takes every frame and reports after each third one."""

    def __init__(self) -> None:
        self._frames: list[bytes] = []
        self._speech = False
        self._noise_power: float | None = None

    def push(self, frame: bytes, *, speech: bool, own: bool = False) -> Level | None:
        """Take one frame; the level, when one is due.

        Args:
            frame: 16 kHz.
            speech: somebody speaks in it.
            own: it holds our own voice, so it tells nothing of the room's noise.
        """
        self._frames.append(frame)
        self._speech = self._speech or speech
        if not (speech or own):
            self._learn_noise(frame)
        return self._report() if len(self._frames) == _FRAMES else None

    def _learn_noise(self, frame: bytes) -> None:
        power = float(np.mean(np.frombuffer(frame, dtype="<i2").astype(np.float64) ** 2))
        known = power if self._noise_power is None else self._noise_power
        self._noise_power = known + _RENEWED * (power - known)

    def _report(self) -> Level:
        found = level_of(Clip(b"".join(self._frames), LISTEN_RATE_HZ))
        level = Level(
            peak_dbfs=found.peak_dbfs,
            rms_dbfs=found.rms_dbfs,
            noise_dbfs=_dbfs(self._noise_power or 0.0),
            speech=self._speech,
            clipped=found.clipped > 0,
        )
        self._frames.clear()
        self._speech = False
        return level


def _dbfs(power: float) -> float:
    return 10 * math.log10(power / 32_768**2) if power else -math.inf

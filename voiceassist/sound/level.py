"""How loud a clip is, and whether it was cut off at full scale."""

import math
from dataclasses import dataclass

import numpy as np

from voiceassist.sound.clip import Clip
from voiceassist.sound.samples import clip_of, samples_of

_FULL_SCALE = 32_768
_HIGHEST = 32_767


@dataclass(frozen=True, slots=True)
class ClipLevel:
    """Levels of one clip.

    Parts:
        peak_dbfs: largest sample, in dB below full scale (a sample of 32768 is 0).
        rms_dbfs: root mean square over the whole clip, against the same full scale, so that
            a full-scale sine stands at -3.01; both are minus infinity for digital silence.
        clipped: share of the samples that stand at full scale, 0 to 1.
    """

    peak_dbfs: float
    rms_dbfs: float
    clipped: float


@dataclass(frozen=True, slots=True)
class Level:
    """How a microphone stands at one moment, told about ten times a second.

    Parts:
        peak_dbfs, rms_dbfs: of the last tenth of a second, in dB below full scale (a sample of
            32768 is 0); minus infinity for digital silence.
        noise_dbfs: root mean square of the room without speech, likewise.
        speech: somebody speaks.
        clipped: a sample stood at full scale.
    """

    peak_dbfs: float
    rms_dbfs: float
    noise_dbfs: float
    speech: bool
    clipped: bool


def level_of(clip: Clip) -> ClipLevel:
    """Measure ``clip``; an empty one is silent."""
    if not clip.samples:
        return ClipLevel(-math.inf, -math.inf, 0.0)
    samples = samples_of(clip).astype(np.float64)
    size = np.abs(samples)
    return ClipLevel(
        peak_dbfs=_dbfs(float(size.max())),
        rms_dbfs=_dbfs(math.sqrt(float(np.mean(samples**2)))),
        clipped=float(np.mean(size >= _HIGHEST)),
    )


def amplified(clip: Clip, gain_db: float) -> Clip:
    """``clip`` made louder by ``gain_db``; what goes beyond full scale is cut off there."""
    return clip_of(samples_of(clip) * 10.0 ** (gain_db / 20), clip.rate_hz)


def _dbfs(size: float) -> float:
    return 20 * math.log10(size / _FULL_SCALE) if size else -math.inf

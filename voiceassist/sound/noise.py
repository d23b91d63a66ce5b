"""How far the speech in a clip stands above the noise around it, from the sound alone."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voiceassist.sound.clip import Clip
from voiceassist.sound.samples import samples_of

_FULL_SCALE = 32_768
_FRAME_S = 0.02
#: The segmenter keeps 0.3 s from before the speech; the last of it may be a soft first sound.
_LEAD_S = 0.25
#: Power of rounding to whole samples (one twelfth of a step squared): no noise is less.
_LEAST_POWER = 1 / 12
#: Speech counts as active down to so far below its mean active level (ITU-T P.56, from memory).
_MARGIN = 10 ** (-15.9 / 10)
#: A frame of speech in noise has at least so many times the noise's power.
_ABOVE_NOISE = 2.0
#: Beneath this share of the noise, what is left of the speech cannot be told from none.
_LEAST_RATIO = 0.01
_MOST_ROUNDS = 20


@dataclass(frozen=True, slots=True)
class SpeechLevel:
    """Speech and noise of one clip.

    Parts:
        level_dbfs: root mean square of the speech over its active part, without the noise, in
            dB below full scale (a sample of 32768 is 0).
        noise_dbfs: root mean square of the noise before the speech, likewise.
        snr_db: the first less the second; never below -20.
    """

    level_dbfs: float
    noise_dbfs: float

    @property
    def snr_db(self) -> float:
        """How far the speech stands above the noise, in dB."""
        return self.level_dbfs - self.noise_dbfs


def speech_level_of(clip: Clip) -> SpeechLevel:
    """Measure ``clip``, a segment that begins with at least 0.25 s of noise alone.

    What the first 0.25 s hold is taken for the noise of the whole clip, so noise that comes and
    goes (blows on metal, other people) is measured by chance only.
    """
    power = frame_powers(samples_of(clip), clip.rate_hz)
    lead = power[: max(1, round(_LEAD_S / _FRAME_S))]
    noise = max(_LEAST_POWER, float(lead.mean())) if lead.size else _LEAST_POWER
    level = active_power(power, _ABOVE_NOISE * noise) - noise
    return SpeechLevel(_dbfs(max(level, _LEAST_RATIO * noise)), _dbfs(noise))


def frame_powers(samples: NDArray[np.generic], rate_hz: int) -> NDArray[np.float64]:
    """Mean square of each whole frame of 20 ms."""
    step = round(_FRAME_S * rate_hz)
    whole = samples[: samples.size // step * step].astype(np.float64)
    return np.asarray((whole.reshape(-1, step) ** 2).mean(axis=1))


def active_power(powers: NDArray[np.float64], least: float = 0.0) -> float:
    """Mean power of the frames in which somebody speaks; 0 when there is none.

    Those are the frames above ``least`` that lie no more than 15.9 dB below the mean of them
    all, as ITU-T P.56 has it (from memory; its smoothing is left out).
    """
    active = powers[powers > least]
    for _ in range(_MOST_ROUNDS):
        if not active.size:
            return 0.0
        kept = active[active >= _MARGIN * active.mean()]
        if kept.size == active.size:
            break
        active = kept
    return float(active.mean())


def _dbfs(power: float) -> float:
    return 10 * math.log10(power / _FULL_SCALE**2)

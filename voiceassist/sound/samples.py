"""Between the bytes of a clip and arrays of numbers."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from voiceassist.sound.clip import Clip

Samples = NDArray[np.int16]

_LOUDEST = 16.0
_HIGHEST = 32_767
_LOWEST = -32_768


def samples_of(clip: Clip) -> Samples:
    """The clip's samples, -32768 to 32767; a view that cannot be written to."""
    return np.frombuffer(clip.pcm, dtype="<i2")


def clip_of(samples: NDArray[Any], rate_hz: int) -> Clip:
    """A clip of ``samples`` on the 16-bit scale, rounded, those beyond the scale cut to it."""
    whole = np.clip(np.rint(samples), _LOWEST, _HIGHEST).astype("<i2")
    return Clip(whole.tobytes(), rate_hz)


def clip_of_floats(samples: NDArray[Any], rate_hz: int) -> Clip:
    """A clip of samples where full scale is 1; channels (frames by channels) are averaged."""
    within = np.clip(samples, -_LOUDEST, _LOUDEST)  # so that no sum or product overflows
    mono = within.mean(axis=1) if samples.ndim > 1 else within
    return clip_of(mono * (_HIGHEST + 1), rate_hz)

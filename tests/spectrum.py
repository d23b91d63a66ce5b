"""The log mel spectrum that Whisper is fed.

Radford et al. (2022), section 2.2: windows of 25 ms every 10 ms, 80 or 128 mel bands, logarithm,
levels within 80 dB of the loudest (8 in the base-10 logarithm of power), moved to about -1 to 1.
Mel scale and band areas as in Slaney's Auditory Toolbox (1998).
"""

from functools import cache

import numpy as np
from numpy.typing import NDArray

from voiceassist.sound.clip import LISTEN_RATE_HZ

Floats = NDArray[np.float32]

_WINDOW = 400
HOP = 160
_LOWEST_POWER = 1e-10
_LINEAR_HZ, _HZ_PER_MEL = 1000.0, 200.0 / 3
_LOG_STEP = np.log(6.4) / 27


def log_mel(samples: NDArray[np.float32], bands: int) -> Floats:
    """The spectrum of ``samples`` (16 kHz, -1 to 1), shape (bands, samples // 160)."""
    padded = np.pad(samples, _WINDOW // 2, mode="reflect")
    frames = np.lib.stride_tricks.sliding_window_view(padded, _WINDOW)[::HOP][:-1]
    window = np.hanning(_WINDOW + 1)[:-1].astype(np.float32)
    power = np.abs(np.fft.rfft(frames * window, axis=1)) ** 2
    levels = np.log10(np.maximum(_filters(bands) @ power.T, _LOWEST_POWER))
    levels = np.maximum(levels, levels.max() - 8)
    found: Floats = ((levels + 4) / 4).astype(np.float32)
    return found


@cache
def _filters(bands: int) -> NDArray[np.float64]:
    """Triangles of equal area on the mel scale, shape (bands, frequencies)."""
    hz = np.fft.rfftfreq(_WINDOW, 1 / LISTEN_RATE_HZ)
    edges = _hz(np.linspace(0, _mel(LISTEN_RATE_HZ / 2), bands + 2))
    rising = (hz - edges[:-2, None]) / np.diff(edges)[:-1, None]
    falling = (edges[2:, None] - hz) / np.diff(edges)[1:, None]
    height = 2 / (edges[2:] - edges[:-2])
    return np.maximum(0, np.minimum(rising, falling)) * height[:, None]


def _mel(hz: float) -> float:
    linear = _LINEAR_HZ / _HZ_PER_MEL
    return float(linear + np.log(hz / _LINEAR_HZ) / _LOG_STEP)


def _hz(mel: NDArray[np.float64]) -> NDArray[np.float64]:
    linear = _LINEAR_HZ / _HZ_PER_MEL
    return np.where(
        mel < linear, mel * _HZ_PER_MEL, _LINEAR_HZ * np.exp(_LOG_STEP * (mel - linear))
    )

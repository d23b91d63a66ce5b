"""Lays clips on one timeline."""

from collections.abc import Iterable

import numpy as np

from voiceassist.errors import SoundError
from voiceassist.sound.clip import LISTEN_RATE_HZ, Clip
from voiceassist.sound.resample import resampled
from voiceassist.sound.samples import clip_of, samples_of


def mixed(laid: Iterable[tuple[float, Clip]], rate_hz: int = LISTEN_RATE_HZ) -> Clip:
    """One clip of all of ``laid``, each a start in seconds and a clip of any rate.

    Where clips overlap they are added, and cut off at full scale. It ends with the last clip.

    Raises:
        SoundError: a start lies before zero.
    """
    placed = [(_index(at_s, rate_hz), samples_of(resampled(clip, rate_hz))) for at_s, clip in laid]
    length = max((start + samples.size for start, samples in placed), default=0)
    track = np.zeros(length, dtype=np.int32)
    for start, samples in placed:
        track[start : start + samples.size] += samples
    return clip_of(track, rate_hz)


def _index(at_s: float, rate_hz: int) -> int:
    if at_s < 0:
        raise SoundError(f"a clip cannot start {-at_s} s before the beginning")
    return round(at_s * rate_hz)

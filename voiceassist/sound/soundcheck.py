"""How a microphone stands for speech: noise of the room, voice, and our own loudspeaker in it."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voiceassist.sound.clip import Clip
from voiceassist.sound.level import level_of
from voiceassist.sound.noise import active_power, frame_powers
from voiceassist.sound.samples import clip_of_floats, samples_of

_FULL_SCALE = 32_768
#: Power of rounding to whole samples (one twelfth of a step squared): no noise is less.
_LEAST_POWER = 1 / 12
#: A frame of speech has at least so many times the noise's power.
_ABOVE_NOISE = 2.0
#: A stretch that is not at least so far above the noise holds nobody's voice.
_LEAST_SNR_DB = 3.0

#: The tone that is looked for: it glides, so that it is like itself at one place only, through
#: what every loudspeaker plays.
_TONE_HZ = (500.0, 2_000.0)
_TONE_S = 0.5
_TONE_DBFS = -15.0
_EDGE_S = 0.02
#: Likeness of 1500 Hz times 0.5 s of noise with the tone stays below some 0.12 over a few
#: seconds: sqrt(2 ln(tries) / (2 * bandwidth * duration)).
_ALIKE = 0.25


@dataclass(frozen=True, slots=True)
class MeasuredPhrase:
    """A voice in one stretch of sound.

    Parts:
        level_dbfs: root mean square over its active part, without the noise, in dB below full
            scale (a sample of 32768 is 0).
        peak_dbfs: largest sample.
        clipped: share of the samples at full scale, 0 to 1.
        snr_db: how far the voice stands above the noise of the room.
    """

    level_dbfs: float
    peak_dbfs: float
    clipped: float
    snr_db: float


@dataclass(frozen=True, slots=True)
class Echo:
    """Our own tone as the microphone got it.

    Parts:
        level_dbfs: its root mean square there.
        delay_s: from the beginning of the recording to its beginning.
        alike: how like the tone it was, 0 to 1.
    """

    level_dbfs: float
    delay_s: float
    alike: float


def room_noise(clip: Clip) -> float:
    """Root mean square of ``clip``, a room in which nobody speaks, in dB below full scale.

    Digital silence counts as the noise of rounding, -101.
    """
    samples = samples_of(clip).astype(np.float64)
    power = float(np.mean(samples**2)) if samples.size else 0.0
    return _dbfs(max(power, _LEAST_POWER))


def noise_between(clip: Clip) -> float:
    """The noise in a recording with speech: the tenth part of its frames that is softest.

    For sound of which nobody said when the room was quiet. In dB below full scale.
    """
    powers = frame_powers(samples_of(clip), clip.rate_hz)
    if not powers.size:
        return _dbfs(_LEAST_POWER)
    softest = np.sort(powers)[: max(1, powers.size // 10)]
    return _dbfs(max(float(softest.mean()), _LEAST_POWER))


def voice_in(clip: Clip, noise_dbfs: float) -> MeasuredPhrase | None:
    """The voice in ``clip``; None when nothing stands out of the noise.

    Args:
        clip: a stretch in which somebody should have spoken.
        noise_dbfs: of the room.
    """
    noise = max(_power(noise_dbfs), _LEAST_POWER)
    powers = frame_powers(samples_of(clip), clip.rate_hz)
    voice = active_power(powers, _ABOVE_NOISE * noise) - noise
    if voice <= 0 or _dbfs(voice) - _dbfs(noise) < _LEAST_SNR_DB:
        return None
    level = level_of(clip)
    return MeasuredPhrase(_dbfs(voice), level.peak_dbfs, level.clipped, _dbfs(voice) - _dbfs(noise))


def check_tone(rate_hz: int) -> Clip:
    """A soft tone that glides from 500 to 2000 Hz in half a second, to be played and found."""
    at_s = np.arange(round(_TONE_S * rate_hz)) / rate_hz
    low, high = _TONE_HZ
    turns = low * at_s + (high - low) * at_s**2 / (2 * _TONE_S)
    edge = np.minimum(1.0, np.minimum(at_s, at_s[::-1]) / _EDGE_S)
    peak = 10 ** (_TONE_DBFS / 20)
    return clip_of_floats(peak * edge * np.sin(2 * np.pi * turns), rate_hz)


def echo_of(tone: Clip, recorded: Clip) -> Echo | None:
    """Where ``tone`` is in ``recorded`` and how loud; None when it is not in it.

    Looked for by cross-correlation, each place measured by the sound that is there.

    Raises:
        ValueError: the two have different rates.
    """
    if tone.rate_hz != recorded.rate_hz:
        raise ValueError(f"a tone of {tone.rate_hz} Hz in sound of {recorded.rate_hz} Hz")
    played, got = (samples_of(clip).astype(np.float64) for clip in (tone, recorded))
    if not played.any() or got.size < played.size:
        return None
    along = _correlation(got, played)
    energy = _energies(got, played.size)
    own = float(np.sum(played**2))
    likeness = np.abs(along) / np.sqrt(own * np.maximum(energy, _LEAST_POWER * played.size))
    at = int(np.argmax(likeness))
    if likeness[at] < _ALIKE:
        return None
    gain = abs(float(along[at])) / own
    level = gain * math.sqrt(own / played.size)
    return Echo(_dbfs(level**2), at / recorded.rate_hz, min(1.0, float(likeness[at])))


def _correlation(long: NDArray[np.float64], short: NDArray[np.float64]) -> NDArray[np.float64]:
    """Correlation of ``short`` with ``long`` at every offset where it fits."""
    size = 1 << (long.size + short.size - 1).bit_length()
    product = np.fft.rfft(long, size) * np.conj(np.fft.rfft(short, size))
    return np.asarray(np.fft.irfft(product, size)[: long.size - short.size + 1])


def _energies(samples: NDArray[np.float64], size: int) -> NDArray[np.float64]:
    """Sum of squares of the ``size`` samples from each place."""
    sums = np.concatenate([[0.0], np.cumsum(samples**2)])
    return np.asarray(sums[size:] - sums[:-size])


def _power(dbfs: float) -> float:
    return float(10 ** (dbfs / 10) * _FULL_SCALE**2)


def _dbfs(power: float) -> float:
    return 10 * math.log10(power / _FULL_SCALE**2)

"""Noises of a workshop by numpy: each takes a size in samples at 16 kHz and a seed.

They are synthetic likenesses; frequencies, decay times and shares are common practice, no source.
"""

from collections.abc import Callable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from voiceassist.sound.clip import LISTEN_RATE_HZ

Floats = NDArray[np.float64]
Seed = np.random.RandomState


def pink(size: int, seed: Seed) -> Floats:
    """Noise whose power falls by 3 dB an octave, from 20 Hz up."""
    return _shaped(size, seed, lambda hertz: np.where(hertz < 20, 0, 1 / np.sqrt(hertz + 1e-9)))


def compressor(size: int, seed: Seed) -> Floats:
    """A piston machine: a low hum with harmonics, air that hisses with every stroke."""
    at = _times(size)
    strokes_hz = seed.uniform(20, 30)
    hum = sum(
        np.sin(2 * np.pi * strokes_hz * n * at + seed.uniform(0, 2 * np.pi)) / n
        for n in range(1, 25)
    )
    stroke = 0.6 + 0.4 * np.sin(2 * np.pi * strokes_hz * at)
    beat = 1 + 0.3 * np.sin(2 * np.pi * seed.uniform(0.8, 2.0) * at)
    air = _shaped(size, seed, lambda hertz: 1 / np.sqrt(1 + (hertz / 800) ** 2))
    return np.asarray(unit_power(hum * beat) + 0.7 * unit_power(air * stroke))


def mains(size: int, seed: Seed) -> Floats:
    """Hum of a lamp or charger with its buzz: a narrow pulse every half wave, and a little hiss."""
    at = _times(size)
    mains_hz = seed.choice((50.0, 60.0))
    hum = np.sin(2 * np.pi * mains_hz * at) + 0.5 * np.sin(2 * np.pi * 2 * mains_hz * at)
    half_wave = (2 * mains_hz * at + seed.uniform(0, 1)) % 1.0
    buzz = np.exp(-half_wave / 0.05)
    hiss = seed.standard_normal(size)
    return np.asarray(unit_power(hum) + 0.6 * unit_power(buzz - buzz.mean()) + 0.1 * hiss)


def impacts(size: int, seed: Seed) -> Floats:
    """Blows on metal, about two a second and at least one, over a low rush."""
    sound = 0.15 * unit_power(pink(size, seed))
    for _ in range(max(1, seed.poisson(2 * size / LISTEN_RATE_HZ))):
        _strike(sound, seed.randint(0, size), seed)
    return sound


def _strike(sound: Floats, start: int, seed: Seed) -> None:
    """Add one clang: a short crack and five tones that die away."""
    at = _times(min(sound.size - start, LISTEN_RATE_HZ // 2))
    ring = np.exp(-at / 0.004) * seed.standard_normal(at.size)
    for _ in range(5):
        hertz, decay_s = seed.uniform(400, 4500), seed.uniform(0.02, 0.15)
        ring += seed.uniform(0.2, 1) * np.exp(-at / decay_s) * np.sin(2 * np.pi * hertz * at)
    sound[start : start + at.size] += seed.uniform(0.5, 1.5) * ring


def babble(size: int, seed: Seed, talk: Sequence[Floats], talkers: int = 4) -> Floats:
    """Several people at once, each somewhere in one sentence of ``talk`` after another."""
    sound = np.zeros(size)
    for _ in range(talkers):
        start = seed.randint(0, LISTEN_RATE_HZ)
        said = np.zeros(0)
        while said.size < start + size:
            said = np.concatenate([said, unit_power(talk[seed.randint(len(talk))])])
        sound += said[start : start + size] * seed.uniform(0.5, 1)
    return sound


def laughter(size: int, seed: Seed) -> Floats:
    """Somebody laughing, roughly: four or five bursts of voice a second, falling in pitch."""
    at = _times(size)
    pitch_hz = seed.uniform(150, 280) * (1 - 0.15 * at)
    voice = _voiced(pitch_hz, (seed.uniform(600, 800), 1200.0, 2500.0))
    bursts = np.maximum(0, np.sin(2 * np.pi * seed.uniform(4, 5.5) * at)) ** 1.5
    breath = 0.3 * unit_power(pink(size, seed))
    return np.asarray((unit_power(voice) + breath) * bursts * np.exp(-at / 1.5))


def coughs(size: int, seed: Seed) -> Floats:
    """One to three coughs: a burst of breath, then a hoarse, falling voice."""
    sound = 1e-3 * seed.standard_normal(size)
    for start in sorted(seed.randint(0, max(1, size // 2), seed.randint(1, 4))):
        at = _times(min(size - start, round(0.35 * LISTEN_RATE_HZ)))
        breath = unit_power(pink(at.size, seed)) * np.exp(-at / 0.06)
        voice = unit_power(_voiced(130.0 - 150.0 * at, (700.0, 1300.0)))
        sound[start : start + at.size] += breath + 0.4 * voice * np.exp(-at / 0.12)
    return sound


def _voiced(pitch_hz: Floats, formants_hz: tuple[float, ...]) -> Floats:
    """A buzz of that pitch, its harmonics raised near the formants (100 Hz wide)."""
    phase = 2 * np.pi * np.cumsum(pitch_hz) / LISTEN_RATE_HZ
    harmonics = []
    for n in range(1, 20):
        hertz = float(n * pitch_hz.mean())
        gain = sum(1 / (1 + ((hertz - formant) / 100) ** 2) for formant in formants_hz)
        harmonics.append((gain + 0.02) * np.sin(n * phase))
    return np.asarray(sum(harmonics), dtype=np.float64)


def echoed(speech: Floats, seed: Seed) -> Floats:
    """``speech`` in a bare room: eight early reflections, a tail of 0.3 s, 0.25 s longer."""
    at = _times(LISTEN_RATE_HZ // 4)
    room = 0.02 * seed.standard_normal(at.size) * 10 ** (-3 * at / 0.3)
    room[: LISTEN_RATE_HZ // 500] = 0
    for _ in range(8):
        room[seed.randint(LISTEN_RATE_HZ // 250, LISTEN_RATE_HZ // 25)] += seed.uniform(-0.35, 0.35)
    room[0] = 1
    return np.convolve(speech, room)


def unit_power(sound: Floats) -> Floats:
    """``sound`` at a root mean square of 1; silence as it is."""
    power = float(np.mean(sound**2)) if sound.size else 0.0
    return sound / np.sqrt(power) if power else sound


def _times(size: int) -> Floats:
    """The second of each sample."""
    return np.arange(size) / LISTEN_RATE_HZ


def _shaped(size: int, seed: Seed, gain: Callable[[Floats], Floats]) -> Floats:
    spectrum = np.fft.rfft(seed.standard_normal(size))
    hertz = np.asarray(np.fft.rfftfreq(size, 1 / LISTEN_RATE_HZ), dtype=np.float64)
    return np.fft.irfft(spectrum * gain(hertz), size)


STEADY: Mapping[str, Callable[[int, Seed], Floats]] = {
    "pink": pink,
    "compressor": compressor,
    "mains": mains,
    "impacts": impacts,
}
#: What phrases are mixed with.
KINDS = (*STEADY, "babble")

"""Noises of tools and of a radio by numpy: each takes a size in samples at 16 kHz and a seed.

They are synthetic likenesses, of kinds that training does not make; frequencies and shares are
common practice, no source.
"""

from collections.abc import Callable, Mapping

import numpy as np
from benchmarks.hearing.noises import Floats, Seed, pink, unit_power

from voiceassist.sound.clip import LISTEN_RATE_HZ


def ratchet(size: int, seed: Seed) -> Floats:
    """An air ratchet or wrench: rattling bursts of half a second to one and a half, with hiss."""
    at = _times(size)
    blows_hz = seed.uniform(18, 45)
    rattle = np.exp(-((at * blows_hz) % 1.0) / seed.uniform(0.1, 0.3)) * seed.standard_normal(size)
    ring = np.sin(2 * np.pi * seed.uniform(900, 3200) * at) * rattle
    runs = _now_and_then(size, seed, 0.5, 1.5)
    return unit_power((unit_power(rattle) + unit_power(ring)) * runs) + 0.1 * pink(size, seed)


def grinder(size: int, seed: Seed) -> Floats:
    """A small grinder: a whine that gives way under load, its side tones, and sparks' hiss."""
    at = _times(size)
    load = 1 - 0.15 * _now_and_then(size, seed, 0.3, 1.2)
    phase = 2 * np.pi * np.cumsum(seed.uniform(350, 700) * _smooth(load)) / LISTEN_RATE_HZ
    tones = (np.sin(n * phase + seed.uniform(0, 6)) / n**0.5 for n in (1, 2, 3, 5, 8))
    whine = sum(tones, start=np.zeros(size))
    hiss = np.diff(seed.standard_normal(size + 1))
    swell = 1 + 0.4 * np.sin(2 * np.pi * seed.uniform(3, 9) * at)
    return np.asarray(unit_power(whine) + 0.5 * unit_power(hiss * swell))


def beeper(size: int, seed: Seed) -> Floats:
    """A vehicle that backs up: tones of half a second, over its engine far away."""
    at = _times(size)
    hertz = seed.uniform(1000, 1400)
    period_s = seed.uniform(0.8, 1.2)
    beeps = ((at + seed.uniform(0, 1)) % period_s) < period_s / 2
    tone = np.sin(2 * np.pi * hertz * at) + 0.3 * np.sin(2 * np.pi * 3 * hertz * at)
    return np.asarray(unit_power(tone * beeps) + 0.5 * unit_power(pink(size, seed)))


def radio(size: int, seed: Seed) -> Floats:
    """Music from a small radio: chords that change, a tune above them, and a beat."""
    at = _times(size)
    beat_s = seed.uniform(0.4, 0.65)
    beat = (at / beat_s).astype(int)
    roots = seed.choice((110.0, 130.8, 146.8, 164.8, 196.0), beat.max() // 4 + 1)[beat // 4]
    chord = sum((_note(roots * step, seed) for step in (1, 1.26, 1.5)), start=np.zeros(size))
    tune = _note(2 * roots * 2 ** (seed.randint(0, 13, beat.max() + 1)[beat] / 12), seed)
    drum = np.exp(-((at / beat_s) % 1.0) / 0.06) * seed.standard_normal(size)
    return np.asarray(unit_power(chord) + 0.8 * unit_power(tune) + 0.5 * unit_power(drum))


def _note(hertz: Floats, seed: Seed) -> Floats:
    """A plucked string or so: six harmonics of a pitch that may change."""
    phase = 2 * np.pi * np.cumsum(hertz) / LISTEN_RATE_HZ + seed.uniform(0, 6)
    return np.asarray(sum(np.sin(n * phase) / n for n in range(1, 7)))


def _now_and_then(size: int, seed: Seed, low_s: float, high_s: float) -> Floats:
    """1 while something runs and 0 while it rests, by turns; it runs at some time."""
    runs, start = np.zeros(size), 0
    while start < size:
        on, off = (round(seed.uniform(low_s, high_s) * LISTEN_RATE_HZ) for _ in range(2))
        runs[start : start + on] = 1
        start += on + off
    return runs


def _smooth(sound: Floats) -> Floats:
    """The same with steps spread over a tenth of a second."""
    width = LISTEN_RATE_HZ // 10
    whole = np.concatenate([np.full(width, sound[0]), sound])
    sums = np.cumsum(whole)
    return np.asarray((sums[width:] - sums[:-width]) / width)


def _times(size: int) -> Floats:
    return np.arange(size) / LISTEN_RATE_HZ


STEADY: Mapping[str, Callable[[int, Seed], Floats]] = {
    "ratchet": ratchet,
    "grinder": grinder,
    "beeper": beeper,
    "radio": radio,
}
KINDS = tuple(STEADY)

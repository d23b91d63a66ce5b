"""Room, voice and echo, measured on sounds whose levels are known from the formula that made them.

The root mean square of a sine is its peak divided by the square root of two; levels of noise are
those it was drawn with; powers of sounds that have nothing to do with each other add.
"""

import math

import numpy as np
import pytest

from voiceassist.sound.clip import Clip
from voiceassist.sound.samples import clip_of
from voiceassist.sound.soundcheck import (
    check_tone,
    echo_of,
    noise_between,
    room_noise,
    voice_in,
)

RATE_HZ = 16_000
FULL_SCALE = 32_768


def amplitude(dbfs: float) -> float:
    return float(FULL_SCALE * 10 ** (dbfs / 20))


def sine(peak_dbfs: float, seconds: float = 1.0, rate_hz: int = RATE_HZ) -> np.ndarray:
    at_s = np.arange(round(seconds * rate_hz)) / rate_hz
    return amplitude(peak_dbfs) * np.sin(2 * np.pi * 440 * at_s)


def noise(rms_dbfs: float, seconds: float, rate_hz: int = RATE_HZ, seed: int = 1) -> np.ndarray:
    drawn = np.random.default_rng(seed).standard_normal(round(seconds * rate_hz))
    return amplitude(rms_dbfs) * drawn


def clip(samples: np.ndarray, rate_hz: int = RATE_HZ) -> Clip:
    return clip_of(samples, rate_hz)


def in_room(voice: np.ndarray, rms_dbfs: float, quiet_s: float = 0.5) -> Clip:
    """A voice with the room before and after it."""
    quiet = np.zeros(round(quiet_s * RATE_HZ))
    sound = np.concatenate([quiet, voice, quiet])
    return clip(sound + noise(rms_dbfs, sound.size / RATE_HZ))


@pytest.mark.parametrize("dbfs", [-20.0, -45.0, -70.0])
def test_the_noise_of_a_room_is_its_root_mean_square(dbfs: float) -> None:
    assert room_noise(clip(noise(dbfs, 2.0))) == pytest.approx(dbfs, abs=0.2)
    assert room_noise(clip(sine(dbfs, 2.0))) == pytest.approx(dbfs - 10 * math.log10(2), abs=0.05)


@pytest.mark.parametrize("silence", [Clip(b""), Clip.silence(1)])
def test_digital_silence_has_the_noise_of_rounding(silence: Clip) -> None:
    # one twelfth of a step squared: 10 log10(1 / 12 / 32768^2)
    assert room_noise(silence) == pytest.approx(-101.1, abs=0.05)


@pytest.mark.parametrize("noise_dbfs", [-40.0, -60.0])
def test_in_a_recording_the_noise_is_what_lies_between_the_phrases(noise_dbfs: float) -> None:
    assert noise_between(in_room(sine(-10), noise_dbfs)) == pytest.approx(noise_dbfs, abs=1.5)


@pytest.mark.parametrize("peak_dbfs", [-6.0, -20.0, -40.0])
@pytest.mark.parametrize("gap_db", [30.0, 15.0, 9.0])
def test_a_voice_is_measured_without_pauses_and_noise(peak_dbfs: float, gap_db: float) -> None:
    rms_dbfs = peak_dbfs - 10 * math.log10(2)
    phrase = voice_in(in_room(sine(peak_dbfs), rms_dbfs - gap_db), rms_dbfs - gap_db)
    assert phrase is not None
    assert phrase.level_dbfs == pytest.approx(rms_dbfs, abs=0.7)
    assert phrase.snr_db == pytest.approx(gap_db, abs=0.7)
    assert phrase.clipped == 0


def test_the_share_of_clipped_samples_is_that_of_the_formula() -> None:
    # A sine of twice full scale is beyond it where |sin| > 1/2: two thirds of the time.
    phrase = voice_in(clip(sine(20 * math.log10(2))), -90.0)
    assert phrase is not None
    assert phrase.clipped == pytest.approx(2 / 3, abs=0.01)
    assert phrase.peak_dbfs == pytest.approx(0, abs=0.01)


@pytest.mark.parametrize(
    "sound", [Clip(b""), Clip.silence(1), clip(noise(-50, 1.0)), clip(np.zeros(100))]
)
def test_where_nobody_speaks_there_is_no_voice(sound: Clip) -> None:
    assert voice_in(sound, -50.0) is None


def with_echo(rate_hz: int, gain_db: float, delay_s: float, noise_dbfs: float) -> Clip:
    tone = np.frombuffer(check_tone(rate_hz).pcm, dtype="<i2").astype(float)
    sound = noise(noise_dbfs, 2.5, rate_hz)
    at = round(delay_s * rate_hz)
    sound[at : at + tone.size] += tone * 10 ** (gain_db / 20)
    return clip(sound, rate_hz)


@pytest.mark.parametrize("rate_hz", [16_000, 48_000])
@pytest.mark.parametrize(
    ("gain_db", "delay_s", "noise_dbfs"),
    [(0, 0.0, -60), (-20, 0.35, -60), (-20, 1.9, -36), (-30, 0.123, -55)],
)
def test_our_own_tone_is_found_with_its_level_and_delay(
    rate_hz: int, gain_db: float, delay_s: float, noise_dbfs: float
) -> None:
    tone = check_tone(rate_hz)
    echo = echo_of(tone, with_echo(rate_hz, gain_db, delay_s, noise_dbfs))
    assert echo is not None
    assert echo.delay_s == pytest.approx(delay_s, abs=0.002)
    assert echo.level_dbfs == pytest.approx(room_noise(tone) + gain_db, abs=1.0)
    assert 0.25 <= echo.alike <= 1


def test_a_tone_turned_upside_down_by_the_wiring_is_found() -> None:
    tone = check_tone(RATE_HZ)
    samples = -np.frombuffer(tone.pcm, dtype="<i2").astype(float)
    echo = echo_of(tone, clip(np.concatenate([np.zeros(8000), samples, np.zeros(8000)])))
    assert echo is not None
    assert echo.delay_s == pytest.approx(0.5, abs=0.001)


@pytest.mark.parametrize(
    "sound",
    [
        Clip.silence(2.5),
        clip(noise(-30, 2.5)),
        clip(noise(-30, 2.5, seed=2)),
        clip(sine(-10, 2.5)),
        Clip.silence(0.1),
        Clip(b""),
    ],
)
def test_what_does_not_hold_the_tone_is_not_taken_for_it(sound: Clip) -> None:
    assert echo_of(check_tone(RATE_HZ), sound) is None


def test_two_rates_cannot_be_compared() -> None:
    with pytest.raises(ValueError, match="48000 Hz"):
        echo_of(check_tone(16_000), Clip.silence(1, 48_000))


def test_the_tone_is_soft_and_short_and_begins_and_ends_with_silence() -> None:
    tone = check_tone(48_000)
    samples = np.frombuffer(tone.pcm, dtype="<i2")
    assert tone.seconds == 0.5
    assert abs(samples).max() < FULL_SCALE / 4
    assert samples[0] == samples[-1] == 0

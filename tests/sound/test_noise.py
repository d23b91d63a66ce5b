"""How far speech stands above noise, told from the sound alone."""

import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from voiceassist.devices.wav import read_clip
from voiceassist.sound.clip import LISTEN_RATE_HZ, Clip
from voiceassist.sound.level import amplified
from voiceassist.sound.noise import active_power, frame_powers, speech_level_of
from voiceassist.sound.samples import clip_of

PHRASES = Path(__file__).parents[2] / "audio_fixtures" / "phrases"
FULL_SCALE = 32_768
#: Rounding to whole samples leaves noise of one twelfth of a step squared.
ROUNDING_DBFS = 10 * math.log10(1 / 12 / FULL_SCALE**2)


def words(seconds: float, level_dbfs: float) -> NDArray[np.float64]:
    """A tone of that level in place of speech: 0.3 s of it, 0.1 s of quiet, and so on."""
    at_s = np.arange(round(seconds * LISTEN_RATE_HZ)) / LISTEN_RATE_HZ
    tone = np.sqrt(2) * FULL_SCALE * 10 ** (level_dbfs / 20) * np.sin(2 * np.pi * 440 * at_s)
    return np.where(at_s % 0.4 < 0.3, tone, 0)


def in_noise(
    speech: NDArray[np.float64], noise_dbfs: float, after_s: float = 0.3, seed: int = 1
) -> Clip:
    """White noise for 0.3 s, then with the speech in it, then for ``after_s``."""
    before = round(0.3 * LISTEN_RATE_HZ)
    size = before + speech.size + round(after_s * LISTEN_RATE_HZ)
    sound = np.random.RandomState(seed).standard_normal(size)
    sound *= FULL_SCALE * 10 ** (noise_dbfs / 20)
    sound[before : before + speech.size] += speech
    return clip_of(sound, LISTEN_RATE_HZ)


@pytest.mark.parametrize("snr_db", [40, 20, 10, 5])
def test_speech_and_noise_are_measured_apart(snr_db: float) -> None:
    found = speech_level_of(in_noise(words(2.0, -25), -25 - snr_db))
    assert found.level_dbfs == pytest.approx(-25, abs=0.5)
    assert found.noise_dbfs == pytest.approx(-25 - snr_db, abs=0.3)
    assert found.snr_db == pytest.approx(snr_db, abs=0.6)


def test_quiet_after_the_speech_does_not_lower_its_level() -> None:
    short, long = (speech_level_of(in_noise(words(1.2, -20), -50, after)) for after in (0.3, 3.0))
    assert short.level_dbfs == pytest.approx(long.level_dbfs, abs=0.1)


def test_a_louder_microphone_changes_levels_but_not_the_distance() -> None:
    clip = in_noise(words(1.2, -30), -45)
    soft, loud = speech_level_of(clip), speech_level_of(amplified(clip, 12))
    assert loud.level_dbfs - soft.level_dbfs == pytest.approx(12, abs=0.05)
    assert loud.noise_dbfs - soft.noise_dbfs == pytest.approx(12, abs=0.05)
    assert loud.snr_db == pytest.approx(soft.snr_db, abs=0.05)


def test_noise_alone_holds_no_speech() -> None:
    assert speech_level_of(in_noise(np.zeros(LISTEN_RATE_HZ), -30)).snr_db < 0


@pytest.mark.parametrize("clip", [Clip(b""), Clip(bytes(20)), Clip.silence(2.0)])
def test_silence_has_the_noise_of_rounding_and_no_speech(clip: Clip) -> None:
    found = speech_level_of(clip)
    assert found.noise_dbfs == pytest.approx(ROUNDING_DBFS)
    assert found.snr_db == pytest.approx(-20)


@given(st.binary(max_size=20_000))
def test_any_sound_has_finite_levels(pcm: bytes) -> None:
    found = speech_level_of(Clip(pcm[: len(pcm) // 2 * 2]))
    assert math.isfinite(found.level_dbfs)
    assert ROUNDING_DBFS - 1e-6 <= found.noise_dbfs <= 0.01
    assert -20.001 <= found.snr_db <= 102


# Their labels say: noise 20 dB below speech. That counts pauses as speech, so that the active
# part stands a little higher.
@pytest.mark.parametrize("name", ["n01", "n02", "n03", "n04", "n05", "n06"])
def test_recorded_phrases_in_noise_are_found_near_their_label(name: str) -> None:
    assert 19 <= speech_level_of(read_clip(PHRASES / f"{name}.wav")).snr_db <= 23


def test_pauses_do_not_count_for_the_active_level() -> None:
    with_pauses = frame_powers(words(2.0, -20), LISTEN_RATE_HZ)
    assert 10 * math.log10(active_power(with_pauses) / FULL_SCALE**2) == pytest.approx(-20, abs=0.2)
    assert active_power(np.zeros(9)) == 0

"""Levels: a full-scale sine has an RMS level of -3.01 dB (definition: 20 log10 of 1/sqrt 2)."""

import math

import numpy as np
import pytest

from voiceassist.sound.clip import Clip
from voiceassist.sound.level import amplified, level_of
from voiceassist.sound.samples import clip_of


def sine(size: float) -> Clip:
    """One second of 997 Hz, which meets every height."""
    return clip_of(size * np.sin(2 * np.pi * 997 * np.arange(16_000) / 16_000 + 0.1), 16_000)


@pytest.mark.parametrize(("size", "down_db"), [(32_000, 0.206), (3276.8, 20.0), (327.68, 40.0)])
def test_a_sine_stands_3_db_below_its_peak(size: float, down_db: float) -> None:
    level = level_of(sine(size))
    assert level.peak_dbfs == pytest.approx(-down_db, abs=0.1)
    assert level.rms_dbfs == pytest.approx(-down_db - 3.01, abs=0.05)


@pytest.mark.parametrize("clip", [Clip(b""), Clip.silence(1)])
def test_no_sound_has_no_level(clip: Clip) -> None:
    assert level_of(clip).peak_dbfs == -math.inf
    assert level_of(clip).rms_dbfs == -math.inf
    assert level_of(clip).clipped == 0


def test_clean_sound_is_not_called_clipped() -> None:
    assert level_of(sine(32_000)).clipped == 0


def test_the_share_cut_off_at_full_scale_is_counted() -> None:
    # A sine twice as high as full scale is beyond it where |sin| > 1/2: two thirds of the time.
    assert level_of(sine(65_536)).clipped == pytest.approx(2 / 3, abs=0.02)


@pytest.mark.parametrize("gain_db", [-20.0, -6.0, 6.0])
def test_a_gain_moves_the_level_by_as_much(gain_db: float) -> None:
    before = sine(3276.8)
    moved = level_of(amplified(before, gain_db)).rms_dbfs - level_of(before).rms_dbfs
    assert moved == pytest.approx(gain_db, abs=0.05)

"""Clips as values."""

import pytest

from voiceassist.errors import SoundError
from voiceassist.sound.clip import Clip


def test_half_a_sample_is_refused() -> None:
    with pytest.raises(SoundError, match="3 bytes"):
        Clip(b"abc")


@pytest.mark.parametrize("rate_hz", [0, -8000])
def test_a_rate_must_be_more_than_nothing(rate_hz: int) -> None:
    with pytest.raises(SoundError, match="sample rate"):
        Clip(b"", rate_hz)


def test_silence_lasts_as_long_as_asked() -> None:
    assert Clip.silence(0.5, 8000).samples == 4000
    assert Clip.silence(0.5, 8000).seconds == 0.5


def test_clips_of_different_rates_cannot_be_joined() -> None:
    with pytest.raises(SoundError, match="cannot follow"):
        Clip.silence(1, 8000) + Clip.silence(1, 16_000)


def test_joined_clips_last_as_long_as_both() -> None:
    assert (Clip.silence(1) + Clip.silence(0.5)).seconds == 1.5

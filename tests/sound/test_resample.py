"""A change of rate keeps time and pitch."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.sound.clip import LISTEN_RATE_HZ, Clip
from voiceassist.sound.resample import StreamResampler, resampled
from voiceassist.sound.samples import clip_of, samples_of

RATES = [8000, 11_025, 16_000, 22_050, 44_100, 48_000]


def tone(hertz: float, seconds: float, rate_hz: int) -> Clip:
    """A sine of a third of full scale."""
    at_s = np.arange(round(seconds * rate_hz)) / rate_hz
    return clip_of(10_000 * np.sin(2 * np.pi * hertz * at_s), rate_hz)


def loudest_hz(clip: Clip) -> float:
    """The frequency with the most power."""
    power = np.abs(np.fft.rfft(samples_of(clip)))
    return float(np.argmax(power)) / clip.seconds


@pytest.mark.parametrize("rate_hz", RATES)
def test_a_tone_keeps_its_length_and_pitch(rate_hz: int) -> None:
    clip = resampled(tone(440, 1.0, rate_hz))
    assert clip.rate_hz == LISTEN_RATE_HZ
    assert clip.seconds == pytest.approx(1.0, abs=0.001)
    assert loudest_hz(clip) == pytest.approx(440, abs=1.5)


def test_a_tone_above_the_new_band_does_not_fold_down_into_it() -> None:
    folded = resampled(tone(11_000, 1.0, 48_000), 16_000)
    assert np.abs(samples_of(folded)[500:-500]).max() < 100


def test_a_clip_at_the_rate_already_is_returned_unchanged() -> None:
    clip = tone(440, 0.1, LISTEN_RATE_HZ)
    assert resampled(clip) is clip


@pytest.mark.parametrize("rate_hz", RATES)
def test_an_empty_clip_stays_empty_at_the_new_rate(rate_hz: int) -> None:
    assert resampled(Clip(b"", 44_100), rate_hz) == Clip(b"", rate_hz)


@given(cuts=st.lists(st.integers(1, 3000), max_size=8))
def test_a_stream_sounds_the_same_however_it_is_cut(cuts: list[int]) -> None:
    whole = tone(440, 0.25, 44_100)
    samples = samples_of(whole)
    stream = StreamResampler(44_100)
    parts = [stream.push(clip_of(part, 44_100)) for part in np.split(samples, np.cumsum(cuts))]
    parts.append(stream.push(Clip(b"", 44_100), last=True))
    joined = np.concatenate([samples_of(part) for part in parts])
    expected = samples_of(resampled(whole)).astype(int)
    assert joined.size == pytest.approx(expected.size, abs=2)
    size = min(joined.size, expected.size)
    assert np.abs(joined[:size] - expected[:size]).max() <= 2


def test_a_chunk_of_another_rate_is_misuse() -> None:
    with pytest.raises(ValueError, match="8000 Hz"):
        StreamResampler(16_000).push(Clip.silence(0.1, 8000))

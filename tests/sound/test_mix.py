"""Clips laid on one timeline."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.errors import SoundError
from voiceassist.sound.clip import Clip
from voiceassist.sound.mix import mixed
from voiceassist.sound.samples import clip_of, samples_of


def steady(value: int, seconds: float) -> Clip:
    """A clip of one value."""
    return clip_of(np.full(round(seconds * 16_000), value), 16_000)


def test_each_clip_stands_at_its_start_with_silence_between() -> None:
    track = samples_of(mixed([(0.1, steady(5, 0.1)), (0.3, steady(7, 0.1))]))
    assert track.size == 6400
    assert set(track[:1600]) == {0}
    assert set(track[1600:3200]) == {5}
    assert set(track[3200:4800]) == {0}
    assert set(track[4800:]) == {7}


def test_overlapping_clips_are_added() -> None:
    track = samples_of(mixed([(0.0, steady(100, 0.2)), (0.1, steady(30, 0.2))]))
    assert [track[0], track[2000], track[-1]] == [100, 130, 30]


def test_a_sum_beyond_full_scale_does_not_wrap_round() -> None:
    track = samples_of(mixed([(0.0, steady(30_000, 0.1)), (0.0, steady(30_000, 0.1))]))
    assert set(track) == {32_767}


def test_a_clip_of_another_rate_keeps_its_length() -> None:
    assert mixed([(1.0, Clip.silence(0.5, 22_050))]).seconds == pytest.approx(1.5, abs=0.001)


def test_nothing_laid_gives_an_empty_clip() -> None:
    assert mixed([]) == Clip(b"")


def test_a_start_before_the_beginning_is_refused() -> None:
    with pytest.raises(SoundError, match="before the beginning"):
        mixed([(-0.5, steady(1, 0.1))])


@given(starts=st.lists(st.integers(0, 100), min_size=1, max_size=6))
def test_the_track_ends_with_the_last_clip(starts: list[int]) -> None:
    laid = [(start / 100, steady(1, 0.05)) for start in starts]
    assert mixed(laid).samples == max(starts) * 160 + 800
    assert mixed(reversed(laid)) == mixed(laid)

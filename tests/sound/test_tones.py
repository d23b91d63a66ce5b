"""The tones are gentle, short, and told apart by ear."""

import numpy as np
import pytest

from voiceassist.sound.level import level_of
from voiceassist.sound.samples import samples_of
from voiceassist.sound.tones import NOTES, Tone, tone


@pytest.mark.parametrize("kind", Tone)
@pytest.mark.parametrize("rate_hz", [16_000, 22_050, 48_000])
def test_a_tone_is_gentle_and_short(kind: Tone, rate_hz: int) -> None:
    clip = tone(kind, rate_hz)
    assert clip.rate_hz == rate_hz
    assert level_of(clip).peak_dbfs == pytest.approx(-18.0, abs=0.5)
    assert 0.04 <= clip.seconds <= 0.25


@pytest.mark.parametrize("kind", Tone)
def test_a_tone_does_not_click(kind: Tone) -> None:
    """It begins and ends at nothing, and never jumps more than its own sine does."""
    samples = samples_of(tone(kind, 48_000)).astype(np.float64)
    assert abs(samples[0]) <= 1
    assert abs(samples[-1]) <= 1
    peak = 32_768 * 10 ** (-18 / 20)
    steepest = max(note.hertz for note in NOTES[kind]) * 2 * np.pi / 48_000 * peak
    assert np.abs(np.diff(samples)).max() <= steepest * 1.1


def test_the_pitch_of_a_tone_is_that_of_its_note() -> None:
    samples = samples_of(tone(Tone.THINKING, 48_000)).astype(np.float64)
    spectrum = np.abs(np.fft.rfft(samples, 48_000))
    assert int(spectrum.argmax()) == pytest.approx(440, abs=10)


def test_no_two_tones_are_alike() -> None:
    assert len({tuple((n.hertz, n.seconds) for n in notes) for notes in NOTES.values()}) == len(
        Tone
    )

"""The level of a running microphone. A square wave of height h has an RMS of h."""

import math

import pytest

from voiceassist.sound.frames import FRAME_BYTES
from voiceassist.sound.level import Level
from voiceassist.sound.metering import LevelMeter


def square(height: int) -> bytes:
    """A frame of a square wave."""
    up, down = (each.to_bytes(2, "little", signed=True) for each in (height, -height))
    return (up + down) * (FRAME_BYTES // 4)


def levels(frames: list[tuple[bytes, bool, bool]]) -> list[Level]:
    """What is reported of frames, each with speech in it or not, our own or not."""
    meter = LevelMeter()
    told = [meter.push(frame, speech=speech, own=own) for frame, speech, own in frames]
    return [level for level in told if level is not None]


def test_every_third_frame_is_reported_at_once() -> None:
    assert len(levels([(square(100), False, False)] * 30)) == 10


@pytest.mark.parametrize(("height", "dbfs"), [(3277, -20.0), (328, -40.0)])
def test_a_steady_sound_has_its_level(height: int, dbfs: float) -> None:
    level = levels([(square(height), False, False)] * 3)[0]
    assert (level.peak_dbfs, level.rms_dbfs) == pytest.approx((dbfs, dbfs), abs=0.02)
    assert level.noise_dbfs == pytest.approx(dbfs, abs=0.02)
    assert not level.speech
    assert not level.clipped


def test_speech_and_our_own_voice_are_no_noise() -> None:
    quiet = [(square(328), False, False)] * 30
    loud = [(square(8000), True, False)] * 30 + [(square(8000), False, True)] * 30
    found = levels(quiet + loud)
    assert found[-1].noise_dbfs == pytest.approx(-40, abs=0.02)
    assert found[-1].rms_dbfs == pytest.approx(-12.2, abs=0.1)
    assert [level.speech for level in found] == [False] * 10 + [True] * 10 + [False] * 10


def test_the_noise_follows_the_room_within_a_few_seconds() -> None:
    found = levels([(square(328), False, False)] * 30 + [(square(3277), False, False)] * 100)
    assert found[9].noise_dbfs == pytest.approx(-40, abs=0.02)
    assert found[-1].noise_dbfs == pytest.approx(-20, abs=0.5)


def test_a_sample_at_full_scale_is_told() -> None:
    assert levels([(square(32_767), False, False)] * 3)[0].clipped


def test_digital_silence_has_no_level() -> None:
    level = levels([(bytes(FRAME_BYTES), False, False)] * 3)[0]
    assert level.rms_dbfs == level.noise_dbfs == -math.inf

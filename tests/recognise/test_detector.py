"""Speech told from quiet, and recordings cut at the right places."""

from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml

from voiceassist.devices.wav import read_clip
from voiceassist.recognise.detector import VadDetector
from voiceassist.sound.clip import Clip
from voiceassist.sound.segment import FRAME_BYTES, Timing, frames, segments

HOME = Path(__file__).parents[2] / "audio_fixtures"
NAMES = ("r01", "r05", "r13", "c05", "a01", "a06", "l01", "k01")
#: Two seconds of a quiet room.
QUIET = read_clip(HOME / "phrases" / "s01.wav")


def chunks_of(clip: Clip) -> Iterator[Clip]:
    """The clip in chunks of a tenth of a second."""
    size = 2 * (clip.rate_hz // 10)
    for at in range(0, len(clip.pcm), size):
        yield Clip(clip.pcm[at : at + size], clip.rate_hz)


def test_digital_silence_and_dither_are_not_speech() -> None:
    detector = VadDetector()
    quiet = Clip.silence(1.0) + QUIET
    assert not any(detector.is_speech(frame) for frame in frames([quiet]))


@pytest.mark.parametrize("name", NAMES)
def test_a_phrase_in_quiet_gives_one_segment_that_holds_it(name: str) -> None:
    path = HOME / "phrases" / f"{name}.wav"
    label = yaml.safe_load(path.with_suffix(".yaml").read_text(encoding="utf-8"))
    sound = QUIET + read_clip(path) + QUIET
    (segment,) = segments(chunks_of(sound), VadDetector())
    assert segment.start_s <= QUIET.seconds + label["start_s"]
    assert segment.end_s >= QUIET.seconds + label["end_s"] - 0.03
    assert segment.start_s >= QUIET.seconds - 0.5
    assert segment.clip.seconds <= label["end_s"] - label["start_s"] + 1.0


def test_a_conversation_is_cut_into_its_phrases() -> None:
    sound = QUIET
    for name in NAMES:
        sound = sound + read_clip(HOME / "phrases" / f"{name}.wav") + QUIET
    found = list(segments(chunks_of(sound), VadDetector(), Timing()))
    assert len(found) == len(NAMES)


def test_a_frame_of_another_length_is_misuse() -> None:
    with pytest.raises(ValueError, match="7 bytes"):
        VadDetector().is_speech(bytes(7))
    VadDetector().is_speech(bytes(FRAME_BYTES))


@pytest.mark.parametrize("strictness", [-1, 4])
def test_a_strictness_that_is_not_there_is_misuse(strictness: int) -> None:
    with pytest.raises(ValueError, match="strictness"):
        VadDetector(strictness)

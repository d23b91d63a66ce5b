"""Speech is cut out of a stream. Times are in frames of 30 ms, written as F = speech, . = quiet."""

from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.errors import SoundError
from voiceassist.sound.clip import Clip
from voiceassist.sound.segment import (
    FRAME_BYTES,
    FRAME_S,
    Segment,
    Segmenter,
    Timing,
    frames,
    segments,
)

LONGEST = 267  # frames in 8 s


def frame(number: int) -> bytes:
    """A frame that can be told from every other."""
    return number.to_bytes(4, "little") * (FRAME_BYTES // 4)


def run(flags: str, timing: Timing | None = None) -> list[Segment]:
    """The segments of a stream of flags."""
    segmenter = Segmenter(timing)
    pushed = [segmenter.push(frame(n), speech=flag == "F") for n, flag in enumerate(flags)]
    return [segment for segment in [*pushed, segmenter.finish()] if segment is not None]


def numbers(segment: Segment) -> list[int]:
    """Which frames of the stream a segment holds."""
    pcm = segment.clip.pcm
    return [int.from_bytes(pcm[at : at + 4], "little") for at in range(0, len(pcm), FRAME_BYTES)]


def test_a_phrase_is_cut_out_with_quiet_kept_on_both_sides() -> None:
    (segment,) = run("." * 40 + "F" * 20 + "." * 40)
    assert numbers(segment) == list(range(40 - 10, 60 + 9))
    assert segment.speech_start_s == pytest.approx(40 * FRAME_S)
    assert segment.speech_end_s == pytest.approx(60 * FRAME_S)
    assert not segment.cut


@pytest.mark.parametrize("noise", ["F", "FF", "F.F", "F..F..F..F"])
def test_a_click_is_not_speech(noise: str) -> None:
    assert run("." * 20 + noise + "." * 40) == []


@pytest.mark.parametrize("speech", ["FFF", "FF.F", "F.FF"])
def test_a_tenth_of_a_second_of_speech_opens_a_segment(speech: str) -> None:
    (segment,) = run("." * 20 + speech + "." * 40)
    assert segment.speech_start_s == pytest.approx(20 * FRAME_S)
    assert segment.speech_end_s == pytest.approx((20 + len(speech)) * FRAME_S)


def test_a_pause_shorter_than_the_quiet_that_ends_it_stays_inside() -> None:
    (segment,) = run("." * 20 + "F" * 10 + "." * 12 + "F" * 10 + "." * 40)
    assert segment.speech_end_s == pytest.approx(52 * FRAME_S)


def test_longer_quiet_parts_two_phrases() -> None:
    first, second = run("." * 20 + "F" * 10 + "." * 30 + "F" * 10 + "." * 40)
    assert first.end_s < second.start_s


def test_the_end_is_known_within_half_a_second_of_the_last_word() -> None:
    segmenter = Segmenter()
    for n in range(40):
        segmenter.push(frame(n), speech=n >= 20)
    quiet = 0
    while segmenter.push(frame(40 + quiet), speech=False) is None:
        quiet += 1
    assert quiet * FRAME_S <= 0.5


def test_one_frame_of_noise_does_not_hold_a_segment_open() -> None:
    (segment,) = run("." * 20 + "F" * 10 + "." * 13 + "F" + "." * 40)
    assert segment.speech_end_s < 35 * FRAME_S


def test_steady_noise_is_cut_at_the_longest_length() -> None:
    found = run("F" * 600)
    assert [segment.cut for segment in found[:2]] == [True, True]
    assert all(segment.clip.seconds <= LONGEST * FRAME_S for segment in found)


def test_a_phrase_that_the_stream_ends_in_is_kept() -> None:
    (segment,) = run("." * 20 + "F" * 10)
    assert segment.end_s == pytest.approx(30 * FRAME_S)


def test_a_phrase_at_the_very_beginning_keeps_all_there_is_before_it() -> None:
    (segment,) = run("F" * 10 + "." * 30)
    assert segment.start_s == 0


def test_what_was_heard_before_a_reset_is_not_in_the_next_segment() -> None:
    segmenter = Segmenter()
    for n in range(30):
        segmenter.push(frame(n), speech=True)
    segmenter.reset()
    assert not segmenter.in_speech
    found = [segmenter.push(frame(n), speech=n < 45) for n in range(30, 80)]
    (segment,) = [each for each in found if each is not None]
    assert min(numbers(segment)) == 30
    assert segment.start_s == pytest.approx(30 * FRAME_S)


def test_a_frame_that_is_skipped_is_forgotten_and_counted() -> None:
    segmenter = Segmenter()
    for n in range(30):
        segmenter.push(frame(n), speech=True)
    segmenter.skip()
    assert not segmenter.in_speech
    assert segmenter.now_s == pytest.approx(31 * FRAME_S)


def test_a_more_patient_segmenter_waits_longer() -> None:
    flags = "." * 20 + "F" * 10 + "." * 25 + "F" * 10 + "." * 60
    assert len(run(flags)) == 2
    patient = Segmenter()
    patient.be_patient(0.9)
    found = [patient.push(frame(n), speech=flag == "F") for n, flag in enumerate(flags)]
    (segment,) = [each for each in found if each is not None]
    assert segment.pause_s == pytest.approx(25 * FRAME_S)


def test_what_is_there_so_far_is_what_there_will_be_when_no_more_comes() -> None:
    segmenter = Segmenter()
    assert segmenter.so_far() is None
    for n in range(50):
        segmenter.push(frame(n), speech=20 <= n < 40)
    so_far = segmenter.so_far()
    assert segmenter.quiet_s == pytest.approx(10 * FRAME_S)
    assert segmenter.begun_s == pytest.approx(20 * FRAME_S)
    rest = [segmenter.push(frame(n), speech=False) for n in range(50, 70)]
    assert [each for each in rest if each is not None] == [so_far]


@pytest.mark.parametrize(("flags", "pause"), [("F" * 20, 0), ("FFF.FFFF...FFF", 3)])
def test_a_segment_tells_its_longest_pause(flags: str, pause: int) -> None:
    (segment,) = run("." * 20 + flags + "." * 40)
    assert segment.pause_s == pytest.approx(pause * FRAME_S)


def test_a_frame_of_another_length_is_refused() -> None:
    with pytest.raises(SoundError, match="10 bytes"):
        Segmenter().push(bytes(10), speech=True)


@pytest.mark.parametrize(
    "wrong", [{"onset_s": 0.0}, {"padding_s": 0.5}, {"pre_roll_s": -0.1}, {"longest_s": 0.5}]
)
def test_a_timing_that_cannot_work_is_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(SoundError):
        Timing(**wrong)


@given(flags=st.text(alphabet="F.", max_size=700))
def test_segments_follow_each_other_and_hold_the_very_frames_they_say(flags: str) -> None:
    last = 0.0
    for segment in run(flags):
        first = round(segment.start_s / FRAME_S)
        held = numbers(segment)
        assert held == list(range(first, first + len(held)))
        assert segment.end_s == pytest.approx((held[-1] + 1) * FRAME_S)
        assert segment.start_s <= segment.speech_start_s < segment.speech_end_s
        assert segment.start_s >= last - 1e-9
        assert len(held) <= LONGEST
        last = segment.end_s


@given(runs=st.lists(st.tuples(st.integers(20, 40), st.integers(4, 100)), max_size=4))
def test_every_clear_phrase_gives_one_segment(runs: list[tuple[int, int]]) -> None:
    flags = "".join("." * quiet + "F" * speech for quiet, speech in runs) + "." * 20
    found = run(flags)
    assert [round((s.speech_end_s - s.speech_start_s) / FRAME_S) for s in found] == [
        speech for _, speech in runs
    ]


class LoudDetector:
    """Takes what is not silent for speech."""

    def is_speech(self, frame: bytes) -> bool:
        """True when any byte is not zero."""
        return any(frame)

    def reset(self) -> None:
        """Nothing is kept."""


def test_a_stream_of_odd_chunks_at_another_rate_gives_its_phrase() -> None:
    sound = Clip.silence(1, 48_000) + Clip(b"\x10\x10" * 48_000, 48_000) + Clip.silence(1, 48_000)
    (segment,) = segments(chunks_of(sound, 1234), LoudDetector())
    assert segment.speech_start_s == pytest.approx(1.0, abs=0.04)
    assert segment.speech_end_s == pytest.approx(2.0, abs=0.04)


@given(size=st.integers(1, 5000), total=st.integers(0, 4000))
def test_frames_hold_the_whole_stream_and_silence_to_fill_the_last(size: int, total: int) -> None:
    pcm = b"\x01\x02" * total
    cut = list(frames(chunks_of(Clip(pcm), size)))
    assert {len(each) for each in cut} <= {FRAME_BYTES}
    assert b"".join(cut).startswith(pcm)
    assert len(cut) == -(-len(pcm) // FRAME_BYTES)


def chunks_of(clip: Clip, samples: int) -> Iterator[Clip]:
    """The clip in chunks of so many samples."""
    for at in range(0, len(clip.pcm), 2 * samples):
        yield Clip(clip.pcm[at : at + 2 * samples], clip.rate_hz)

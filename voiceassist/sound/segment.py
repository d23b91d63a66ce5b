"""Cuts a stream into stretches of speech. Pure: frames and speech flags in, segments out.

The stream's clock is the count of its samples, so nothing here reads the time.
"""

import math
from collections import deque
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol

from voiceassist.errors import SoundError
from voiceassist.sound.clip import Clip
from voiceassist.sound.frames import FRAME_BYTES, FRAME_S, frames

__all__ = [
    "FRAME_BYTES", "FRAME_S", "UNHURRIED", "Segment", "Segmenter", "SpeechDetector", "Timing",
    "frames", "segments",
]  # fmt: skip

#: A frame of speech counts as the end of it only with another one among so many frames.
_COMPANY = 3


class SpeechDetector(Protocol):
    """Tells whether a frame of ``FRAME_BYTES`` (30 ms, 16 kHz, 16-bit mono) is speech."""

    def is_speech(self, frame: bytes) -> bool:
        """True when somebody speaks in ``frame``."""
        ...

    def reset(self) -> None:
        """Forget the sound so far; what comes next is another stream."""
        ...


@dataclass(frozen=True, slots=True)
class Timing:
    """When a segment begins and ends, in seconds; each is rounded up to whole frames.

    Parts:
        pre_roll_s: kept from before the speech.
        onset_s: so much speech begins a segment; one frame more than that may pass meanwhile,
            so that a gap of one frame does no harm.
        quiet_s: the silence that ends it; one lone frame of noise in it does no harm.
        padding_s: kept from after the speech, at most ``quiet_s``.
        longest_s: a segment is cut at this length, so that steady noise cannot hold it open.
    """

    pre_roll_s: float = 0.3
    onset_s: float = 0.09
    quiet_s: float = 0.45
    padding_s: float = 0.25
    longest_s: float = 8.0

    def __post_init__(self) -> None:
        if min(self.onset_s, self.quiet_s) < FRAME_S or min(self.pre_roll_s, self.padding_s) < 0:
            raise SoundError(f"onset and quiet must last at least one frame of {FRAME_S} s")
        if self.padding_s > self.quiet_s:
            raise SoundError(
                f"padding of {self.padding_s} s is longer than quiet, {self.quiet_s} s"
            )
        if self.longest_s < self.pre_roll_s + self.onset_s + self.quiet_s:
            raise SoundError(f"longest, {self.longest_s} s, leaves no room for speech")


#: For the neural detector, chosen by ``tests/benchmarks/endpointing.py --choose``: half a second
#: between "eight" and "point four" does not part them, the clip begins about 0.3 s before the
#: speech, and there is time to spell a VIN. What is heard is the same with 0.09 s to 0.27 s kept
#: after the speech (the part "fit" of the hearing benchmark: no two apart by more than 3 in 100).
UNHURRIED = Timing(pre_roll_s=0.36, quiet_s=0.66, padding_s=0.15, longest_s=12.0)


@dataclass(frozen=True, slots=True)
class Segment:
    """One stretch of speech with a little quiet around it.

    Parts:
        clip: its sound, 16 kHz.
        start_s, end_s: where the clip stands on the stream.
        speech_start_s, speech_end_s: where the speech in it does.
        cut: True when it was ended by its length, not by quiet.
        pause_s: the longest pause inside the speech.
    """

    clip: Clip
    start_s: float
    end_s: float
    speech_start_s: float
    speech_end_s: float
    cut: bool = False
    pause_s: float = 0.0


class Segmenter:
    """Gets frame after frame with its speech flag and gives a segment when one is over."""

    def __init__(self, timing: Timing | None = None) -> None:
        timing = timing or Timing()
        self._before = _frames(timing.pre_roll_s)
        self._onset = _frames(timing.onset_s)
        self._quiet = _frames(timing.quiet_s)
        self._after = _frames(timing.padding_s)
        self._longest = _frames(timing.longest_s)
        self._count = 0
        self._kept: deque[tuple[bytes, bool]] = deque()
        self._first = -1
        self._last = -1

    @property
    def in_speech(self) -> bool:
        """True while a segment is open."""
        return self._first >= 0

    @property
    def begun_s(self) -> float:
        """Where the speech of the open segment begins; only while one is open."""
        return self._first * FRAME_S

    @property
    def quiet_s(self) -> float:
        """How long it has been quiet in the open segment; 0 when none is open."""
        return (self._count - self._last - 1) * FRAME_S if self.in_speech else 0.0

    @property
    def now_s(self) -> float:
        """Seconds of stream so far."""
        return self._count * FRAME_S

    def push(self, frame: bytes, *, speech: bool) -> Segment | None:
        """Take one frame of ``FRAME_BYTES``; the segment that it ends, if it ends one.

        Raises:
            SoundError: the frame has another length.
        """
        if len(frame) != FRAME_BYTES:
            raise SoundError(f"a frame of {len(frame)} bytes, where {FRAME_BYTES} are due")
        self._kept.append((frame, speech))
        self._count += 1
        if not self.in_speech:
            self._look_for_onset()
            return None
        if speech and self._flags(_COMPANY) > 1:
            self._last = self._count - 1
        if self._flags(self._quiet) <= 1 and self._count - self._first > self._quiet:
            return self._close(cut=False)
        return self._close(cut=True) if len(self._kept) >= self._longest else None

    def skip(self) -> None:
        """A frame that must not be listened to went by: forget what was heard, count it."""
        self.reset()
        self._count += 1

    def be_patient(self, quiet_s: float) -> None:
        """Let this much silence end a segment from now on; at least what is kept after speech."""
        self._quiet = max(self._after, _frames(quiet_s))

    def so_far(self) -> Segment | None:
        """The open segment as it would be if no more speech came; None when none is open."""
        return self._segment(cut=False) if self.in_speech else None

    def finish(self) -> Segment | None:
        """The segment that is still open when the stream ends, if there is one."""
        return self._close(cut=False) if self.in_speech else None

    def reset(self) -> None:
        """Forget what was heard, for instance our own voice; the clock goes on."""
        self._kept.clear()
        self._first = self._last = -1

    def _look_for_onset(self) -> None:
        window = self._onset + 1
        if self._flags(window) >= self._onset:
            recent = list(self._kept)[-window:]
            self._first = self._count - len(recent) + [flag for _, flag in recent].index(True)
            self._last = self._count - 1
        elif len(self._kept) > self._before + window:
            self._kept.popleft()

    def _flags(self, window: int) -> int:
        """How many of the last ``window`` frames are speech."""
        size = len(self._kept)
        return sum(self._kept[i][1] for i in range(max(0, size - window), size))

    def _close(self, *, cut: bool) -> Segment:
        segment = self._segment(cut=cut)
        self.reset()
        return segment

    def _segment(self, *, cut: bool) -> Segment:
        origin = self._count - len(self._kept)
        start = max(origin, self._first - self._before)
        end = self._count if cut else min(self._count, self._last + 1 + self._after)
        kept = list(self._kept)
        return Segment(
            clip=Clip(b"".join(frame for frame, _ in kept[start - origin : end - origin])),
            start_s=start * FRAME_S,
            end_s=end * FRAME_S,
            speech_start_s=self._first * FRAME_S,
            speech_end_s=(self._last + 1) * FRAME_S,
            cut=cut,
            pause_s=_longest_pause(kept[self._first - origin : self._last + 1 - origin]),
        )


def segments(
    chunks: Iterable[Clip], detector: SpeechDetector, timing: Timing | None = None
) -> Iterator[Segment]:
    """Every stretch of speech in a stream of chunks of any length, all of one rate."""
    detector.reset()
    segmenter = Segmenter(timing)
    for frame in frames(chunks):
        segment = segmenter.push(frame, speech=detector.is_speech(frame))
        if segment is not None:
            yield segment
    rest = segmenter.finish()
    if rest is not None:
        yield rest


def _longest_pause(kept: Sequence[tuple[bytes, bool]]) -> float:
    """Of quiet between frames of speech, in seconds."""
    longest = since = 0
    for _, speech in kept:
        since = 0 if speech else since + 1
        longest = max(longest, since)
    return longest * FRAME_S


def _frames(seconds: float) -> int:
    """Whole frames that last at least ``seconds``; a hair of rounding does not add one."""
    return math.ceil(seconds / FRAME_S - 1e-6)

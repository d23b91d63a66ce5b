"""Sound at the rate a device or file has, to the rate a listener is fed."""

import numpy as np
import soxr

from voiceassist.sound.clip import LISTEN_RATE_HZ, Clip
from voiceassist.sound.samples import clip_of, samples_of


def resampled(clip: Clip, rate_hz: int = LISTEN_RATE_HZ) -> Clip:
    """``clip`` at ``rate_hz``; the same clip when it has that rate already."""
    if clip.rate_hz == rate_hz:
        return clip
    if not clip.samples:
        return Clip(b"", rate_hz)
    # In floats, because for whole numbers the library adds dither.
    samples = samples_of(clip).astype(np.float32)
    return clip_of(soxr.resample(samples, clip.rate_hz, rate_hz), rate_hz)


class StreamResampler:
    """Resamples a stream chunk by chunk, without a seam between chunks.

    Args:
        from_hz: rate of the chunks that come in; those that go out have the listeners'.
    """

    def __init__(self, from_hz: int) -> None:
        self._from_hz = from_hz
        self._stream = soxr.ResampleStream(from_hz, LISTEN_RATE_HZ, 1, dtype="float32")

    def push(self, chunk: Clip, *, last: bool = False) -> Clip:
        """What is ready after ``chunk``, which may be nothing yet; with ``last``, all the rest.

        Raises:
            ValueError: the chunk has another rate than the stream.
        """
        if chunk.rate_hz != self._from_hz:
            raise ValueError(f"a chunk of {chunk.rate_hz} Hz in a stream of {self._from_hz} Hz")
        if self._from_hz == LISTEN_RATE_HZ:
            return chunk
        samples = samples_of(chunk).astype(np.float32)
        ready = self._stream.resample_chunk(samples, last=last)
        return clip_of(np.asarray(ready), LISTEN_RATE_HZ)

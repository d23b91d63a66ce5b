"""A stream cut into frames of one length, which detectors of speech are fed."""

from collections.abc import Iterable, Iterator

from voiceassist.sound.clip import BYTES_PER_SAMPLE, LISTEN_RATE_HZ, Clip
from voiceassist.sound.resample import StreamResampler

FRAME_S = 0.03
FRAME_BYTES = round(FRAME_S * LISTEN_RATE_HZ) * BYTES_PER_SAMPLE


class Framer:
    """Chunks of any length and one rate in, frames of ``FRAME_BYTES`` at 16 kHz out.

    Args:
        rate_hz: of the chunks.
    """

    def __init__(self, rate_hz: int) -> None:
        self.rate_hz = rate_hz
        self._stream = StreamResampler(rate_hz)
        self._pending = bytearray()

    def push(self, chunk: Clip) -> Iterator[bytes]:
        """The frames that are whole with ``chunk``.

        Raises:
            ValueError: the chunk has another rate.
        """
        self._pending += self._stream.push(chunk).pcm
        while len(self._pending) >= FRAME_BYTES:
            frame = bytes(self._pending[:FRAME_BYTES])
            del self._pending[:FRAME_BYTES]
            yield frame

    def finish(self) -> Iterator[bytes]:
        """What is left at the end, the last frame filled up with silence."""
        self._pending += self._stream.push(Clip(b"", self.rate_hz), last=True).pcm
        while self._pending:
            yield bytes(self._pending[:FRAME_BYTES]).ljust(FRAME_BYTES, b"\0")
            del self._pending[:FRAME_BYTES]


def frames(chunks: Iterable[Clip]) -> Iterator[bytes]:
    """The stream as frames of ``FRAME_BYTES`` at 16 kHz; the last is filled up with silence."""
    framer: Framer | None = None
    for chunk in chunks:
        framer = framer or Framer(chunk.rate_hz)
        yield from framer.push(chunk)
    if framer is not None:
        yield from framer.finish()

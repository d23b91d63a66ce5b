"""The loudspeaker: each clip in a stream of its own, which can be cut short."""

import threading
from typing import Any

from voiceassist.devices.portaudio import opened, rate_of, sounddevice
from voiceassist.errors import DeviceError
from voiceassist.sound.clip import BYTES_PER_SAMPLE, Clip
from voiceassist.sound.resample import resampled

#: The driver's own choice for steady sound; a number of ours starved some drivers at times.
_LATENCY = "high"
#: Silence around each clip: a device that wakes swallows the first moments, and some drivers drop
#: what is in their buffers when a stream ends.
_LEAD_S = 0.1
_TAIL_S = 0.2
#: Beyond the clip's own length: opening, waking the device, playing what is buffered.
_GRACE_S = 5.0


class Loudspeaker:
    """Plays clips at the device's own rate.

    Args:
        name: device name; empty for the system's default.

    Raises:
        DeviceError: PortAudio is missing, or there is no such device.
    """

    def __init__(self, name: str = "") -> None:
        self.name = name or "default loudspeaker"
        self.rate_hz = rate_of(name, "output")
        self._device = name or None
        self._lock = threading.Lock()
        self._playing: _Playing | None = None

    def play(self, clip: Clip) -> float:
        """Play ``clip`` to its end, or to a ``stop`` from another thread.

        Returns:
            How much of it was heard, in seconds: what still stood in the device's buffer when it
            was stopped was not.

        Raises:
            DeviceError: the device cannot be opened, or went away.
        """
        if not clip.samples:
            return 0.0
        playing = _Playing(self._surrounded(clip).pcm)
        with self._lock:
            self._playing = playing
        stream = opened(lambda: self._open(playing), self.name, "output")
        try:
            over = playing.wait(clip.seconds + _GRACE_S)
        finally:
            with self._lock:
                self._playing = None
            if not playing.over:
                stream.abort(ignore_errors=True)
            stream.close(ignore_errors=True)
        if not over:
            raise DeviceError(
                "the loudspeaker went away", place=self.name, remedy="plug it in again"
            )
        if not playing.stopped.is_set():
            return clip.seconds
        given_s = playing.given_s(self.rate_hz) - float(stream.latency) - _LEAD_S
        return min(clip.seconds, max(0.0, given_s))

    def stop(self) -> None:
        """Fall silent at once; harmless when nothing plays."""
        with self._lock:
            if self._playing is not None:
                self._playing.stop()

    def close(self) -> None:
        """Fall silent; nothing else is held."""
        self.stop()

    def _surrounded(self, clip: Clip) -> Clip:
        lead = Clip.silence(_LEAD_S, self.rate_hz)
        return lead + resampled(clip, self.rate_hz) + Clip.silence(_TAIL_S, self.rate_hz)

    def _open(self, playing: "_Playing") -> Any:  # noqa: ANN401 - an untyped library
        module = sounddevice()
        stream = module.RawOutputStream(
            samplerate=self.rate_hz,
            blocksize=0,
            device=self._device,
            channels=1,
            dtype="int16",
            latency=_LATENCY,
            callback=playing.filler(module.CallbackStop, module.CallbackAbort),
            finished_callback=playing.end,
        )
        stream.start()
        return stream


class _Playing:
    """How far one clip is played; ``give`` runs on PortAudio's thread."""

    def __init__(self, pcm: bytes) -> None:
        self._pcm = memoryview(pcm)
        self._at = 0
        self.stopped = threading.Event()
        self._ended = threading.Event()
        self._awake = threading.Event()

    @property
    def over(self) -> bool:
        """True when every sample was handed over and played."""
        return self._whole and self._ended.is_set()

    @property
    def _whole(self) -> bool:
        return self._at >= len(self._pcm)

    def wait(self, limit_s: float) -> bool:
        """Wait for the end or a stop; False when the device ended it, or nothing did."""
        self._awake.wait(limit_s)
        return self.over or self.stopped.is_set()

    def stop(self) -> None:
        """Hand over no more, and wake the one who waits."""
        self.stopped.set()
        self._awake.set()

    def end(self) -> None:
        """The stream has ended, for whatever reason."""
        self._ended.set()
        self._awake.set()

    def given_s(self, rate_hz: int) -> float:
        """Seconds handed over so far."""
        return self._at / BYTES_PER_SAMPLE / rate_hz

    def filler(self, finish: type[Exception], abort: type[Exception]) -> Any:  # noqa: ANN401
        """The callback; it raises ``finish`` after the last sample and ``abort`` when stopped."""

        def give(out: Any, frames: int, _at: object, _status: object) -> None:  # noqa: ANN401
            size = frames * BYTES_PER_SAMPLE
            if self.stopped.is_set():
                out[:] = bytes(size)
                raise abort
            part = self._pcm[self._at : self._at + size]
            out[: len(part)] = part
            out[len(part) :] = bytes(size - len(part))
            self._at += len(part)
            if self._whole:
                raise finish

        return give

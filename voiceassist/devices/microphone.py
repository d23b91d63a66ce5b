"""The microphone: PortAudio's thread fills a bounded queue, the caller's thread empties it."""

import queue
import threading
import time
from collections.abc import Iterator
from typing import Any

from voiceassist.devices.portaudio import opened, rate_of, sounddevice, start_afresh
from voiceassist.errors import DeviceError
from voiceassist.sound.clip import Clip

_LATENCY_S = 0.15
_MOST_WAITING = 500
_LOOK_S = 0.1
#: The first chunk may take long: sources sleep. After that a gap means a lost device.
_FIRST_S = 5.0
_NEXT_S = 1.0
#: The loudspeaker must be silent when devices are looked for again.
_SILENT_S = 10.0


class Microphone:
    """Listens at the device's own rate from the moment it is made until it is closed.

    Args:
        name: device name; empty for the system's default.

    Raises:
        DeviceError: PortAudio is missing, there is no such device, or it cannot be opened.
    """

    def __init__(self, name: str = "") -> None:
        self.name = name or "default microphone"
        self._device = name
        self.rate_hz = rate_of(name, "input")
        self._waiting: queue.Queue[tuple[bytes, int]] = queue.Queue(_MOST_WAITING)
        self._dropped = 0  # samples so far, on PortAudio's thread
        self._missing = 0  # of these, before the chunk that was given last
        self._ended = threading.Event()
        self._closing = threading.Lock()  # taken once, and for good
        self._closed = threading.Event()
        module = sounddevice()
        self._stream = opened(lambda: self._open(module, name), self.name, "input")

    @property
    def dropped_s(self) -> float:
        """Seconds lost before the chunk that was given last, because nobody took them in time."""
        return self._missing / self.rate_hz

    def chunks(self) -> Iterator[Clip]:
        """Sound as it arrives, until ``close``.

        Raises:
            DeviceError: the device went away: it ended by itself, or gave nothing for a second.
        """
        due = time.monotonic() + _FIRST_S
        while not self._closed.is_set():
            try:
                pcm, self._missing = self._waiting.get(timeout=_LOOK_S)
            except queue.Empty:
                if self._ended.is_set() or time.monotonic() > due:
                    raise self._lost() from None
                continue
            yield Clip(pcm, self.rate_hz)
            # Counted from now: nobody may have asked for sound while the assistant spoke.
            due = time.monotonic() + _NEXT_S

    def discard(self) -> None:
        """Forget the sound that waits, our own voice for instance."""
        while True:
            try:
                self._waiting.get_nowait()
            except queue.Empty:
                return

    def again(self) -> "Microphone":
        """The same device, by its name, looked for afresh; may hang with a device that is gone.

        Raises:
            DeviceError: it is not there.
        """
        start_afresh(_SILENT_S)
        return Microphone(self._device)

    def close(self) -> None:
        """Stop and let ``chunks`` end; from any thread, as often as one likes."""
        if self._closing.acquire(blocking=False):
            self._closed.set()
            self._stream.close(ignore_errors=True)

    def _open(self, module: Any, name: str) -> Any:  # noqa: ANN401 - an untyped library
        stream = module.RawInputStream(
            samplerate=self.rate_hz,
            blocksize=0,
            device=name or None,
            channels=1,
            dtype="int16",
            latency=_LATENCY_S,
            callback=self._take,
            finished_callback=self._ended.set,
        )
        stream.start()
        return stream

    def _take(self, data: Any, frames: int, _at: object, _status: object) -> None:  # noqa: ANN401
        """On PortAudio's thread: copy and return, no more.

        That the device lost sound itself is not looked at: some drivers say so falsely.
        """
        try:
            self._waiting.put_nowait((bytes(data), self._dropped))
        except queue.Full:
            self._dropped += frames

    def _lost(self) -> DeviceError:
        # Not closed here: a stream whose server died may hang in closing.
        return DeviceError(
            "the microphone went away", place=self.name, remedy="plug it in again, or use --typed"
        )

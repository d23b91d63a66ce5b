"""The loudspeaker: each clip in a stream of its own, which can be cut short."""

import math
import threading
import time
from functools import partial
from typing import Any

from voiceassist.devices.playing import Playing
from voiceassist.devices.portaudio import latency_of, opened, rate_of, sounddevice
from voiceassist.errors import DeviceError
from voiceassist.sound.clip import Clip
from voiceassist.sound.resample import resampled

#: How much is handed over before it sounds. A machine under load takes its time: with less, sound
#: servers starved.
_LATENCY_S = 0.15
#: Some sound servers swallow sound far faster than they play it, which depends on how their own
#: latency and ours go together (seen with PulseAudio behind ALSA, at about twice its own). Then
#: these are tried, and the device's own before them.
_OTHERS_S = (0.3, 0.6)
#: Handed over so far ahead of what can have been played, in seconds, it is being swallowed.
_AHEAD_S = 0.3
#: Silence before each clip: a device that wakes swallows the first moments. One that played a
#: moment ago is awake (sound servers let theirs sleep after 5 s).
_LEAD_S = 0.1
_LEAD_AWAKE_S = 0.02
_AWAKE_S = 4.0
#: A device that takes no sound for so long has gone: opening and waking take less.
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
        own_s = latency_of(name, "output")
        self._latencies_s = list(dict.fromkeys((max(_LATENCY_S, own_s), own_s, *_OTHERS_S)))
        self._device = name or None
        self._lock = threading.Lock()
        self._playing: Playing | None = None
        self._ended_s = -math.inf

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
        lead_s = _LEAD_AWAKE_S if time.monotonic() - self._ended_s < _AWAKE_S else _LEAD_S
        lead = Clip.silence(lead_s, self.rate_hz)
        playing = Playing(lead + resampled(clip, self.rate_hz))
        with self._lock:
            self._playing = playing
        try:
            over = self._played(playing)
        finally:
            with self._lock:
                self._playing = None
            self._ended_s = time.monotonic()
        if not over:
            raise self._gone()
        if not playing.stopped.is_set():
            return clip.seconds
        return min(clip.seconds, max(0.0, playing.heard_s - lead.seconds))

    def stop(self) -> None:
        """Fall silent at once; harmless when nothing plays."""
        with self._lock:
            if self._playing is not None:
                self._playing.stop()

    def close(self) -> None:
        """Fall silent; nothing else is held."""
        self.stop()

    def _played(self, playing: Playing) -> bool:
        """False when the device went away.

        A stream that ended by itself, since it starved, is gone on with, and one that swallowed
        sound is begun again with another latency, which is kept.
        """
        for number in range(len(self._latencies_s)):
            before_s = playing.given_s
            try:
                stream = opened(partial(self._open, playing, number), self.name, "output")
            except DeviceError:
                if number:
                    return False
                raise
            try:
                over = playing.wait(_GRACE_S)
            finally:
                if not playing.over:
                    stream.abort(ignore_errors=True)
                stream.close(ignore_errors=True)
            if playing.swallowed:
                playing.go_back(before_s)
                self._latencies_s.append(self._latencies_s.pop(0))
            elif over or not playing.ended or playing.given_s == before_s:
                return over
        return False

    def _gone(self) -> DeviceError:
        return DeviceError("the loudspeaker went away", place=self.name, remedy="plug it in again")

    def _open(self, playing: Playing, number: int) -> Any:  # noqa: ANN401 - an untyped library
        module = sounddevice()
        playing.begin(number, self._latencies_s[0] + _AHEAD_S)
        stream = module.RawOutputStream(
            samplerate=self.rate_hz,
            blocksize=0,
            device=self._device,
            channels=1,
            dtype="int16",
            latency=self._latencies_s[0],
            callback=playing.filler(module.CallbackStop, module.CallbackAbort),
            finished_callback=partial(playing.end, number),
        )
        stream.start()
        return stream

"""A microphone that may be pulled out and put in again: sound, and what happened to it."""

import threading
import time
from collections.abc import Callable, Iterator
from enum import Enum
from typing import Protocol

from voiceassist.errors import DeviceError
from voiceassist.sound.clip import Clip

#: Waits between attempts to open it again, in seconds; the last is repeated.
_BACK_OFF_S = (0.5, 1.0, 2.0, 4.0)
#: A dead device may never let itself be closed, nor a dead server let PortAudio end.
_CLOSING_S = 2.0
_LOOK_S = 0.1


class Happening(Enum):
    """What can happen to a microphone in use."""

    LOST = "lost"
    BACK = "back"
    OVERFLOW = "overflow"


class Recorder(Protocol):
    """An open microphone (``Microphone`` is one)."""

    name: str

    @property
    def dropped_s(self) -> float:
        """Seconds of sound lost before the chunk that was given last."""
        ...

    def chunks(self) -> Iterator[Clip]:
        """Sound as it arrives, until ``close``.

        Raises:
            DeviceError: the device went away.
        """
        ...

    def again(self) -> "Recorder":
        """The same device, looked for and opened anew; may hang.

        Raises:
            DeviceError: it is not there.
        """
        ...

    def close(self) -> None:
        """Stop and let ``chunks`` end; from any thread, as often as one likes."""
        ...


class LastingMicrophone:
    """Gives sound until it is closed, over as many losses of the device as there are.

    A device that goes away is looked for by its name, with growing waits between, until it is
    back. ``events`` runs on the caller's thread; whatever may hang runs on one that is spared.

    Args:
        recorder: the device, open.
        back_off_s: waits between attempts, in seconds; the last is repeated.
    """

    def __init__(self, recorder: Recorder, back_off_s: tuple[float, ...] = _BACK_OFF_S) -> None:
        self.name = recorder.name
        self._back_off_s = back_off_s
        self._closed = threading.Event()
        self._last = recorder
        self._recorder: Recorder | None = recorder

    def events(self) -> Iterator[Clip | Happening]:
        """Sound as it arrives, and what happens to the device; ends after ``close``.

        A chunk after BACK may have another rate than those before.
        """
        while not self._closed.is_set():
            recorder = self._recorder
            if recorder is None:
                self._reopen()
                if self._recorder is not None:
                    yield Happening.BACK
                continue
            try:
                yield from self._sound(recorder)
            except DeviceError:
                self._recorder = None
                self._spared(recorder.close)
                yield Happening.LOST
            else:  # closed by somebody, or a source that has an end
                return

    def close(self) -> None:
        """Stop and let ``events`` end; from any thread. Returns at once, whatever hangs."""
        if not self._closed.is_set():
            self._closed.set()
            recorder = self._recorder
            if recorder is not None:
                threading.Thread(target=recorder.close, daemon=True).start()

    def _sound(self, recorder: Recorder) -> Iterator[Clip | Happening]:
        """Its chunks, and OVERFLOW before a chunk that does not follow the one before."""
        lost_s = recorder.dropped_s
        for chunk in recorder.chunks():
            if self._closed.is_set():
                return
            if recorder.dropped_s > lost_s:
                lost_s = recorder.dropped_s
                yield Happening.OVERFLOW
            yield chunk

    def _spared(self, task: Callable[[], None]) -> None:
        """Run ``task`` on a thread of its own, and wait a little for it."""
        worker = threading.Thread(target=task, daemon=True)
        worker.start()
        due = time.monotonic() + _CLOSING_S
        while worker.is_alive() and time.monotonic() < due and not self._closed.is_set():
            worker.join(_LOOK_S)

    def _reopen(self) -> None:
        """Try until it is open or ``close`` is called."""
        attempt = 0
        while not self._closed.wait(self._back_off_s[min(attempt, len(self._back_off_s) - 1)]):
            attempt += 1
            found = self._attempt()
            if found is None:
                continue
            self._recorder = self._last = found
            if self._closed.is_set():  # while it was being opened
                threading.Thread(target=found.close, daemon=True).start()
            return

    def _attempt(self) -> Recorder | None:
        """The device, if it can be had again now; gives up waiting when closed."""
        found: list[Recorder] = []

        def look() -> None:
            try:
                recorder = self._last.again()
            except DeviceError:
                return
            if over.is_set():  # nobody waits for it any more
                recorder.close()
            else:
                found.append(recorder)

        over = threading.Event()
        worker = threading.Thread(target=look, name="reopen microphone", daemon=True)
        worker.start()
        while worker.is_alive() and not self._closed.is_set():
            worker.join(_LOOK_S)
        over.set()
        return found[0] if found else None

"""Where sound is missing, and closing from two threads, on a stream that does what it is told."""

import threading
from collections.abc import Iterator
from contextlib import suppress

import pytest

from voiceassist.devices import microphone as module
from voiceassist.devices.lasting import Happening, LastingMicrophone
from voiceassist.devices.microphone import Microphone
from voiceassist.sound.clip import Clip


class Stream:
    """Counts how often it is closed."""

    def __init__(self) -> None:
        self.closings = 0

    def close(self, *, ignore_errors: bool) -> None:
        del ignore_errors
        self.closings += 1


@pytest.fixture
def stream(monkeypatch: pytest.MonkeyPatch) -> Stream:
    """The stream of every microphone that is made."""
    made = Stream()
    monkeypatch.setattr(module, "sounddevice", lambda: None)
    monkeypatch.setattr(module, "rate_of", lambda *_: 16_000)
    monkeypatch.setattr(module, "opened", lambda *_: made)
    return made


def numbered(microphone: Microphone, numbers: range) -> None:
    """The device gives chunks of one sample each."""
    for number in numbers:
        microphone._take(number.to_bytes(2, "little"), 1, None, None)


def test_lost_sound_is_told_of_where_it_is_missing(
    stream: Stream, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What waited when the queue was full is whole; the gap is behind it."""
    monkeypatch.setattr(module, "_MOST_WAITING", 3)
    microphone = Microphone()
    numbered(microphone, range(5))
    events: Iterator[Clip | Happening] = LastingMicrophone(microphone).events()
    told = [next(events) for _ in range(3)]
    numbered(microphone, range(5, 7))
    told += [next(events) for _ in range(3)]
    assert [each if isinstance(each, Happening) else each.pcm[0] for each in told] == [
        0, 1, 2, Happening.OVERFLOW, 5, 6,
    ]  # fmt: skip


class Meeting(threading.Event):
    """Whoever sets it waits a moment for another one who is about to."""

    def __init__(self) -> None:
        super().__init__()
        self._both = threading.Barrier(2)

    def set(self) -> None:
        with suppress(threading.BrokenBarrierError):
            self._both.wait(0.3)
        super().set()


def test_two_who_close_it_at_once_close_its_stream_once(stream: Stream) -> None:
    """PortAudio may crash over a stream that is closed twice."""
    microphone = Microphone()
    microphone._closed = Meeting()
    threads = [threading.Thread(target=microphone.close) for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(5)
    assert stream.closings == 1

"""How far a clip is played: on streams that end as they should, starve, swallow, or stand still."""

import threading
import time
from contextlib import suppress
from types import SimpleNamespace

import pytest

from voiceassist.devices.playing import Playing
from voiceassist.sound.clip import Clip

RATE_HZ = 16_000
BLOCK = 160  # 10 ms


class FinishedError(Exception):
    """The callback says that all is over."""


class AbortedError(Exception):
    """The callback breaks off."""


class Device:
    """Takes a block at each call, at the pace it is told to, from ``delay_s`` before it sounds."""

    def __init__(self, seconds: float, delay_s: float = 0.05) -> None:
        self.now_s = 100.0
        self.delay_s = delay_s
        clip = Clip(b"\x01\x02" * round(seconds * RATE_HZ), RATE_HZ)
        self.playing = Playing(clip, lambda: self.now_s)
        self.taken = b""
        self._give = self.playing.filler(FinishedError, AbortedError)

    def take(self, blocks: int, pace_s: float = 0.01) -> None:
        at = SimpleNamespace(currentTime=self.now_s, outputBufferDacTime=self.now_s + self.delay_s)
        for _ in range(blocks):
            out = bytearray(2 * BLOCK)
            self._give(memoryview(out), BLOCK, at, None)
            self.taken += bytes(out)
            self.now_s += pace_s
            at.currentTime = self.now_s
            at.outputBufferDacTime = self.now_s + self.delay_s

    def over(self) -> bool:
        return self.playing.over


def test_it_is_over_only_when_the_last_sample_has_sounded() -> None:
    device = Device(0.5, delay_s=0.3)
    device.playing.begin(0, 1.0)
    with pytest.raises(FinishedError):
        device.take(1000)
    device.playing.end(0)
    assert device.over()
    assert device.now_s - 100.0 == pytest.approx(0.5 + 0.3 + 0.1, abs=0.03)
    assert device.taken.startswith(b"\x01\x02" * (RATE_HZ // 2))
    assert set(device.taken[RATE_HZ:]) == {0}


def test_a_stream_that_starved_is_gone_on_with_where_it_ended() -> None:
    device = Device(0.5)
    device.playing.begin(0, 1.0)
    device.take(20)
    device.playing.end(0)
    assert not device.over()
    device.playing.begin(1, 1.0)
    device.playing.end(0)  # the old one, late
    assert not device.playing.ended
    with pytest.raises(FinishedError):
        device.take(1000)
    device.playing.end(1)
    assert device.over()
    assert device.taken.startswith(b"\x01\x02" * (RATE_HZ // 2))


def test_sound_taken_far_faster_than_it_can_be_played_is_swallowed() -> None:
    device = Device(2.0)
    device.playing.begin(0, 0.3)
    with pytest.raises(AbortedError):
        device.take(1000, pace_s=0.0001)
    device.playing.end(0)
    assert device.playing.swallowed
    assert not device.over()
    device.playing.go_back(0.0)
    device.playing.begin(1, 0.3)
    device.taken = b""
    with pytest.raises(FinishedError):
        device.take(1000)
    device.playing.end(1)
    assert device.over()
    assert device.taken.startswith(b"\x01\x02" * (2 * RATE_HZ))


def test_what_stands_in_a_buffer_was_not_heard() -> None:
    device = Device(2.0, delay_s=0.2)
    device.playing.begin(0, 1.0)
    device.take(100)
    assert device.playing.given_s == pytest.approx(1.0)
    assert device.playing.heard_s == pytest.approx(0.8, abs=0.015)


@pytest.mark.parametrize("delay_s", [-3.0, 0.0, 60.0])
def test_a_driver_that_tells_nonsense_of_its_delay_is_not_believed(delay_s: float) -> None:
    device = Device(2.0, delay_s=delay_s)
    device.playing.begin(0, 1.0)
    device.take(100)
    assert device.playing.heard_s == pytest.approx(0.85, abs=0.015)


def test_after_a_stop_nothing_more_is_handed_over() -> None:
    device = Device(1.0)
    device.playing.begin(0, 1.0)
    device.take(10)
    device.playing.stop()
    assert device.playing.wait(5)
    with pytest.raises(AbortedError):
        device.take(1)


def test_a_stop_before_the_stream_is_open_holds() -> None:
    device = Device(1.0)
    device.playing.stop()
    device.playing.begin(0, 1.0)
    assert device.playing.wait(5)


def test_a_device_that_takes_nothing_is_given_up_and_one_that_is_slow_is_not() -> None:
    still = Device(1.0)
    still.playing.begin(0, 1.0)
    began_s = time.monotonic()
    assert not still.playing.wait(0.1)
    assert time.monotonic() - began_s < 2

    began_s = time.monotonic()
    slow = Device(0.05)
    slow.playing.begin(0, 1.0)

    def trickle() -> None:
        with suppress(FinishedError):
            while True:
                slow.take(1)
                time.sleep(0.06)
        slow.playing.end(0)

    thread = threading.Thread(target=trickle)
    thread.start()
    assert slow.playing.wait(1.0)
    assert time.monotonic() - began_s > 1.0, "as a whole it took longer than that"
    thread.join()

"""A microphone that goes away comes back, and nobody is kept waiting by what hangs."""

import threading
import time
from collections.abc import Iterator

import pytest

from voiceassist.devices.lasting import Happening, LastingMicrophone
from voiceassist.errors import DeviceError
from voiceassist.sound.clip import Clip
from voiceassist.testing import FakeMicrophone

SOUND = Clip(b"\x01\x02" * 4800)


def told(script: list[Clip | None], absent: int = 0) -> list[str]:
    """What a lasting microphone gives, each run of sound as one word."""
    microphone = LastingMicrophone(FakeMicrophone(script, absent), back_off_s=(0.01,))
    words: list[str] = []
    for event in microphone.events():
        word = event.value if isinstance(event, Happening) else "sound"
        if word != "sound" or words[-1:] != ["sound"]:
            words.append(word)
    return words


def test_sound_goes_on_after_a_loss() -> None:
    assert told([SOUND, None, SOUND]) == ["sound", "lost", "back", "sound"]


def test_it_is_tried_until_the_device_is_there_again() -> None:
    assert told([SOUND, None, SOUND], absent=4) == ["sound", "lost", "back", "sound"]


def test_it_may_go_away_as_often_as_it_likes() -> None:
    assert told([None, SOUND, None, None, SOUND]) == [
        "lost", "back", "sound", "lost", "back", "lost", "back", "sound",
    ]  # fmt: skip


def test_all_sound_arrives() -> None:
    microphone = LastingMicrophone(FakeMicrophone([SOUND, None, SOUND]), back_off_s=(0.01,))
    pcm = b"".join(each.pcm for each in microphone.events() if isinstance(each, Clip))
    assert pcm == 2 * SOUND.pcm


class Slow(FakeMicrophone):
    """Loses sound after its first chunk."""

    def chunks(self) -> Iterator[Clip]:
        for number, chunk in enumerate(super().chunks()):
            self.dropped_s = 0.5 if number else 0.0
            yield chunk


def test_lost_sound_is_told_of_once_and_before_the_sound_behind_it() -> None:
    events = list(LastingMicrophone(Slow([SOUND])).events())
    assert isinstance(events[0], Clip)
    assert events[1] is Happening.OVERFLOW
    assert all(isinstance(event, Clip) for event in events[2:])


class Hanging(FakeMicrophone):
    """Neither lets itself be closed, nor be opened again."""

    def __init__(self) -> None:
        super().__init__([None])
        self.asked = threading.Event()

    def again(self) -> FakeMicrophone:
        self.asked.set()
        time.sleep(30)
        raise DeviceError("too late")

    def close(self) -> None:
        time.sleep(30)


@pytest.mark.parametrize("opening", [False, True])
def test_closing_ends_it_at_once_while_everything_hangs(*, opening: bool) -> None:
    device = Hanging()
    microphone = LastingMicrophone(device, back_off_s=(0.01 if opening else 5.0,))
    over = threading.Event()

    def listen() -> None:
        for _ in microphone.events():
            pass
        over.set()

    threading.Thread(target=listen, daemon=True).start()
    if opening:
        assert device.asked.wait(5)
    else:
        time.sleep(0.1)
    began = time.monotonic()
    microphone.close()
    assert time.monotonic() - began < 0.1
    assert over.wait(0.5)


def test_it_can_be_closed_twice() -> None:
    device = FakeMicrophone([SOUND])
    microphone = LastingMicrophone(device)
    microphone.close()
    microphone.close()
    assert list(microphone.events()) == []

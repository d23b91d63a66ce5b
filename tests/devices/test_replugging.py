"""A microphone pulled out and put in again in mid-stream, on a real sound server."""

import sys
import threading
import time
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest

from voiceassist.devices.wav import write_clip
from voiceassist.sound.samples import clip_of

if TYPE_CHECKING:
    from soundserver import SoundServer

pytestmark = pytest.mark.slow

#: Prints what happens, and "tone" when 1 kHz is heard.
PROGRAM = """
import numpy as np
from voiceassist.devices.lasting import Happening, LastingMicrophone
from voiceassist.devices.microphone import Microphone
from voiceassist.sound.samples import samples_of
microphone = LastingMicrophone(Microphone())
print("open", flush=True)
loud = 0
for event in microphone.events():
    if isinstance(event, Happening):
        print(event.value, flush=True)
        loud = 0
    elif np.abs(samples_of(event).astype(int)).max(initial=0) > 2000:
        loud += 1
        if loud == 10:
            print("tone", flush=True)
"""


class Listener:
    """The program at the microphone, line by line."""

    def __init__(self, server: "SoundServer") -> None:
        self.process = server.start(sys.executable, "-c", PROGRAM)

        self._watchdog = threading.Timer(40, self.process.kill)
        self._watchdog.start()

    def line(self) -> str:
        assert self.process.stdout is not None
        return self.process.stdout.readline().strip()

    def leave(self) -> None:
        self._watchdog.cancel()
        self.process.kill()
        self.process.communicate()


def say(server: "SoundServer", path: Path) -> None:
    server.start("paplay", "-d", "mouth", str(path)).communicate(timeout=20)


def test_a_microphone_put_in_again_is_heard_again(
    sound_server: "SoundServer", tmp_path: Path
) -> None:
    at_s = np.arange(48_000) / 48_000
    tone = tmp_path / "tone.wav"
    write_clip(tone, clip_of(8000 * np.sin(2 * np.pi * 1000 * at_s), 48_000))
    listener = Listener(sound_server)
    try:
        assert listener.line() == "open"
        say(sound_server, tone)
        assert listener.line() == "tone"
        sound_server.process.kill()
        sound_server.process.wait()
        assert listener.line() == "lost"
        time.sleep(1.0)
        again = sound_server.again()
        try:
            assert listener.line() == "back"
            say(again, tone)
            assert listener.line() == "tone"
        finally:
            again.process.kill()
            again.process.wait()
    finally:
        listener.leave()

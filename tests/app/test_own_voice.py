"""Our own loudspeaker, fed into the microphone by a real sound server, is not answered."""

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from soundserver import SoundServer

pytestmark = pytest.mark.slow

PHRASE = Path(__file__).parents[2] / "audio_fixtures" / "demo" / "03-battery.wav"
#: Plays a phrase twice, once with the floor taken and once without, and tells what was heard.
PROGRAM = f"""
import os
from pathlib import Path
from voiceassist import resources
from voiceassist.app.mouth.floor import Duplex, Floor
from voiceassist.app.ears.hearing import Hearing
from voiceassist.app.ears.microphone_ears import LiveEars
from voiceassist.app.timeline import RealTimeline
from voiceassist.devices.loudspeaker import Loudspeaker
from voiceassist.devices.microphone import Microphone
from voiceassist.devices.wav import read_clip
from voiceassist.language.expectation import Expectation
from voiceassist.language.language import Language
from voiceassist.testing import ScriptedListener

grammar = Language.load(resources.grammar_files("en")).compose(Expectation())
timeline = RealTimeline()
floor = Floor(Duplex.HALF, 0.3, timeline.now_s)
hearing = Hearing(ScriptedListener(["done"] * 9))
ears = LiveEars(Microphone(), hearing, timeline, floor=floor)
loudspeaker, clip = Loudspeaker(), read_clip(Path({str(PHRASE)!r}))
ears.listen(grammar, timeline.now_s() + 0.5)  # the devices are awake
with floor.speaking(loudspeaker.stop):
    loudspeaker.play(clip)
print(type(ears.listen(grammar, timeline.now_s() + 1.5)).__name__)
loudspeaker.play(clip)
print(type(ears.listen(grammar, timeline.now_s() + 1.5)).__name__, flush=True)
ears.close()
"""


def test_by_turns_our_own_voice_is_not_heard_though_it_reaches_the_microphone(
    sound_server: "SoundServer",
) -> None:
    loop = ("source=speaker.monitor", "sink=mouth", "latency_msec=20")
    loading = sound_server.start("pactl", "load-module", "module-loopback", *loop)
    loading.communicate(timeout=10)
    assert loading.returncode == 0
    done = sound_server.run(PROGRAM)
    assert done.stdout.split() == ["Elapsed", "Utterance"], done.stderr

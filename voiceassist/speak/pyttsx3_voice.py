"""The platform's own voice through pyttsx3, one sentence a child process.

In one process pyttsx3 keeps only one of several sentences, cannot be cut short, and may
hang after that; a child that saves one sentence to a file and ends has none of these faults.
"""

import importlib
import json
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from voiceassist.errors import SpeakError
from voiceassist.sound.clip import Clip
from voiceassist.sound.level import amplified
from voiceassist.sound.samples import clip_of_floats
from voiceassist.speak.child import Finished
from voiceassist.speak.child_voice import ChildVoice, one_line

TIMEOUT_S = 10.0
_PROGRAM = Path(__file__).with_name("pyttsx3_child.py")
_MISSING = "install Python again"


class Pyttsx3Voice(ChildVoice):
    """Speaks with the engine that pyttsx3 finds: SAPI on Windows, NSSpeech on macOS, else eSpeak.

    Args:
        voice: the engine's id of a voice; empty for its own choice.
        rate_wpm: words a minute.
        volume: in percent of the engine's own, 30 to 200.

    Raises:
        SpeakError: the rate or the volume is out of range.
    """

    name = "pyttsx3"

    def __init__(self, voice: str = "", rate_wpm: int = 160, volume: int = 100) -> None:
        super().__init__(rate_wpm, volume)
        self._voice = voice

    def synthesise(self, sentence: str) -> Clip:
        """The whole sentence as sound, at the engine's own rate.

        An empty clip when there is nothing to say or it was cancelled.

        Raises:
            SpeakError: pyttsx3 or its engine is missing, failed, or took over 10 s.
        """
        text = one_line(sentence)
        if not text:
            return Clip(b"")
        with TemporaryDirectory(prefix="voiceassist-") as folder:
            file = Path(folder) / "sentence.wav"
            done = self._child.run(_COMMAND, self._order(text, file), TIMEOUT_S, _MISSING)
            if done.cancelled:
                return Clip(b"")
            if done.status:
                raise _fault(done)
            return amplified(_read(file), self._pace.gain_db)

    def _order(self, text: str, file: Path) -> bytes:
        order = {
            "text": text,
            "rate_wpm": self._pace.rate_wpm,
            "voice": self._voice,
            "file": str(file),
        }
        return json.dumps(order).encode()


# -P keeps this folder off the child's path, where our module names could hide others.
_COMMAND = (sys.executable, "-P", str(_PROGRAM))


def _fault(done: Finished) -> SpeakError:
    """What went wrong; a negative status is the signal that ended a crashed program."""
    if done.status < 0:
        return SpeakError("pyttsx3's engine crashed", remedy="say less at a time")
    return SpeakError(
        f"pyttsx3 cannot speak: {done.complaint or 'no reason given'}",
        remedy="check its voice, or install pyttsx3 and, on Linux, espeak-ng",
    )


def _read(file: Path) -> Clip:
    """The saved sound: WAV, or AIFF on macOS whatever the file's name says."""
    soundfile = importlib.import_module("soundfile")
    try:
        samples, rate_hz = soundfile.read(str(file), dtype="float32", always_2d=True)
    except RuntimeError:  # the library's own error is one
        raise SpeakError("pyttsx3 gave no sound", remedy="choose another voice") from None
    return clip_of_floats(samples, rate_hz)

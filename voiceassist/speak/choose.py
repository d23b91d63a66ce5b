"""A voice by its name."""

import sys
from collections.abc import Callable

from voiceassist.errors import SpeakError
from voiceassist.speak.base import Voice
from voiceassist.speak.espeak import EspeakVoice
from voiceassist.speak.pyttsx3_voice import Pyttsx3Voice

_VOICES: dict[str, Callable[..., Voice]] = {"espeak": EspeakVoice, "pyttsx3": Pyttsx3Voice}
_SILENT = "none"

#: The names ``choose_voice`` knows.
VOICES = (*sorted(_VOICES), _SILENT)


def choose_voice(
    name: str = "", rate_wpm: int = 160, volume: int = 100, platform: str = sys.platform
) -> Voice | None:
    """The voice called ``name``, and never another one in its place; None for "none".

    Args:
        name: one of ``VOICES``; behind it, if one likes, ":" and the engine's own name of a
            voice ("espeak:en-gb"). Empty for the platform's own, espeak on Linux, else pyttsx3.
        rate_wpm: words a minute.
        volume: in percent of the engine's own, 30 to 200.
        platform: as ``sys.platform`` names it.

    Raises:
        SpeakError: no voice has that name, or the rate or volume is out of range.
    """
    own = "espeak" if platform.startswith("linux") else "pyttsx3"
    engine, _, voice = name.partition(":")
    engine = engine or own
    if engine == _SILENT and not voice:
        return None
    if engine not in _VOICES:
        raise SpeakError(f"there is no voice {engine!r}", remedy="use one of: " + ", ".join(VOICES))
    chosen = {"voice": voice} if voice else {}
    return _VOICES[engine](**chosen, rate_wpm=rate_wpm, volume=volume)

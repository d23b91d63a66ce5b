"""A voice by its name."""

import sys
from collections.abc import Callable

from voiceassist.errors import SpeakError
from voiceassist.speak.base import Voice
from voiceassist.speak.espeak import EspeakVoice
from voiceassist.speak.pyttsx3_voice import Pyttsx3Voice

_VOICES: dict[str, Callable[[int], Voice]] = {
    "espeak": lambda rate_wpm: EspeakVoice(rate_wpm=rate_wpm),
    "pyttsx3": lambda rate_wpm: Pyttsx3Voice(rate_wpm=rate_wpm),
}
_SILENT = "none"

#: The names ``choose_voice`` knows.
VOICES = (*sorted(_VOICES), _SILENT)


def choose_voice(name: str = "", rate_wpm: int = 160, platform: str = sys.platform) -> Voice | None:
    """The voice called ``name``, and never another one in its place; None for "none".

    Args:
        name: one of ``VOICES``; empty for the platform's own, espeak on Linux, else pyttsx3.
        rate_wpm: words a minute.
        platform: as ``sys.platform`` names it.

    Raises:
        SpeakError: no voice has that name, or the rate is out of range.
    """
    wanted = name or ("espeak" if platform.startswith("linux") else "pyttsx3")
    if wanted == _SILENT:
        return None
    if wanted not in _VOICES:
        raise SpeakError(f"there is no voice {wanted!r}", remedy="use one of: " + ", ".join(VOICES))
    return _VOICES[wanted](rate_wpm)

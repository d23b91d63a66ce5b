"""Ears and mouths for a session: typed, from files, or live."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TextIO

from voiceassist.app.build import Shop
from voiceassist.app.ears import ClipEars, Ears, TypedEars
from voiceassist.app.mouth import Mouth, Player
from voiceassist.app.timeline import RealTimeline, SoundTimeline, Timeline
from voiceassist.errors import DeviceError, SpeakError, VoiceAssistError
from voiceassist.sound.clip import Clip
from voiceassist.speak.base import Voice

Warn = Callable[[str], None]

#: Quiet between the assistant's last word and the next recorded one.
ANSWER_GAP_S = 0.4


def file_ears(shop: Shop, files: Sequence[Path], timeline: Timeline) -> Ears:
    """Hears each stretch of speech in ``files``, one after the other.

    Every file is opened before the session begins, so that a bad one stops it at once.

    Raises:
        DeviceError: a file is missing, not a sound file, or holds no speech.
    """
    from voiceassist.devices.wav import read_clip
    from voiceassist.recognise.detector import VadDetector
    from voiceassist.sound.segment import segments

    clips: list[Clip] = []
    for file in files:
        found = [segment.clip for segment in segments([read_clip(file)], VadDetector())]
        if not found:
            raise DeviceError(
                "there is no speech in it", place=str(file), remedy="record it again, louder"
            )
        clips += found
    return ClipEars(clips, shop.listener(), timeline, ANSWER_GAP_S)


def typed_ears(lines: TextIO, timeline: Timeline) -> Ears:
    """A line is an utterance."""
    return TypedEars(lines, timeline)


def live_ears(shop: Shop, timeline: Timeline) -> Ears:
    """Hears the microphone, between the assistant's own sentences.

    Raises:
        DeviceError: there is no microphone, or no PortAudio.
    """
    from voiceassist.app.live import LiveEars
    from voiceassist.devices.microphone import Microphone

    return LiveEars(Microphone(shop.settings.microphone), shop.listener(), timeline)


def mouth(shop: Shop, timeline: Timeline, warn: Warn, *, silent: bool, live: bool) -> Mouth:
    """Speaks the answers; in text only when it is to be silent or the voice cannot be had."""
    voice = None if silent else _voice(shop, warn)
    player = _player(shop, warn) if live and voice is not None else None
    return Mouth(voice, shop.language.spoken, player, timeline, warn)


def timeline_for(*, live: bool, paced: bool = False, start_s: float = 0.0) -> Timeline:
    """Real time when somebody is there; sound time for files."""
    return RealTimeline(start_s) if live else SoundTimeline(start_s, paced=paced)


def _voice(shop: Shop, warn: Warn) -> Voice | None:
    try:
        return shop.voice()
    except SpeakError as error:
        warn(in_text(error))
        return None


def _player(shop: Shop, warn: Warn) -> Player | None:
    try:
        from voiceassist.devices.loudspeaker import Loudspeaker

        return Loudspeaker(shop.settings.loudspeaker)
    except DeviceError as error:
        warn(in_text(error))
        return None


def in_text(error: VoiceAssistError) -> str:
    """The error, and that the session goes on without sound."""
    return f"{error}. The session goes on in text."



"""Ears, voice and loudspeaker of a session: typed, from files, or live."""

import select
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TextIO

from voiceassist.app.build import Shop
from voiceassist.app.ears import ClipEars, Ears, TypedEars
from voiceassist.app.hearing import Hearing
from voiceassist.app.mouth import Player
from voiceassist.app.timeline import Timeline
from voiceassist.errors import DeviceError, SpeakError, VoiceAssistError
from voiceassist.language.expectation import Expectation
from voiceassist.sound.clip import Clip
from voiceassist.speak.base import Voice

Warn = Callable[[str], None]

#: Quiet between the assistant's last word and the next recorded one.
ANSWER_GAP_S = 0.4


def file_ears(
    shop: Shop, files: Sequence[Path], timeline: Timeline, aloud: Player | None = None
) -> Ears:
    """Hears each stretch of speech in ``files``, one after the other, and plays them ``aloud``.

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
    return ClipEars(clips, ready(shop), timeline, ANSWER_GAP_S, aloud)


def typed_ears(lines: TextIO, timeline: Timeline) -> Ears:
    """A line is an utterance; at a keyboard, timers run while nothing is typed."""
    return TypedEars(lines, timeline, _waiter(lines) if lines.isatty() else None)


def _waiter(lines: TextIO) -> Callable[[float], bool]:
    def ready(seconds: float) -> bool:
        return bool(select.select([lines], [], [], seconds)[0])

    return ready


def live_ears(shop: Shop, timeline: Timeline) -> Ears:
    """Hears the microphone, between the assistant's own sentences.

    Raises:
        DeviceError: there is no microphone, or no PortAudio.
    """
    from voiceassist.app.live import LiveEars
    from voiceassist.devices.microphone import Microphone

    microphone = Microphone(shop.settings.microphone)
    try:
        return LiveEars(microphone, ready(shop), timeline)
    except VoiceAssistError:
        microphone.close()
        raise


def ready(shop: Shop) -> Hearing:
    """The chosen listeners, loaded: a model that is damaged is told of before the job begins.

    Raises:
        RecogniseError: one cannot start.
    """
    hearing = shop.hearing()
    try:
        hearing.prepare(shop.language.compose(Expectation()))
    except VoiceAssistError:
        hearing.close()
        raise
    return hearing


def voice(shop: Shop, warn: Warn) -> Voice | None:
    """The chosen voice; None, and one sentence to ``warn``, when it cannot be had."""
    try:
        return shop.voice()
    except SpeakError as error:
        warn(f"{error}. The session goes on in text.")
        return None


def player(shop: Shop, warn: Warn) -> Player | None:
    """The chosen loudspeaker; None, and one sentence to ``warn``, when it cannot be had."""
    from voiceassist.devices.loudspeaker import Loudspeaker

    try:
        return Loudspeaker(shop.settings.loudspeaker)
    except DeviceError as error:
        warn(f"{error}. The session goes on in text.")
        return None

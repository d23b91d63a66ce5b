"""Ears, voice and loudspeaker of a session: typed, from files, or live."""

import select
from collections.abc import Callable, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import TextIO

from voiceassist.app.build import Components
from voiceassist.app.ears.base import ClipEars, Ears
from voiceassist.app.ears.hearing import Hearing
from voiceassist.app.ears.typed import TypedEars
from voiceassist.app.mouth.floor import Floor
from voiceassist.app.mouth.mouth import Mouth
from voiceassist.app.timeline import Timeline
from voiceassist.app.view import View
from voiceassist.app.warn import Warn
from voiceassist.devices.base import Player
from voiceassist.errors import DeviceError, RecogniseError, SpeakError, VoiceAssistError
from voiceassist.language.expectation import Expectation
from voiceassist.language.step import StepGrammar
from voiceassist.sound.clip import Clip
from voiceassist.speak.base import Voice

#: Quiet between the assistant's last word and the next recorded one.
ANSWER_GAP_S = 0.4


class NoMicrophoneError(DeviceError):
    """There is no microphone to begin with: the job can still be typed."""


def file_ears(
    shop: Components,
    files: Sequence[Path],
    timeline: Timeline,
    aloud: Player | None = None,
    tell: Warn = lambda _: None,
) -> Ears:
    """Hears each stretch of speech in ``files``, one after the other, and plays them ``aloud``.

    Every file is opened before the session begins, so that a bad one stops it at once. ``tell``
    gets one sentence when speech cannot be told from noise as well as it should be, and when a
    listener is lost.

    Raises:
        DeviceError: a file is missing, not a sound file, or holds no speech.
    """
    from voiceassist.devices.wav import read_clip
    from voiceassist.recognise.detecting import speech_detector
    from voiceassist.sound.segment import UNHURRIED, segments

    detector = speech_detector(tell)
    clips: list[Clip] = []
    for file in files:
        found = [segment.clip for segment in segments([read_clip(file)], detector, UNHURRIED)]
        if not found:
            raise DeviceError(
                "there is no speech in it", place=str(file), remedy="record it again, louder"
            )
        clips += found
    return ClipEars(clips, ready(shop), timeline, ANSWER_GAP_S, aloud)


def typed_ears(
    lines: TextIO, timeline: Timeline, view: View, asked: Callable[[], bool] | None = None
) -> Ears:
    """A line is an utterance; at a keyboard, timers run while nothing is typed."""
    return TypedEars(lines, timeline, _waiter(lines) if lines.isatty() else None, view.state, asked)


def _waiter(lines: TextIO) -> Callable[[float], bool]:
    def ready(seconds: float) -> bool:
        return bool(select.select([lines], [], [], seconds)[0])

    return ready


@dataclass(frozen=True, slots=True)
class LiveContext:
    """What live ears share with the rest of the session.

    Parts:
        timeline: the session's clock.
        floor: tells when we speak.
        mouth: tells what we said last, and sounds when an answer takes long.
        view: shows the level, and what the ears do.
        tell: gets one sentence for a person.
        asked: somebody else has something to say at the next pause.
    """

    timeline: Timeline
    floor: Floor
    mouth: Mouth
    view: View
    tell: Warn
    asked: Callable[[], bool] = lambda: False


def live_ears(shop: Components, room: LiveContext) -> Ears:
    """Hears the microphone, between the assistant's own sentences or through them.

    Raises:
        NoMicrophoneError: there is no microphone, or no PortAudio.
        DeviceError: there is no key to talk where one is wanted.
        LanguageError, RecogniseError: the name is none that can be heard.
        RecogniseError: a listener cannot start.
    """
    from voiceassist.app.ears.earcons import Earcons
    from voiceassist.app.ears.microphone_ears import LiveEars
    from voiceassist.app.ears.wiring import LONGEST_QUIET_S
    from voiceassist.devices.key import TalkKey
    from voiceassist.devices.microphone import Microphone
    from voiceassist.sound.patience import Patience

    try:
        microphone = Microphone(shop.settings.microphone)
    except DeviceError as error:
        raise NoMicrophoneError(error.found, place=error.place, remedy=error.remedy) from None
    settings = shop.settings
    name = settings.name if settings.talk == "name" else ""
    with ExitStack() as undo:  # what was opened, should a later part fail
        undo.callback(microphone.close)
        hearing = ready(shop, name, apart=True)
        undo.callback(hearing.close)
        ears = LiveEars(
            microphone,
            hearing,
            room.timeline,
            floor=room.floor,
            on_level=room.view.level,
            on_state=Earcons(room.mouth.sound, room.view.state).state,
            last_said=room.mouth.last_said,
            tell=room.tell,
            key=TalkKey() if settings.talk == "key" else None,
            name=name,
            patience=Patience(float(settings.pause_s), LONGEST_QUIET_S),
            asked=room.asked,
        )
        undo.pop_all()
        return ears


def ready(shop: Components, name: str = "", *, apart: bool = False) -> Hearing:
    """The chosen listener, loaded: a model that is damaged is told of before the job begins.

    Args:
        shop: chooses it.
        name: to be heard before each phrase; empty for none.
        apart: sound comes in while it hears.

    Raises:
        LanguageError: ``name`` cannot be a name to call.
        RecogniseError: it cannot start, or can never hear ``name``.
    """
    hearing = shop.hearing(apart=apart)
    grammar = shop.language.compose(Expectation())
    try:
        hearing.prepare(grammar)
        if name:
            _prepare_name(hearing, grammar.called(name), name)
    except VoiceAssistError:
        hearing.close()
        raise
    return hearing


def _prepare_name(hearing: Hearing, grammar: StepGrammar, name: str) -> None:
    try:
        hearing.prepare(grammar)
    except RecogniseError as error:
        raise RecogniseError(
            f"{name!r} cannot be the name to call: {error.found}",
            place="name",
            remedy="choose another word, such as 'helper', or add a line to pronunciations.dict",
        ) from None


def voice(shop: Components, warn: Warn, *, ahead: bool = False) -> Voice | None:
    """The chosen voice; None, and one sentence to ``warn``, when it cannot be had.

    With ``ahead`` it has likely sentences ready before they are wanted.
    """
    from voiceassist.speak.ahead import VoiceAhead

    try:
        chosen = shop.voice()
    except SpeakError as error:
        warn(f"{error}. The session goes on in text.")
        return None
    return VoiceAhead(chosen) if chosen is not None and ahead else chosen


def player(shop: Components, warn: Warn) -> Player | None:
    """The chosen loudspeaker; None, and one sentence to ``warn``, when it cannot be had."""
    from voiceassist.devices.loudspeaker import Loudspeaker

    try:
        return Loudspeaker(shop.settings.loudspeaker)
    except DeviceError as error:
        warn(f"{error}. The session goes on in text.")
        return None

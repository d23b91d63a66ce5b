"""The whole check: on devices, or on a recording."""

import threading
from collections.abc import Callable, Mapping, Sequence
from contextlib import ExitStack, closing
from dataclasses import asdict
from decimal import Decimal
from pathlib import Path

from voiceassist.app import build, sources
from voiceassist.app.ears.hearing import Hearing
from voiceassist.app.soundcheck.lines import (
    DeviceLine,
    MicrophoneLine,
    NoiseLine,
    PhraseLine,
    SoundLine,
    SummaryLine,
    ToneLine,
    rounded,
)
from voiceassist.app.soundcheck.trials import (
    TAIL_S,
    Kit,
    Speaker,
    TrialPhrase,
    likeliest,
    part_of,
    recorded,
    tell,
    tried,
)
from voiceassist.app.warn import Warn
from voiceassist.devices.base import Player
from voiceassist.errors import DeviceError
from voiceassist.language.expectation import Expectation
from voiceassist.language.meanings import Answer, Command, Meaning, Reading
from voiceassist.measure.units import base_unit
from voiceassist.recognise.detecting import speech_detector
from voiceassist.sound.advice import Findings, Trial
from voiceassist.sound.clip import Clip
from voiceassist.sound.segment import UNHURRIED, Segment, segments
from voiceassist.sound.soundcheck import (
    Echo,
    check_tone,
    echo_of,
    noise_between,
    room_noise,
    voice_in,
)

Show = Callable[[SoundLine], None]

#: What the trial phrases mean; the words come from the language's grammar.
TRIALS: tuple[Meaning, ...] = (
    Reading(Decimal("12.6"), base_unit("voltage")),
    Answer("affirm"),
    Command("repeat"),
)
_ROOM_S = 2.0
#: Longer than any device is late, and the tone itself.
_ECHO_S = 2.5
_PLAYED_S = 10.0


def list_devices(show: Show) -> None:
    """Show every sound device.

    Raises:
        DeviceError: there is none, or PortAudio is missing.
    """
    from voiceassist.devices.portaudio import devices

    found = devices()
    if not found:
        raise DeviceError("there is no sound device", remedy="plug a microphone or headset in")
    for device in found:
        show(DeviceLine(**asdict(device)))


def check_devices(changes: Mapping[str, object], show: Show, warn: Warn) -> str:
    """Check the chosen microphone and loudspeaker.

    Args:
        changes: settings of the command line.
        show: gets each line; the last is the summary.
        warn: gets sentences about what is missing.

    Returns:
        The verdict.

    Raises:
        VoiceAssistError: there is no microphone, PortAudio or listener, or one went away.
    """
    from voiceassist.devices.microphone import Microphone

    list_devices(show)
    shop = build.Components(build.settings(changes))
    with ExitStack() as opened:
        microphone = opened.enter_context(closing(Microphone(shop.settings.microphone)))
        hearing = opened.enter_context(closing(sources.ready(shop)))
        voice = sources.voice(shop, warn)
        player = _loudspeaker(shop.settings.loudspeaker, warn)
        for device in (voice, player):
            if device is not None:
                opened.enter_context(closing(device))
        detector = speech_detector(warn)
        speaker = Speaker(player, warn)
        kit = Kit(microphone, speaker, voice, shop.to_words, hearing, detector, show)
        return checked(kit, wanted(shop))


def check_file(file: str, changes: Mapping[str, object], show: Show, warn: Warn) -> str:
    """Measure a recording in the same way: every phrase in it, whatever it says.

    Returns:
        The verdict.

    Raises:
        VoiceAssistError: the file is missing or no sound file, or the listener cannot start.
    """
    from voiceassist.devices.wav import read_clip

    clip = read_clip(Path(file))
    shop = build.Components(build.settings(changes))
    show(MicrophoneLine(file, clip.rate_hz))
    noise = noise_between(clip)
    show(NoiseLine(rounded(noise)))
    with closing(sources.ready(shop)) as hearing:
        hearing.prepare(shop.language.compose(Expectation.anything()))
        trials = [
            _in_file(hearing, segment, part_of(clip, segment.start_s, segment.end_s), noise, show)
            for segment in segments([clip], speech_detector(warn), UNHURRIED)
        ]
    nothing = Trial("", "", understood=False, phrase=None)
    return _end(Findings(clip.rate_hz, noise, tuple(trials) or (nothing,)), show)


def checked(kit: Kit, phrases: Sequence[TrialPhrase]) -> str:
    """Measure room, loudspeaker and voice with ``kit``; the verdict.

    Raises:
        VoiceAssistError: a device went away, or voice or listener came to an end.
    """
    rate_hz = kit.microphone.rate_hz
    kit.show(MicrophoneLine(kit.microphone.name, rate_hz))
    tell(kit, "Please be quiet for two seconds.")
    noise = room_noise(recorded(kit.microphone, _ROOM_S))
    kit.show(NoiseLine(rounded(noise)))
    echo = _echo(kit) if kit.speaker.works else None
    tried_it = kit.speaker.works
    if tried_it:
        kit.show(ToneLine.of(echo))
    tail_s = TAIL_S + (echo.delay_s if echo is not None else 0.0)
    trials = tuple(tried(kit, phrase, noise, tail_s) for phrase in phrases)
    failed = kit.speaker.failed
    return _end(Findings(rate_hz, noise, trials, echo, tried_it, failed), kit.show)


def wanted(shop: build.Components) -> tuple[TrialPhrase, ...]:
    """The trial phrases in the language of ``shop``."""
    return tuple(
        TrialPhrase(shop.language.say(meaning), meaning, shop.language.compose(_where(meaning)))
        for meaning in TRIALS
    )


def _where(meaning: Meaning) -> Expectation:
    """A step at which ``meaning`` could be said."""
    if isinstance(meaning, Answer):
        return Expectation(awaited=(meaning.name,))
    return Expectation(("voltage",), base_unit("voltage"))


def _end(found: Findings, show: Show) -> str:
    line = SummaryLine.of(found)
    show(line)
    return line.verdict


def _in_file(hearing: Hearing, segment: Segment, sound: Clip, noise: float, show: Show) -> Trial:
    """A phrase of a recording: understood when it means anything at all."""
    judgement = hearing.hear(segment.clip)
    words, key = likeliest(judgement)
    trial = Trial("", words, bool(key), voice_in(sound, noise))
    show(PhraseLine.of(trial, judgement))
    return trial


def _loudspeaker(name: str, warn: Warn) -> Player | None:
    from voiceassist.devices.loudspeaker import Loudspeaker

    try:
        return Loudspeaker(name)
    except DeviceError as error:
        warn(f"{error}. The check goes on without it.")
        return None


def _echo(kit: Kit) -> Echo | None:
    """A tone in what the microphone gets meanwhile; a loudspeaker that slept misses the first."""
    return _tone_heard(kit) or _tone_heard(kit)


def _tone_heard(kit: Kit) -> Echo | None:
    tone = check_tone(kit.microphone.rate_hz)
    playing = threading.Thread(target=kit.speaker.play, args=(tone,), name="tone", daemon=True)
    playing.start()
    sound = recorded(kit.microphone, _ECHO_S)
    playing.join(_PLAYED_S)
    return echo_of(tone, sound)

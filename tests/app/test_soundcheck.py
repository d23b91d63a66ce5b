"""The course of a sound check, with sound that is made and a listener that follows a script."""

import threading
from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest

from voiceassist.app.build import Components
from voiceassist.app.ears.hearing import Hearing
from voiceassist.app.settings.settings import Settings
from voiceassist.app.soundcheck.check import checked, wanted
from voiceassist.app.soundcheck.lines import SayLine, SoundLine
from voiceassist.app.soundcheck.trials import Kit, Speaker
from voiceassist.errors import DeviceError
from voiceassist.recognise.base import Nothing
from voiceassist.sound.clip import BYTES_PER_SAMPLE, Clip
from voiceassist.sound.level import level_of
from voiceassist.sound.samples import clip_of
from voiceassist.testing import CapturingVoice, ScriptedListener

RATE_HZ = 48_000
SHOP = Components(Settings())
WORDS = ("twelve point six volts", "affirm", "say again")


class Loud:
    """Speech is what is loud."""

    def reset(self) -> None:
        """Nothing is kept."""

    def is_speech(self, frame: bytes) -> bool:
        """True for a loud frame."""
        return level_of(Clip(frame)).rms_dbfs > -40


class Room:
    """A microphone in a room, and the loudspeaker there. Time passes as sound is taken.

    Args:
        answers: whether each request is answered, one after another.
        echo: the microphone hears the loudspeaker, this much softer (dB).
    """

    name = "made room"
    rate_hz = RATE_HZ

    def __init__(self, answers: list[bool], echo: float | None = None) -> None:
        self.broken = False
        self._answers = iter(answers)
        self._echo = echo
        self._coming = bytearray()
        self._noise = np.random.default_rng(1)

    def ask(self) -> None:
        """The technician was asked for a phrase."""
        if next(self._answers):
            at_s = np.arange(RATE_HZ) / RATE_HZ
            voice = clip_of(3000 * np.sin(2 * np.pi * 300 * at_s), RATE_HZ)
            self._coming += (Clip.silence(0.9, RATE_HZ) + voice).pcm

    def chunks(self) -> Iterator[Clip]:
        """What comes, in a room that is never quite quiet."""
        size = RATE_HZ // 20 * BYTES_PER_SAMPLE
        while True:
            for other in threading.enumerate():  # who is about to play does it before
                if other.name == "tone":
                    other.join(5)
            part = bytes(self._coming[:size]).ljust(size, b"\0")
            del self._coming[:size]
            samples = np.frombuffer(part, dtype="<i2") + self._noise.normal(0, 30, size // 2)
            yield clip_of(samples, RATE_HZ)

    def discard(self) -> None:
        """Nothing waits: sound is made when it is asked for."""

    def play(self, clip: Clip) -> float:
        """Play ``clip`` into the room."""
        if self.broken:
            raise DeviceError("the loudspeaker went away")
        if self._echo is not None and clip.rate_hz == RATE_HZ:
            samples = np.frombuffer(clip.pcm, dtype="<i2") * 10 ** (self._echo / 20)
            self._coming += (Clip.silence(0.25, RATE_HZ) + clip_of(samples, RATE_HZ)).pcm
        return clip.seconds

    def stop(self) -> None:
        """Nothing to stop."""

    def close(self) -> None:
        """Nothing is held."""


def check(
    room: Room, script: list[str | Nothing], *, voice: CapturingVoice | None = None
) -> list[dict[str, Any]]:
    """The lines of a check."""
    found: list[dict[str, Any]] = []

    def show(line: SoundLine) -> None:
        found.append(line.to_json())
        if isinstance(line, SayLine) and "Please say" in line.text:
            room.ask()

    warned: list[str] = []
    hearing = Hearing(ScriptedListener(script))
    kit = Kit(room, Speaker(room, warned.append), voice, SHOP.to_words, hearing, Loud(), show)
    assert checked(kit, wanted(SHOP)) == found[-1]["verdict"]
    assert bool(warned) is room.broken
    return found


def of(lines: list[dict[str, Any]], event: str) -> list[dict[str, Any]]:
    return [line for line in lines if line["event"] == event]


def test_the_trial_phrases_are_words_of_the_grammar() -> None:
    phrases = wanted(SHOP)
    assert tuple(phrase.words for phrase in phrases) == WORDS
    for phrase in phrases:
        assert phrase.grammar.parse(phrase.words).meanings == (phrase.meaning,)


def test_a_good_room_and_voice_are_ok() -> None:
    lines = check(Room([True] * 3), list(WORDS))
    assert [line["event"] for line in lines if line["event"] not in {"say", "level"}] == [
        "microphone", "noise", "tone", "phrase", "phrase", "phrase", "summary"
    ]  # fmt: skip
    assert [line["understood"] for line in of(lines, "phrase")] == [True] * 3
    assert lines[-1]["verdict"] == "ok"
    # A sine of peak 3000: 20 log10(3000 / sqrt(2) / 32768)
    levels = [line["level_dbfs"] for line in of(lines, "phrase")]
    assert levels == pytest.approx([-23.8] * 3, abs=0.5)
    # Noise of standard deviation 30: 20 log10(30 / 32768)
    assert of(lines, "noise")[0]["noise_dbfs"] == pytest.approx(-60.8, abs=0.2)


def test_the_level_is_told_every_half_second_while_it_waits() -> None:
    lines = check(Room([True] * 3), list(WORDS))
    first = [line["event"] for line in lines]
    waits = first[first.index("tone") + 2 : first.index("phrase")]
    assert waits
    assert set(waits) == {"level"}
    assert len(waits) <= 6


def test_a_phrase_that_is_not_heard_is_asked_for_once_more() -> None:
    lines = check(Room([False, True, True, True]), list(WORDS))
    asked = [line["text"] for line in of(lines, "say")][1:3]
    assert asked == [
        "Please say: twelve point six volts.",
        "I heard nothing. Please say: twelve point six volts.",
    ]
    assert lines[-1]["verdict"] == "ok"


def test_where_nothing_is_heard_it_ends_and_says_so() -> None:
    lines = check(Room([False] * 6), [])
    assert [line["level_dbfs"] for line in of(lines, "phrase")] == [None] * 3
    assert lines[-1]["verdict"] == "bad"
    assert [each["about"] for each in lines[-1]["advice"]] == ["silent", "loudspeaker"]


def test_another_phrase_is_not_the_one_that_was_asked_for() -> None:
    lines = check(Room([True] * 3), [WORDS[0], "negative", Nothing.OUTSIDE])
    assert [line["understood"] for line in of(lines, "phrase")] == [True, False, False]
    assert lines[-1]["verdict"] == "bad"


def test_the_value_counts_and_not_its_words() -> None:
    lines = check(Room([True] * 3), ["one two point six volts", "yes", "repeat"])
    assert [line["understood"] for line in of(lines, "phrase")] == [True] * 3


def test_the_loudspeaker_in_the_microphone_is_found() -> None:
    tone = of(check(Room([True] * 3, echo=-20.0), list(WORDS)), "tone")[0]
    assert tone["heard"]
    assert 250 <= tone["delay_ms"] < 1500  # and as much later as the loudspeaker was begun with
    assert not of(check(Room([True] * 3), list(WORDS)), "tone")[0]["heard"]


class Asleep(Room):
    """Its loudspeaker swallows what is played first."""

    slept = False

    def play(self, clip: Clip) -> float:
        if clip.rate_hz == RATE_HZ and not self.slept:
            self.slept = True
            return clip.seconds
        return super().play(clip)


def test_a_loudspeaker_that_swallows_the_first_tone_gets_a_second() -> None:
    room = Asleep([True] * 3, echo=-20.0)
    assert of(check(room, list(WORDS)), "tone")[0]["heard"]
    assert room.slept


def test_it_goes_on_without_a_loudspeaker_that_fails() -> None:
    room = Room([True] * 3)
    room.broken = True
    lines = check(room, list(WORDS), voice=CapturingVoice())
    assert len(of(lines, "phrase")) == 3
    assert of(lines, "tone") == []
    assert [each["about"] for each in lines[-1]["advice"]] == ["loudspeaker"]
    assert lines[-1]["verdict"] == "usable"


def test_what_is_asked_for_is_spoken_too() -> None:
    voice = CapturingVoice()
    lines = check(Room([True] * 3), list(WORDS), voice=voice)
    assert len(voice.sentences) == len(of(lines, "say")) == 4
    assert "Please say: affirm." in voice.sentences

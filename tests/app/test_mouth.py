"""The mouth: how far a turn was heard, its tones, and a loudspeaker that comes and goes."""

import math

import numpy as np
import pytest

from voiceassist.app.mouth.floor import Duplex, Floor
from voiceassist.app.mouth.mouth import Mouth
from voiceassist.errors import DeviceError, SpeakError
from voiceassist.sound.clip import Clip
from voiceassist.sound.samples import clip_of
from voiceassist.sound.tones import Tone, tone
from voiceassist.speak.base import Voice
from voiceassist.testing import CapturingVoice, CutPlayer, FixedTimeline

RATE_HZ = 16_000


class Humming(CapturingVoice):
    """A second of hum and half a second of silence for each piece of text."""

    def synthesise(self, sentence: str) -> Clip:
        super().synthesise(sentence)
        at = np.arange(RATE_HZ) * 2 * math.pi * 200 / RATE_HZ
        return clip_of(5000 * np.sin(at), RATE_HZ) + Clip.silence(0.5, RATE_HZ)


def a_mouth(
    player: object,
    *,
    voice: Voice | None = None,
    tones: bool = False,
    warned: list[str] | None = None,
    timeline: FixedTimeline | None = None,
) -> Mouth:
    timeline = timeline or FixedTimeline()
    tell = warned.append if warned is not None else lambda _: None
    return Mouth(
        voice or Humming(), str.lower, player, timeline, tell,  # type: ignore[arg-type]
        floor=Floor(Duplex.FULL, 0.0, timeline.now_s), tones=tones,
    )  # fmt: skip


TEXTS = ["One. Two.", "", "Three."]
#: One and two with the silence between them, a pause, three.
WHOLE_S = (1.0 + 0.5 + 1.05) + 0.4 + 1.05


def test_a_turn_is_played_as_one_clip_without_silence_behind_its_last_word() -> None:
    player = CutPlayer()
    mouth = a_mouth(player)
    assert mouth.speak(mouth.prepare(TEXTS)) is None
    (clip,) = player.played
    assert clip.seconds == pytest.approx(WHOLE_S, abs=0.02)


@pytest.mark.parametrize(
    ("heard_s", "index", "letters"),
    [
        (0.0, 0, 0),
        (0.9, 0, 0),
        (1.2, 0, len("One.")),
        (2.4, 0, len("One.")),
        (2.6, 2, 0),
        (3.5, 2, 0),
    ],
)
def test_it_is_known_what_was_not_heard(heard_s: float, index: int, letters: int) -> None:
    mouth = a_mouth(CutPlayer([heard_s]))
    cut = mouth.speak(mouth.prepare(TEXTS))
    assert cut is not None
    assert (cut.index, cut.letters) == (index, letters)


def test_the_fraction_of_the_cut_sentence_is_known() -> None:
    mouth = a_mouth(CutPlayer([1.275]))
    cut = mouth.speak(mouth.prepare(TEXTS))
    assert cut is not None
    assert cut.fraction == pytest.approx(0.5, abs=0.02)


def test_a_cut_in_the_last_tone_cuts_no_word() -> None:
    mouth = a_mouth(CutPlayer([WHOLE_S + 0.02]), tones=True)
    assert mouth.speak(mouth.prepare(TEXTS), last=Tone.LISTENING) is None


def test_tones_stand_before_and_behind_the_words_when_they_are_wanted() -> None:
    with_tones, without = CutPlayer(), CutPlayer()
    for player, wanted in ((with_tones, True), (without, False)):
        mouth = a_mouth(player, tones=wanted)
        turn = mouth.prepare(TEXTS)
        mouth.speak(turn, first=Tone.NOT_UNDERSTOOD, last=Tone.LISTENING)
        mouth.sound(Tone.THINKING)
    assert len(without.played) == 1
    turn_clip, thinking = with_tones.played
    assert thinking == tone(Tone.THINKING)
    assert turn_clip.pcm.startswith(tone(Tone.NOT_UNDERSTOOD, RATE_HZ).pcm)
    assert turn_clip.pcm.endswith(tone(Tone.LISTENING, RATE_HZ).pcm)
    assert turn_clip.seconds > without.played[0].seconds


def test_a_silent_turn_sounds_no_tone() -> None:
    player = CutPlayer()
    mouth = a_mouth(player, tones=True)
    mouth.speak(mouth.prepare(["", ""]), last=Tone.LISTENING)
    assert player.played == []


def test_a_loudspeaker_that_comes_back_is_used_again_and_told_of_once() -> None:
    class Loose(CutPlayer):
        broken = 2

        def play(self, clip: Clip) -> float:
            if self.broken:
                self.broken -= 1
                raise DeviceError("the loudspeaker went away")
            return super().play(clip)

    warned: list[str] = []
    player = Loose()
    mouth = a_mouth(player, warned=warned)
    cuts = [mouth.speak(mouth.prepare(["One."])) for _ in range(3)]
    # Of the first turn nobody knows what was heard; the second stands in the text.
    assert [cut is not None and cut.index == 0 for cut in cuts] == [True, False, False]
    assert len(player.played) == 1
    assert warned == ["the loudspeaker went away. The session goes on in text."]


class Failing(Humming):
    """Fails at the sentences counted so, from 0."""

    def __init__(self, *failing: int) -> None:
        super().__init__()
        self._failing = failing

    def synthesise(self, sentence: str) -> Clip:
        sound = super().synthesise(sentence)
        if len(self.sentences) - 1 in self._failing:
            raise SpeakError("espeak-ng did not finish within 5 s")
        return sound


def test_a_voice_that_failed_once_speaks_the_next_turn() -> None:
    """A machine that was busy for a moment must not leave him without cautions for a whole job."""
    warned: list[str] = []
    player = CutPlayer()
    mouth = a_mouth(player, voice=Failing(1), warned=warned)
    first, second, third = mouth.prepare(["One.", "Two.", "Three."])
    assert (first is not None, second, third) == (True, None, None)  # he is kept waiting once
    assert mouth.speak(mouth.prepare(["Four."])) is None
    assert len(player.played) == 1
    assert warned == ["espeak-ng did not finish within 5 s. The session goes on in text."]


def test_a_voice_that_goes_on_failing_is_told_of_once_and_tried_once_a_minute() -> None:
    warned: list[str] = []
    voice, timeline = Failing(0, 1, 3), FixedTimeline()
    mouth = a_mouth(CutPlayer(), voice=voice, warned=warned, timeline=timeline)
    assert mouth.prepare(["One."]) == mouth.prepare(["Two."]) == mouth.prepare(["Three."]) == [None]
    assert voice.sentences == ["one.", "two."]  # the third is not waited for
    assert len(warned) == 1
    timeline.advance(60.0)
    assert mouth.prepare(["Four."]) != [None]
    assert mouth.prepare(["Five."]) == [None]
    assert len(warned) == 2
    assert mouth.prepare(["Six."]) != [None]


def test_the_last_words_are_told_with_their_end() -> None:
    mouth = a_mouth(CutPlayer())
    assert mouth.last_said() == ("", 0.0)
    mouth.speak(mouth.prepare(TEXTS))
    words, ended_s = mouth.last_said()
    assert words == "one. two. three."
    assert ended_s == pytest.approx(WHOLE_S, abs=0.5)

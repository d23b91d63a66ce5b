"""The ears' own thread, with a fake microphone and a scripted detector.

Frames are of 30 ms: F is speech, . is quiet.
"""

import threading
import time
from collections.abc import Callable

import pytest

from voiceassist.app.ears.base import EarState, NewsKind
from voiceassist.app.ears.capture import Capture
from voiceassist.app.ears.inbox import Inbox, InputEnded
from voiceassist.app.ears.push_to_talk import Gate
from voiceassist.app.ears.wiring import CapturedPhrase, Wiring
from voiceassist.app.mouth.floor import Duplex, Floor
from voiceassist.app.timeline import RealTimeline, Timeline
from voiceassist.devices.lasting import LastingMicrophone
from voiceassist.errors import DeviceError
from voiceassist.sound.clip import Clip
from voiceassist.sound.frames import FRAME_S
from voiceassist.sound.level import Level
from voiceassist.testing import FakeMicrophone, FixedTimeline, ScriptedDetector

QUIET = "." * 30
PHRASE = "F" * 15 + QUIET


def sound(frames: float) -> Clip:
    """So many frames of hiss."""
    return Clip(b"\x10\x00\xf0\xff" * round(240 * frames))


def length_s(phrase: CapturedPhrase) -> float:
    """How long its speech lasts."""
    return phrase.segment.speech_end_s - phrase.segment.speech_start_s


class Stage:
    """A capture at work on a script, and what came of it."""

    def __init__(
        self,
        script: str,
        *,
        clips: list[Clip | None] | None = None,
        floor: Floor | None = None,
        gate: Gate | None = None,
        on_frame: Callable[[int], None] = lambda _: None,
        timeline: Timeline | None = None,
        cuts: bool = True,
    ) -> None:
        self.levels: list[Level] = []
        self.states: list[EarState] = []
        self.detector = Watched(script, on_frame)
        self.timeline = timeline or RealTimeline()
        clips = clips if clips is not None else [sound(len(script))]
        self.capture = Capture(
            Wiring(
                source=LastingMicrophone(FakeMicrophone(clips), back_off_s=(0.01,)),
                detector=self.detector,
                timeline=self.timeline,
                floor=floor or Floor(Duplex.HALF, 0.0, self.timeline.now_s),
                gate=gate or Gate(),
                cuts=cuts,
                on_level=self.levels.append,
                on_state=self.states.append,
            )
        )

    def given(self) -> list[CapturedPhrase | NewsKind]:
        """All that came, to the end of the sound."""
        found: list[CapturedPhrase | NewsKind] = []
        while True:
            item = self.capture.take(5)
            assert item is not None, "the thread hangs"
            if isinstance(item, InputEnded):
                self.capture.close()
                assert item.error is None
                return found
            found.append(item)

    def phrases(self) -> list[CapturedPhrase]:
        """The phrases that are over."""
        return [each for each in self.given() if isinstance(each, CapturedPhrase) and each.over]


class Watched(ScriptedDetector):
    """Tells which frame it is at."""

    def __init__(self, script: str, on_frame: Callable[[int], None]) -> None:
        super().__init__(script)
        self._on_frame = on_frame
        self._at = 0

    def is_speech(self, frame: bytes) -> bool:
        self._on_frame(self._at)
        self._at += 1
        return super().is_speech(frame)


def test_phrases_come_one_after_the_other() -> None:
    first, second = Stage(QUIET + PHRASE + QUIET + PHRASE).phrases()
    assert first.segment.speech_start_s == pytest.approx(30 * FRAME_S)
    assert second.segment.speech_start_s == pytest.approx(105 * FRAME_S)


def test_a_phrase_stands_in_the_session_where_its_sound_came_in() -> None:
    timeline = FixedTimeline()
    timeline.advance(100)
    (phrase,) = Stage(QUIET + PHRASE, timeline=timeline).phrases()
    # It is over after 0.66 s of quiet, to a frame.
    assert phrase.start_s == pytest.approx(100 - 0.66 - 15 * FRAME_S, abs=FRAME_S + 0.001)
    assert phrase.end_s == pytest.approx(100 - 0.66, abs=FRAME_S + 0.001)


@pytest.mark.parametrize("pause_s", [0.2, 0.3, 0.4, 0.5])
def test_a_pause_to_look_at_the_meter_does_not_part_a_reading(pause_s: float) -> None:
    inside = "." * round(pause_s / FRAME_S)
    (phrase,) = Stage(QUIET + "F" * 10 + inside + "F" * 15 + QUIET).phrases()
    assert length_s(phrase) == pytest.approx((25 + len(inside)) * FRAME_S)


def test_who_was_cut_off_once_is_given_more_time() -> None:
    slow = "F" * 10 + "." * 30 + "F" * 10
    found = Stage(QUIET + slow + "." * 60 + slow + "." * 60).phrases()
    assert len(found) == 3


def test_a_phrase_is_shown_early_with_the_very_sound_it_will_have() -> None:
    ahead, early, late = (p for p in Stage(QUIET + PHRASE).given() if isinstance(p, CapturedPhrase))
    assert [(p.ahead, p.over) for p in (ahead, early, late)] == [
        (True, False),
        (False, False),
        (False, True),
    ]
    assert ahead.segment.clip == early.segment.clip == late.segment.clip


def test_a_phrase_is_given_to_be_heard_a_tenth_of_a_second_before_it_can_be_taken() -> None:
    """After 0.15 s of quiet and 0.27 s: five and nine frames, the first of new speech with them."""
    looks = {
        frames: [
            p.ahead
            for p in Stage(QUIET + "F" * 15 + "." * frames + "F" * 15).given()
            if isinstance(p, CapturedPhrase) and not p.over
        ]
        for frames in (3, 4, 7, 8)
    }
    assert looks == {3: [], 4: [True], 7: [True], 8: [True, False]}


def test_a_phrase_that_needs_no_more_can_be_ended_early_and_does_not_come_again() -> None:
    reached, go_on = threading.Event(), threading.Event()

    def wait(frame: int) -> None:
        if frame == 58:
            reached.set()
            assert go_on.wait(5)

    stage = Stage(QUIET + PHRASE, on_frame=wait)
    assert reached.wait(5)
    ahead, early = stage.capture.take(5), stage.capture.take(5)
    assert isinstance(ahead, CapturedPhrase)
    assert isinstance(early, CapturedPhrase)
    assert stage.capture.settle(early)
    assert not stage.capture.settle(early)
    go_on.set()
    assert stage.given() == []


def test_a_phrase_that_went_on_meanwhile_cannot_be_ended_early() -> None:
    reached, go_on = threading.Event(), threading.Event()

    def wait(frame: int) -> None:
        if frame == 64:
            reached.set()
            assert go_on.wait(5)

    stage = Stage(QUIET + "F" * 15 + "." * 13 + "F" * 15 + QUIET, on_frame=wait)
    assert reached.wait(5)
    ahead, early = stage.capture.take(5), stage.capture.take(5)
    assert isinstance(ahead, CapturedPhrase)
    assert isinstance(early, CapturedPhrase)
    assert not stage.capture.settle(early)
    go_on.set()
    (whole,) = stage.phrases()
    assert whole.segment.clip.seconds > early.segment.clip.seconds + 0.5


def test_by_turns_nothing_of_what_sounds_while_we_speak_is_kept() -> None:
    timeline = RealTimeline()
    floor = Floor(Duplex.HALF, 0.0, timeline.now_s)
    with floor.speaking(lambda: None):
        stage = Stage(QUIET + PHRASE, floor=floor)
        assert stage.given() == []
    assert stage.detector.resets == 1
    assert EarState.HEARING not in stage.states


def test_a_phrase_from_before_our_answer_is_not_taken_for_a_reply_to_it() -> None:
    timeline = RealTimeline()
    floor = Floor(Duplex.HALF, 0.0, timeline.now_s)
    speaking = floor.speaking(lambda: None)

    def speak(frame: int) -> None:
        if frame == 80:  # the phrase is over, and he goes on
            speaking.__enter__()

    stage = Stage(QUIET + PHRASE + "F" * 30, floor=floor, on_frame=speak)
    while not stage.capture.ended:
        time.sleep(0.01)
    assert stage.given() == []
    speaking.__exit__(None, None, None)


@pytest.mark.parametrize(("speech", "cut"), [("FFF", True), ("FF.F", True), ("FF", False)])
def test_with_a_headset_a_moment_of_speech_cuts_us_short(*, speech: str, cut: bool) -> None:
    timeline = RealTimeline()
    floor = Floor(Duplex.FULL, 0.3, timeline.now_s)
    stops: list[float] = []
    with floor.speaking(lambda: stops.append(1.0)):
        Stage(QUIET + speech + QUIET, floor=floor).given()
    assert bool(stops) is cut


def test_with_a_headset_the_phrase_that_cut_in_is_heard_whole() -> None:
    timeline = RealTimeline()
    floor = Floor(Duplex.FULL, 0.3, timeline.now_s)
    with floor.speaking(lambda: None):
        (phrase,) = Stage(QUIET + PHRASE, floor=floor).phrases()
    assert length_s(phrase) == pytest.approx(15 * FRAME_S)


def test_a_microphone_that_goes_away_and_comes_back_is_told_of_and_hears_on() -> None:
    clips = [sound(75), None, sound(75)]
    stage = Stage(2 * (QUIET + PHRASE), clips=clips)
    found = [each for each in stage.given() if not isinstance(each, CapturedPhrase) or each.over]
    kinds = [each if isinstance(each, NewsKind) else "phrase" for each in found]
    assert kinds == ["phrase", NewsKind.LOST, NewsKind.BACK, "phrase"]


def test_half_a_phrase_is_forgotten_when_the_microphone_goes_away() -> None:
    stage = Stage(QUIET + "F" * 20 + "." * 60, clips=[sound(40), None, sound(70)])
    (phrase,) = stage.phrases()
    assert phrase.segment.clip.seconds < 1.0


def test_a_microphone_that_comes_back_with_another_rate_is_understood() -> None:
    other = Clip(b"\x10\x00\xf0\xff" * (240 * 3 * 75), 48_000)
    assert len(Stage(2 * (QUIET + PHRASE), clips=[sound(75), None, other]).phrases()) == 2


def test_the_level_is_told_about_ten_times_a_second() -> None:
    stage = Stage("." * 100)
    stage.given()
    assert 9 <= len(stage.levels) / (100 * FRAME_S) <= 12
    assert stage.levels[-1].noise_dbfs == pytest.approx(stage.levels[-1].rms_dbfs, abs=0.1)
    assert not any(level.speech or level.clipped for level in stage.levels)


def test_the_states_tell_when_somebody_speaks() -> None:
    stage = Stage(QUIET + PHRASE)
    stage.given()
    assert stage.states == [EarState.HEARING]


def test_a_fault_on_the_thread_reaches_the_session() -> None:
    def fail(frame: int) -> None:
        if frame == 3:
            raise DeviceError("the detector broke")

    stage = Stage(QUIET, on_frame=fail)
    ended = stage.capture.take(5)
    assert isinstance(ended, InputEnded)
    assert isinstance(ended.error, DeviceError)


class Stuck(FakeMicrophone):
    """Gives nothing and cannot be closed."""

    def close(self) -> None:
        time.sleep(20)


def test_closing_takes_less_than_a_second_when_the_device_hangs() -> None:
    timeline = RealTimeline()
    floor = Floor(Duplex.HALF, 0.0, timeline.now_s)
    endless = (sound(1) for _ in iter(int, 1))
    source = LastingMicrophone(Stuck(endless))
    capture = Capture(Wiring(source, ScriptedDetector(""), timeline, floor))
    began = time.monotonic()
    capture.close()
    assert time.monotonic() - began < 1.0


# --- push to talk ---


class Presses:
    """A key that is pressed at some frames."""

    def __init__(self, *frames: int) -> None:
        self._frames = frames
        self._at = -1

    def pressed(self) -> bool:
        self._at += 1
        return self._at in self._frames

    def close(self) -> None:
        """Nothing is held."""


def test_only_what_is_said_after_a_press_counts() -> None:
    stage = Stage(3 * (QUIET + PHRASE), gate=Gate(Presses(75 + 25)))
    (phrase,) = stage.phrases()
    assert phrase.segment.speech_start_s == pytest.approx((75 + 30) * FRAME_S)


def test_the_first_sound_of_who_presses_and_speaks_at_once_is_kept() -> None:
    (phrase,) = Stage(QUIET + PHRASE, gate=Gate(Presses(31))).phrases()
    assert phrase.segment.start_s < 29 * FRAME_S


def test_a_second_press_ends_the_phrase_at_once() -> None:
    (phrase,) = Stage(QUIET + "F" * 60, gate=Gate(Presses(20, 60))).phrases()
    assert phrase.segment.end_s == pytest.approx(61 * FRAME_S)


def test_a_press_without_a_word_is_forgotten_after_a_while() -> None:
    assert Stage("." * 300 + PHRASE, gate=Gate(Presses(5))).phrases() == []


class Pressed:
    """A key that was pressed once, before anybody looked."""

    def __init__(self) -> None:
        self._waiting = True

    def pressed(self) -> bool:
        waiting, self._waiting = self._waiting, False
        return waiting

    def close(self) -> None:
        """Nothing is held."""


@pytest.mark.parametrize("duplex", Duplex)
def test_a_press_while_we_speak_makes_us_silent(duplex: Duplex) -> None:
    timeline = RealTimeline()
    floor = Floor(duplex, 0.0, timeline.now_s)
    stops: list[str] = []
    with floor.speaking(lambda: stops.append("stopped")):
        Stage(QUIET, floor=floor, gate=Gate(Pressed())).given()
    assert stops


def test_talk_with_others_does_not_cut_who_listens_to_a_key() -> None:
    timeline = RealTimeline()
    floor = Floor(Duplex.FULL, 0.0, timeline.now_s)
    stops: list[str] = []
    with floor.speaking(lambda: stops.append("stopped")):
        assert Stage(QUIET + PHRASE, floor=floor, gate=Gate(Presses())).phrases() == []
    assert stops == []


def test_talk_with_others_does_not_cut_who_listens_to_a_name() -> None:
    timeline = RealTimeline()
    floor = Floor(Duplex.FULL, 0.0, timeline.now_s)
    stops: list[str] = []
    with floor.speaking(lambda: stops.append("stopped")):
        assert len(Stage(QUIET + PHRASE, floor=floor, cuts=False).phrases()) == 1
    assert stops == []


# --- what waits ---


def test_the_oldest_is_lost_when_too_much_waits() -> None:
    inbox: Inbox[int] = Inbox(2)
    assert [inbox.put(n) for n in range(3)] == [True, True, False]
    inbox.end()
    assert [inbox.take(1), inbox.take(1), inbox.take(1)] == [1, 2, InputEnded()]


def test_nothing_comes_out_of_an_empty_box_in_time() -> None:
    assert Inbox[int](2).take(0.01) is None

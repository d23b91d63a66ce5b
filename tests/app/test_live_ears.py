"""From phrases at the microphone to utterances: what counts, what is passed over, what is news."""

import threading
import time
from collections.abc import Iterable, Iterator
from dataclasses import replace

import languages
import pytest

from voiceassist.app.ears.base import EarState, Elapsed, News, NewsKind, Utterance
from voiceassist.app.ears.echo import is_echo
from voiceassist.app.ears.hearing import Hearing
from voiceassist.app.ears.is_complete import is_settled
from voiceassist.app.ears.judgement import judged
from voiceassist.app.ears.microphone_ears import LiveEars
from voiceassist.app.ears.wiring import CapturedPhrase
from voiceassist.app.timeline import RealTimeline
from voiceassist.doubt.evidence import ClipFacts
from voiceassist.language.expectation import Expectation
from voiceassist.measure.units import unit
from voiceassist.recognise.base import Candidate, HeardClip, ListenerGrammar, Nothing
from voiceassist.sound.clip import Clip
from voiceassist.sound.segment import UNHURRIED, Segment
from voiceassist.testing import FakeMicrophone, FixedTimeline, ScriptedDetector, ScriptedListener

LANGUAGE = languages.shipped()
VOLTS = LANGUAGE.compose(Expectation(quantities=("voltage",), unit=unit("V")))
QUIET = "." * 30
PHRASE = "F" * 15 + QUIET


def sound(frames: int) -> Clip:
    return Clip(b"".join((n % 500).to_bytes(2, "little") * 480 for n in range(frames)))


class Stage:
    """Live ears on a script of frames and a script of words."""

    def __init__(
        self,
        frames: str,
        words: Iterable[str | Nothing],
        *,
        clips: list[Clip | None] | None = None,
        absent: int = 0,
        name: str = "",
        said: tuple[str, float] = ("", -100.0),
    ) -> None:
        self.listener = Counting(words)
        self.states: list[EarState] = []
        self.timeline = RealTimeline(100.0)
        self.ears = LiveEars(
            FakeMicrophone(clips if clips is not None else [sound(len(frames))], absent),
            Hearing(self.listener),
            self.timeline,
            on_state=self.states.append,
            last_said=lambda: said,
            detector=ScriptedDetector(frames),
            name=name,
        )

    def all(self) -> list[str | NewsKind]:
        """The words and the news, to the end of the sound."""
        found: list[str | NewsKind] = []
        while (item := self.ears.listen(VOLTS)) is not None:
            assert not isinstance(item, Elapsed)
            found.append(item.words if isinstance(item, Utterance) else item.kind)
        self.ears.close()
        return found


class Counting(ScriptedListener):
    """Keeps what it was asked to hear in ``clips``."""

    def __init__(self, script: Iterable[str | Nothing]) -> None:
        super().__init__(script)
        self.clips: list[Clip] = []

    def hear(self, clip: Clip) -> HeardClip:
        self.clips.append(clip)
        return super().hear(clip)


def test_what_is_said_is_heard_in_turn() -> None:
    stage = Stage(2 * (QUIET + PHRASE), ["twelve volts", "done"])
    assert stage.all() == ["twelve volts", "done"]


def test_a_phrase_is_recognised_once_though_it_is_looked_at_early() -> None:
    stage = Stage(QUIET + PHRASE, ["twelve", "something else"])
    assert stage.all() == ["twelve"]
    assert len(stage.listener.clips) == 1


def test_sounds_without_speech_are_passed_over() -> None:
    assert Stage(2 * (QUIET + PHRASE), [Nothing.NO_SPEECH, "done"]).all() == ["done"]


def test_speech_that_never_stops_is_news_of_noise() -> None:
    # Twelve seconds are the longest phrase.
    assert Stage(QUIET + "F" * 420 + QUIET, [Nothing.OUTSIDE]).all() == [NewsKind.NOISY]


def test_a_phrase_cut_by_its_length_that_is_understood_is_taken() -> None:
    found = Stage(QUIET + "F" * 420, ["twelve volts", Nothing.NO_SPEECH]).all()
    assert found[:1] == ["twelve volts"]


def test_loss_and_return_of_the_microphone_are_news() -> None:
    clips = [sound(75), None, sound(75)]
    found = Stage(2 * (QUIET + PHRASE), ["done", "affirm"], clips=clips).all()
    assert found == ["done", NewsKind.LOST, NewsKind.BACK, "affirm"]


def test_waiting_ends_when_its_time_is_over_though_the_microphone_is_away() -> None:
    stage = Stage("", [], clips=[None], absent=1000)
    assert stage.ears.listen(VOLTS) == News(NewsKind.LOST)
    until_s = stage.timeline.now_s() + 0.2
    assert isinstance(stage.ears.listen(VOLTS, until_s), Elapsed)
    assert until_s <= stage.timeline.now_s() <= until_s + 0.3
    stage.ears.close()


class Held(FakeMicrophone):
    """Gives its sound, and then nothing until it is closed."""

    def chunks(self) -> Iterator[Clip]:
        yield from super().chunks()
        while not self.closed:
            time.sleep(0.01)


@pytest.mark.parametrize(("over_s", "comes"), [(1.0, False), (13.0, True)])
def test_what_is_waited_for_comes_in_spite_of_noise_without_end(
    over_s: float, *, comes: bool
) -> None:
    """A phrase may be spoken to its end; what lasts longer than the longest is none."""
    timeline = RealTimeline(100.0)
    microphone = Held([sound(40)])
    taken_for_speech = threading.Event()
    ears = LiveEars(
        microphone,
        Hearing(ScriptedListener([])),
        timeline,
        detector=ScriptedDetector("F" * 40),
        on_state=lambda state: taken_for_speech.set() if state is EarState.HEARING else None,
    )
    assert taken_for_speech.wait(5)
    answers: list[object] = []
    thread = threading.Thread(
        target=lambda: answers.append(ears.listen(VOLTS, timeline.now_s() - over_s)), daemon=True
    )
    thread.start()
    thread.join(5 if comes else 0.5)
    assert bool(answers) is comes
    microphone.close()
    thread.join(5)
    assert not thread.is_alive()
    ears.close()


class Babble:
    """Ears that never rest: each phrase is there before the last one was heard."""

    hears = has_more = True

    def __init__(self) -> None:
        clips = (Clip.silence(1.0 + 0.03 * count) for count in range(50))
        self._phrases = (
            CapturedPhrase(Segment(clip, 0.0, 1.0, 0.0, 1.0), 0.0, 1.0) for clip in clips
        )

    def take(self, _limit_s: float) -> CapturedPhrase:
        return next(self._phrases)

    def close(self) -> None:
        """Nothing is held."""


class Late(ScriptedListener):
    """Finds no speech, and takes three seconds for it."""

    def __init__(self, timeline: FixedTimeline) -> None:
        super().__init__([])
        self._timeline = timeline

    def hear(self, clip: Clip) -> HeardClip:
        self._timeline.advance(3.0)
        return super().hear(clip)


def test_what_is_waited_for_comes_in_spite_of_talk_faster_than_the_listener() -> None:
    timeline = FixedTimeline()
    hearing = Hearing(Late(timeline))
    ears = LiveEars(FakeMicrophone([]), hearing, timeline, detector=ScriptedDetector(""))
    ears._capture.close()
    ears._capture = Babble()  # type: ignore[assignment]
    assert isinstance(ears.listen(VOLTS, 6.0), Elapsed)
    assert timeline.now_s() <= 6.0 + UNHURRIED.longest_s + 3.0
    ears.close()


def test_the_states_are_told_from_listening_to_idle() -> None:
    stage = Stage(QUIET + PHRASE, ["done"])
    stage.all()
    told = [state for state in stage.states if state is not EarState.HEARING]
    # Listened twice: the second time to the end of the sound.
    assert told[-2:] == [EarState.LISTENING, EarState.IDLE]
    assert EarState.HEARING in stage.states


def test_after_an_early_phrase_that_comes_to_nothing_it_listens_again() -> None:
    """Here our own voice: the screen would go on saying that somebody is heard."""
    states: list[EarState] = []
    timeline = RealTimeline(100.0)
    ears = LiveEars(
        Held([sound(57)]),
        Hearing(ScriptedListener(["twelve point six volts"])),
        timeline,
        on_state=states.append,
        last_said=lambda: ("the limit is twelve point six volts", timeline.now_s()),
        detector=ScriptedDetector(QUIET + "F" * 15 + "." * 12),
    )
    due_s = timeline.now_s() + 5
    while not ears._capture.has_more and timeline.now_s() < due_s:
        time.sleep(0.01)
    assert isinstance(ears.listen(VOLTS, timeline.now_s() + 0.3), Elapsed)
    ears.close()
    assert [state for state in states if state is not EarState.HEARING] == [
        EarState.LISTENING, EarState.LISTENING, EarState.IDLE,
    ]  # fmt: skip


# --- the name ---


def test_only_what_follows_the_name_counts() -> None:
    said = ["helper twelve volts", Nothing.OUTSIDE, "helper done"]
    stage = Stage(3 * (QUIET + PHRASE), said, name="helper")
    assert stage.all() == ["helper twelve volts", "helper done"]


def test_the_listener_searches_for_nothing_without_the_name() -> None:
    stage = Stage("", [], name="helper")
    stage.all()
    grammar = stage.listener.grammars[0]
    assert "public <step> = helper [<phrases-heard>];" in grammar.jsgf()


def test_a_name_said_just_before_belongs_to_the_phrase() -> None:
    stage = Stage(2 * (QUIET + PHRASE), ["helper", "helper done"], name="helper")
    assert stage.all() == ["helper done"]
    name, both = stage.listener.clips[:2]
    assert both.pcm.startswith(name.pcm)
    assert both.seconds > name.seconds + 0.4


def test_a_name_said_long_before_does_not() -> None:
    frames = QUIET + PHRASE + "." * 120 + PHRASE
    stage = Stage(frames, ["helper", Nothing.OUTSIDE], name="helper")
    assert stage.all() == []
    name, alone = stage.listener.clips
    assert alone.seconds == pytest.approx(name.seconds, abs=0.1)


# --- our own voice ---


@pytest.mark.parametrize(
    ("words", "said", "after_s", "echo"),
    [
        ("twelve point six volts", "I heard twelve point six volts.", 0.9, True),
        ("twelve point six volts", "I heard twelve point six volts.", 2.0, False),
        ("twelve point four volts", "I heard twelve point six volts.", 0.9, False),
        ("say done when ready", "Pull the fuse. Say done when ready.", 1.4, True),
        # "done" at once is the end of our own sentence; a moment later it is his answer.
        ("done", "Then say done.", 0.3, True),
        ("done", "Then say done.", 0.8, False),
        ("done", "Say done when ready.", 0.3, False),
        ("affirm", "", 0.3, False),
        ("", "Say done.", 0.3, False),
    ],
)
def test_our_own_last_words_are_told_from_an_answer(
    words: str, said: str, after_s: float, *, echo: bool
) -> None:
    assert is_echo(words, said, after_s) is echo


def test_our_own_voice_is_not_answered() -> None:
    said = ("the limit is twelve point six volts", 101.0)
    stage = Stage(QUIET + PHRASE, ["twelve point six volts"], said=said)
    assert stage.all() == []


class Foreseeing(Counting):
    """Keeps what it got ready for, each in two turns."""

    def __init__(self, script: Iterable[str | Nothing]) -> None:
        super().__init__(script)
        self.ready: list[ListenerGrammar] = []

    def expect(self, grammar: ListenerGrammar) -> bool:
        self.ready.append(grammar)
        return self.ready.count(grammar) < 2


def test_while_nobody_speaks_it_gets_ready_for_this_step_and_then_for_others() -> None:
    listener = Foreseeing([])
    lamp = LANGUAGE.compose(Expectation(lamp=True))
    timeline = RealTimeline()
    ears = LiveEars(
        Held([sound(5)]), Hearing(listener), timeline, detector=ScriptedDetector("." * 5)
    )
    ears.expect([lamp])
    assert isinstance(ears.listen(VOLTS, timeline.now_s() + 0.6), Elapsed)
    ears.close()
    assert [each is lamp for each in listener.ready] == [False, False, True, True]


def test_what_sounds_like_the_beginning_of_a_phrase_is_never_settled() -> None:
    heard = HeardClip("ear", (Candidate("eleven volts", -12.0),), none_of_these=-30.0)
    for unfinished, settled in ((None, True), (-20.0, True), (-2.0, False)):
        found = judged(replace(heard, unfinished=unfinished), VOLTS, ClipFacts(30.0, 1.0), None)
        assert is_settled(found, VOLTS) is settled


@pytest.mark.parametrize("speaks", [False, True])
def test_who_has_something_to_say_waits_for_a_pause(*, speaks: bool) -> None:
    timeline = RealTimeline(100.0)
    microphone = Held([sound(40)])
    taken_for_speech = threading.Event()
    asked = threading.Event()
    ears = LiveEars(
        microphone,
        Hearing(ScriptedListener([])),
        timeline,
        detector=ScriptedDetector("F" * 40 if speaks else ""),
        on_state=lambda state: taken_for_speech.set() if state is EarState.HEARING else None,
        asked=asked.is_set,
    )
    assert taken_for_speech.wait(5 if speaks else 0) is speaks
    answers: list[object] = []
    thread = threading.Thread(target=lambda: answers.append(ears.listen(VOLTS)), daemon=True)
    thread.start()
    thread.join(0.3)
    assert answers == []
    asked.set()
    thread.join(0.5 if speaks else 5)
    assert [type(answer) for answer in answers] == ([] if speaks else [Elapsed])
    microphone.close()
    thread.join(5)
    assert not thread.is_alive()
    ears.close()

"""Turn taking: cutting in, silence, and trouble with the ears, all kept and replayed alike."""

from collections.abc import Iterable
from pathlib import Path

import languages
import pytest

from voiceassist import resources
from voiceassist.app import build
from voiceassist.app.ears.base import Elapsed, News, NewsKind, Utterance
from voiceassist.app.live.guessing import LoadGuesser
from voiceassist.app.live.loop import Loop
from voiceassist.app.live.parts import Parts, no_guesser
from voiceassist.app.live.replay import replayed
from voiceassist.app.mouth.floor import Duplex, Floor
from voiceassist.app.mouth.mouth import Mouth
from voiceassist.errors import DeviceError
from voiceassist.language.phrasebook import Phrasebook
from voiceassist.language.step import StepGrammar
from voiceassist.procedure.read import read_procedure
from voiceassist.record.lines import Line, SessionLine
from voiceassist.session.engine import Engine
from voiceassist.session.expect import of_step
from voiceassist.session.session import SessionSetup
from voiceassist.session.states import State
from voiceassist.sound.clip import Clip
from voiceassist.testing import CapturingVoice, CutPlayer, FixedTimeline, MemoryKeeper

FILES = resources.grammar_files("en")
LANGUAGE = languages.shipped()
BOOK = Phrasebook.load(FILES["sentences.toml"], LANGUAGE.say)
FAN = (Path(__file__).parents[2] / "procedures" / "heater-fan-module.yaml").read_text("utf-8")
EDGE = """
procedure: edge
title: a sharp edge
for: an invented vehicle
cautions:
  edge: {signal: CAUTION, hazard: the edge is sharp, avoid: wear gloves}
steps:
  one: {caution: edge, measure: voltage on the pin, accept: 4 V to 6 V, then: good, fail: bad}
findings:
  good: {cause: all is well, correction: nothing to do}
  bad: {cause: it is bad, correction: mend it}
"""
#: The same behind a step that waits.
WAITING = EDGE.replace(
    "  one:", "  cool: {wait: the box to cool, for: 20 s, why: it is hot}\n  one:"
)


class ScriptedEars:
    """Gives the script; SILENCE lets time pass up to the end of the wait."""

    def __init__(self, script: Iterable[str | NewsKind | Elapsed], timeline: FixedTimeline) -> None:
        self._script = iter(script)
        self._timeline = timeline
        self.waits: list[float | None] = []
        self.expected: list[StepGrammar] = []

    def expect(self, grammars: Iterable[StepGrammar]) -> None:
        self.expected = list(grammars)

    def listen(
        self, grammar: StepGrammar, until_s: float | None = None
    ) -> Utterance | Elapsed | News | None:
        self.waits.append(until_s)
        entry = next(self._script, None)
        if entry is None:
            return None
        if isinstance(entry, Elapsed):
            assert until_s is not None, "nobody waits for anything"
            self._timeline.advance(max(0.0, until_s - self._timeline.now_s()))
            return entry
        if isinstance(entry, NewsKind):
            return News(entry)
        self._timeline.advance(1.0)
        found, now_s = grammar.parse(entry), self._timeline.now_s()
        return Utterance(entry, found.meanings, found.reason, True, now_s - 1.0, now_s)

    def close(self) -> None:
        """Nothing is held."""


SILENCE = Elapsed()


class LoosePlayer(CutPlayer):
    """A loudspeaker that is away for some of the clips, counted from 0."""

    def __init__(self, away: range) -> None:
        super().__init__()
        self._away = away
        self._count = -1

    def play(self, clip: Clip) -> float:
        self._count += 1
        if self._count in self._away:
            raise DeviceError("the loudspeaker went away")
        return super().play(clip)


class Stage:
    """A session with a loudspeaker that is cut short after so many seconds, clip by clip."""

    def __init__(
        self,
        *script: str | NewsKind | Elapsed,
        heard_s: Iterable[float] = (),
        procedure: str = EDGE,
        away: range = range(0),
        tones: bool = False,
        guesser: LoadGuesser = no_guesser,
        called: bool = False,
    ) -> None:
        self.timeline = FixedTimeline()
        self.ears = ScriptedEars(script, self.timeline)
        self.keeper = MemoryKeeper()
        self.voice = CapturingVoice()
        self.player = LoosePlayer(away) if away else CutPlayer(heard_s)
        self.engine = Engine(SessionSetup(read_procedure(procedure, "it"), BOOK))
        self.floor = Floor(Duplex.FULL, 0.0, self.timeline.now_s)
        mouth = Mouth(
            self.voice, LANGUAGE.spoken, self.player, self.timeline, lambda _: None,
            floor=self.floor, tones=tones,
        )  # fmt: skip
        self.loop = Loop(
            Parts(
                engine=self.engine,
                language=LANGUAGE,
                ears=self.ears,
                mouth=mouth,
                keeper=self.keeper,
                timeline=self.timeline,
                show=lambda _: None,
                attended=True,
                guesser=guesser,
                called=called,
            )
        )
        self.opening = SessionLine.made(text="", facts={})
        self.keeper.keep([self.opening])
        self.loop.begin({})
        self.loop.run()
        # Whatever happened, the journal gives the same session back.
        back = replayed(self.engine, self.keeper.lines)
        assert back.session == self.loop.session
        assert back.unkept == ()

    def events(self, kind: str) -> list[Line]:
        return [line for line in self.keeper.lines if line["event"] == kind]

    def texts(self) -> list[str]:
        return [str(line["text"]) for line in self.keeper.lines if line.get("text")]

    def start_of(self, text: str) -> float:
        """Seconds from the beginning of the first turn to the sentence with ``text``."""
        (line,) = [li for li in self.keeper.lines if text in str(li.get("text"))][:1]
        return float(str(line["start_s"]))


def opening() -> Stage:
    return Stage()


# --- cutting in ---


def test_the_ears_are_told_what_is_listened_for_later() -> None:
    stage = Stage("affirm")
    steps = stage.engine.setup.procedure.steps.values()
    assert [each.expectation for each in stage.ears.expected] == [of_step(step) for step in steps]


def test_a_caution_cut_before_its_hazard_is_said_again_before_a_reading_counts() -> None:
    cut_s = opening().start_of("the edge is sharp") + 0.3
    stage = Stage("five volts", "five volts", heard_s=[cut_s])
    (cut,) = stage.events("interrupted")
    assert cut["unheard"] == ["edge"]
    assert cut["sentence"] == "CAUTION: the edge is sharp. Wear gloves."
    assert 0 < float(str(cut["fraction"])) < 0.5
    kinds = [line["event"] for line in stage.keeper.lines]
    first_heard = kinds.index("heard")
    assert kinds.index("interrupted") < first_heard
    assert "reading" not in kinds[: kinds.index("heard", first_heard + 1)]
    assert "caution" in kinds[first_heard:]
    assert len(stage.events("reading")) == 1


def test_a_caution_cut_after_its_hazard_was_told() -> None:
    """Only the advice behind it was cut."""
    sentence = "CAUTION: the edge is sharp."
    cut_s = opening().start_of("the edge is sharp") + 0.06 * len(sentence) + 0.1
    stage = Stage("five volts", heard_s=[cut_s])
    (cut,) = stage.events("interrupted")
    assert cut["unheard"] == []
    assert len(stage.events("reading")) == 1


def test_what_is_cut_before_a_caution_leaves_it_unheard() -> None:
    stage = Stage("five volts", heard_s=[0.5])
    (cut,) = stage.events("interrupted")
    assert cut["unheard"] == ["edge"]
    assert stage.events("reading") == []


def test_after_a_cough_we_go_on_where_we_were_cut() -> None:
    cut_s = opening().start_of("the edge is sharp") + 0.3
    stage = Stage(SILENCE, "five volts", heard_s=[cut_s])
    (cut,) = stage.events("interrupted")
    assert cut["went_on"] is True
    assert cut["unheard"] == []
    whole, again = stage.player.played[:2]
    assert again.seconds < whole.seconds
    assert len(stage.events("caution")) == 1  # said on, and not said to be anything new
    assert len(stage.events("reading")) == 1


def test_who_was_cut_by_a_cough_has_as_long_to_answer_as_anybody() -> None:
    """Silence counts from the last word, and that came after the cough."""
    stage = Stage(SILENCE, heard_s=[0.1])
    cough_s, answer_s = stage.ears.waits
    assert cough_s == pytest.approx(0.1 + 4.0, abs=0.5)
    assert answer_s == pytest.approx(stage.timeline.now_s() + 30, abs=0.01)


def test_a_timer_begins_when_its_step_was_told_to_its_end_in_spite_of_a_cough() -> None:
    stage = Stage(SILENCE, heard_s=[0.1], procedure=WAITING)
    assert stage.ears.waits[-1] == pytest.approx(stage.timeline.now_s() + 20, abs=0.01)


def test_a_timer_that_runs_is_not_begun_anew_when_a_later_answer_is_cut_by_a_cough() -> None:
    stage = Stage("why", SILENCE, heard_s=[99.0, 0.1], procedure=WAITING)
    timer_s = stage.ears.waits[0]
    assert timer_s is not None
    assert stage.ears.waits[-1] == timer_s
    assert stage.timeline.now_s() > timer_s - 20 + 4


def test_going_on_can_be_cut_again() -> None:
    cut_s = opening().start_of("the edge is sharp") + 0.3
    stage = Stage(SILENCE, "five volts", heard_s=[cut_s, 0.3])
    assert [line["unheard"] for line in stage.events("interrupted")] == [[], ["edge"]]
    assert stage.events("reading") == []


def test_who_cuts_himself_off_again_and_again_goes_on_by_turns() -> None:
    """With a loudspeaker in the room he hears himself, and would never be done."""
    stage = Stage(SILENCE, SILENCE, SILENCE, "five volts", heard_s=[0.5] * 3)
    assert [line["went_on"] for line in stage.events("interrupted")] == [True] * 3
    (told,) = stage.events("noise")
    assert str(told["text"]).startswith("I am cut off again and again")
    assert stage.floor.duplex is Duplex.HALF
    assert len(stage.events("reading")) == 1


def test_words_without_sense_that_cut_count_as_nothing() -> None:
    stage = Stage("gobbledygook", "gobbledygook", "gobbledygook", heard_s=[0.5] * 3)
    assert len(stage.events("noise")) == 1


def test_a_sensible_word_between_shows_that_he_is_well() -> None:
    stage = Stage(SILENCE, SILENCE, "why", SILENCE, SILENCE, "five volts", heard_s=[0.5] * 5)
    assert stage.events("noise") == []
    assert stage.floor.duplex is Duplex.FULL


def test_only_what_was_heard_is_kept_of_the_voice() -> None:
    stage = Stage("five volts", heard_s=[0.5])
    assert stage.loop.spoken[0].clip.seconds == pytest.approx(0.5, abs=0.01)


# --- talk to others ---

GUESSER = build.Components(build.settings({})).guesser
TO_A_MATE = "bob pass me the long nosed pliers"


def test_talk_to_others_is_kept_as_it_was_heard_and_nothing_is_played() -> None:
    alone, stage = Stage(guesser=GUESSER, tones=True), Stage(TO_A_MATE, guesser=GUESSER, tones=True)
    (heard,) = stage.events("heard")
    assert (heard["words"], heard["let_pass"]) == (TO_A_MATE, True)
    assert len(stage.player.played) == len(alone.player.played)


def test_what_follows_a_name_or_a_key_is_for_the_assistant() -> None:
    stage = Stage(TO_A_MATE, guesser=GUESSER, called=True)
    assert "I did not understand" in stage.texts()[-1]


def test_a_caution_that_talk_to_others_cut_off_is_spoken_to_its_end() -> None:
    stage = Stage(TO_A_MATE, "five volts", heard_s=[0.5], guesser=GUESSER)
    (cut,) = stage.events("interrupted")
    assert (cut["went_on"], cut["unheard"]) == (True, [])
    assert len(stage.events("reading")) == 1


# --- a loudspeaker that goes away ---


def test_a_caution_that_the_loudspeaker_swallowed_is_said_again() -> None:
    stage = Stage("five volts", "five volts", away=range(1))
    (cut,) = stage.events("interrupted")
    assert cut["unheard"] == ["edge"]
    kinds = [line["event"] for line in stage.keeper.lines]
    assert "caution" in kinds[kinds.index("heard") :]
    assert len(stage.events("reading")) == 1


def test_nobody_has_to_wait_for_a_loudspeaker_that_stays_away() -> None:
    """What is said the second time stands in the text, and the work goes on."""
    stage = Stage(SILENCE, "five volts", away=range(99))
    (cut,) = stage.events("interrupted")
    assert (cut["went_on"], cut["unheard"]) == (True, [])
    assert len(stage.events("reading")) == 1


def test_with_a_headset_that_was_pulled_out_we_go_on_when_it_is_back() -> None:
    stage = Stage(NewsKind.LOST, NewsKind.BACK, SILENCE, "five volts", away=range(2))
    assert stage.ears.waits[1] is None  # nothing is said to the deaf
    kinds = [(line["event"], line.get("state"), line.get("went_on")) for line in stage.keeper.lines]
    back = kinds.index(("device", "back", None))
    assert ("interrupted", None, True) in kinds[back:]
    assert ("interrupted", None, True) not in kinds[:back]
    assert len(stage.player.played) >= 3  # that it is back, the caution, the answer
    assert len(stage.events("reading")) == 1


# --- silence ---


def test_silence_is_answered_once_and_then_by_silence() -> None:
    stage = Stage(SILENCE, NewsKind.NOISY)
    assert len(stage.events("no-reply")) == 1
    assert stage.texts().count("Whenever you are ready. Measure the voltage on the pin.") == 1
    assert stage.ears.waits[-1] is None  # nothing more is waited for


def test_nobody_is_reminded_while_standing_by() -> None:
    stage = Stage("stand by", "why", "five volts", "go ahead", "five volts")
    assert stage.ears.waits[1:4] == [None, None, None]
    assert stage.events("no-reply") == []
    assert [line["words"] for line in stage.events("heard")][-1] == "five volts"
    assert len(stage.events("reading")) == 1


def test_silence_is_counted_from_the_end_of_what_was_spoken() -> None:
    stage = Stage()
    last_word_s = max(float(str(line["end_s"])) for line in stage.keeper.lines if "end_s" in line)
    assert stage.ears.waits[0] == pytest.approx(last_word_s + 30, abs=1.0)


# --- the ears ---


def test_a_microphone_that_goes_away_is_told_of_and_waited_for() -> None:
    stage = Stage(NewsKind.LOST, NewsKind.BACK, "five volts")
    lost, back = stage.events("device")
    assert (lost["state"], back["state"]) == ("lost", "back")
    assert str(lost["text"]).startswith("The microphone went away.")
    assert str(back["text"]).startswith("The microphone is back. Measure the voltage")
    assert stage.ears.waits[1] is None  # nobody can answer meanwhile
    assert stage.ears.waits[2] is not None
    assert len(stage.events("reading")) == 1


def test_a_timer_runs_on_while_the_microphone_is_away() -> None:
    text = EDGE.replace("  one:", "  cool: {wait: the box to cool, for: 60 s}\n  one:")
    stage = Stage(NewsKind.LOST, SILENCE, NewsKind.BACK, "five volts", procedure=text)
    assert len(stage.events("time-up")) == 1
    assert len(stage.events("reading")) == 1


def test_noise_is_told_of_at_times_and_kept_each_time() -> None:
    stage = Stage(NewsKind.NOISY, NewsKind.NOISY, NewsKind.OVERFLOW, "five volts")
    assert [bool(line["text"]) for line in stage.events("noise")] == [True, False]
    (overflow,) = stage.events("overflow")
    assert "Say the last thing again" in str(overflow["text"])
    assert len(stage.events("reading")) == 1


def test_who_was_told_of_noise_has_as_long_to_answer_as_anybody() -> None:
    stage = Stage(NewsKind.NOISY)
    assert stage.ears.waits[-1] == pytest.approx(stage.timeline.now_s() + 30, abs=0.01)


def test_noise_that_is_not_spoken_of_puts_nothing_off() -> None:
    stage = Stage(NewsKind.NOISY, NewsKind.NOISY)
    assert stage.ears.waits[1] == stage.ears.waits[2] is not None


def test_noise_is_not_spoken_of_while_standing_by() -> None:
    stage = Stage("stand by", NewsKind.NOISY)
    (noise,) = stage.events("noise")
    assert noise["text"] == ""
    assert stage.loop.session.state is State.STAND_BY


def test_a_whole_job_that_is_cut_everywhere_comes_to_the_same_end() -> None:
    """Every turn is cut after a second; what has to be said again is said again."""
    said = ["affirm", "affirm", "done", "twelve point six volts"] * 3
    stage = Stage(*said, heard_s=[1.0] * 4, procedure=FAN)
    assert [line["step"] for line in stage.events("reading")][:1] == ["battery"]
    acknowledged = stage.events("acknowledged")
    assert acknowledged

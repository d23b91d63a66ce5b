"""What is said too soon: the same value once more, or one that cannot have settled."""

from collections.abc import Iterable

import languages
import pytest

from voiceassist import resources
from voiceassist.app.ears.base import Utterance
from voiceassist.app.live.loop import Loop
from voiceassist.app.live.parts import Parts
from voiceassist.app.live.replay import replayed
from voiceassist.app.mouth.floor import Duplex, Floor
from voiceassist.app.mouth.mouth import Mouth
from voiceassist.language.phrasebook import Phrasebook
from voiceassist.language.step import StepGrammar
from voiceassist.procedure.read import read_procedure
from voiceassist.record.lines import SessionLine
from voiceassist.session.engine import Engine
from voiceassist.session.session import SessionSetup
from voiceassist.testing import CapturingVoice, CutPlayer, FixedTimeline, MemoryKeeper

LANGUAGE = languages.shipped()
SENTENCES = resources.grammar_files("en")["sentences.toml"]
PINS = """
procedure: pins
title: three pins
for: an invented vehicle
conditions:
  key: {off: key off, run: key to run}
steps:
  one: {measure: voltage at pin one, accept: at least 12 V, fail: bad}
  two: {measure: voltage at pin two, accept: at least 12 V, fail: bad}
  three: {needs: {key: run}, measure: voltage at pin three, accept: at least 12 V, fail: bad}
  lit: {lamp: at pin one, fail: bad}
  lit-too: {lamp: at pin two, fail: bad}
  hums: {ask: does it hum, answers: {yes: turns, no: bad}}
  turns: {ask: does it turn, answers: {yes: good, no: bad}}
findings:
  good: {cause: all is well, correction: nothing to do}
  bad: {cause: it is bad, correction: mend it}
"""
ONE, THREE = ((9.0, "12.5"),), ((9.0, "12.4"), (9.0, "12.5"), (9.0, "12.6"))


def _unheard(_: object) -> None:
    """Nobody looks on."""


class Saying:
    """Gives each line so many seconds after the last answer, typed or spoken."""

    def __init__(self, said: Iterable[tuple[float, str]], timeline: FixedTimeline) -> None:
        self._said, self._timeline = iter(said), timeline

    def expect(self, grammars: Iterable[StepGrammar]) -> None:
        """Nothing is made ready."""

    def listen(self, grammar: StepGrammar, until_s: float | None = None) -> Utterance | None:
        pause_s, words = next(self._said, (0.0, ""))
        self._timeline.advance(pause_s)
        found, now_s = grammar.parse(words), self._timeline.now_s()
        heard = Utterance(words, found.meanings, found.reason, True, now_s, now_s)
        return heard if words else None

    def close(self) -> None:
        """Nothing is held."""


class Job:
    """What comes of what a person says, each after its pause; cut in after so many seconds."""

    def __init__(
        self,
        *said: tuple[float, str],
        paced: bool = True,
        heard_s: Iterable[float] = (),
        procedure: str = PINS,
    ) -> None:
        timeline, self.keeper = FixedTimeline(), MemoryKeeper()
        engine = Engine(
            SessionSetup(read_procedure(procedure, "it"), Phrasebook.load(SENTENCES, LANGUAGE.say))
        )
        floor = Floor(Duplex.FULL, 0.0, timeline.now_s)
        mouth = Mouth(
            CapturingVoice(), LANGUAGE.spoken, CutPlayer(heard_s), timeline, _unheard, floor=floor
        )
        ears = Saying(said, timeline)
        loop = Loop(
            Parts(engine, LANGUAGE, ears, mouth, self.keeper, timeline, _unheard, paced=paced)
        )
        self.keeper.keep([SessionLine.made(text="", facts={})])
        loop.begin({})
        loop.run()
        self.session = loop.session
        assert replayed(engine, self.keeper.lines).session == loop.session

    @property
    def read(self) -> list[tuple[str, str]]:
        return [(result.step, result.shown) for result in self.session.ledger]

    @property
    def answer(self) -> str:
        """What was said last."""
        return [str(line["text"]) for line in self.keeper.lines if line.get("text")][-1]


@pytest.mark.parametrize("again", ["12.5", "twelve point five volts", "12.5 V", "it is 12.5"])
def test_a_reading_that_is_said_again_at_once_is_not_that_of_the_next_pin(again: str) -> None:
    job = Job(*ONE, (1.0, again))
    assert job.read == [("one", "12.5 V")]
    assert job.answer == "I have 12.5 V for one already. Say two when you are there."


def test_who_cuts_in_with_the_same_reading_only_says_it_again() -> None:
    job = Job(*ONE, (0.0, "12.5"), heard_s=[9.0, 0.5])
    assert job.read == [("one", "12.5 V")]


def test_the_same_reading_counts_once_the_leads_can_have_been_moved() -> None:
    assert Job(*ONE, (4.0, "12.5")).read == [("one", "12.5 V"), ("two", "12.5 V")]


def test_another_reading_counts_at_once() -> None:
    assert Job(*ONE, (1.0, "12.4")).read == [("one", "12.5 V"), ("two", "12.4 V")]


def test_who_says_it_once_more_after_he_was_told_means_it() -> None:
    job = Job(*ONE, (1.0, "12.5"), (1.0, "12.5"))
    assert job.read == [("one", "12.5 V"), ("two", "12.5 V")]


def test_same_as_before_counts_at_once() -> None:
    assert Job(*ONE, (1.0, "same again")).read == [("one", "12.5 V"), ("two", "12.5 V")]


def test_where_something_is_to_be_changed_first_the_same_reading_is_too_soon_for_longer() -> None:
    two = ((9.0, "12.4"), (9.0, "12.5"))
    assert len(Job(*two, (4.0, "12.5")).read) == 2
    assert len(Job(*two, (7.0, "12.5")).read) == 3


def test_a_change_that_is_told_as_made_ends_what_could_be_a_repetition() -> None:
    assert len(Job((9.0, "12.4"), (9.0, "12.5"), (1.0, "done"), (1.0, "12.5")).read) == 3


def test_a_lamp_that_is_told_again_at_once_is_not_that_of_the_next_pin() -> None:
    job = Job(*THREE, (9.0, "bright"), (1.0, "bright"))
    assert job.read[-1] == ("lit", "bright")
    assert job.answer == "I have bright for lit already. Say lit too when you are there."
    assert Job(*THREE, (9.0, "bright"), (4.0, "bright")).read[-1] == ("lit-too", "bright")


def test_a_question_is_answered_as_soon_as_one_likes() -> None:
    job = Job(*THREE, (9.0, "bright"), (9.0, "bright"), (9.0, "yes"), (0.5, "yes"))
    assert job.session.finding == "good"


def test_lines_of_a_file_tell_nothing_by_their_time() -> None:
    assert len(Job(*ONE, (0.0, "12.5"), paced=False).read) == 2


# --- what takes a while to settle ---

IDLE = """
procedure: idle
title: charging
for: an invented vehicle
conditions:
  engine: {off: engine off, idle: start the engine}
steps:
  posts: {measure: voltage across the posts, accept: at least 12 V, fail: bad}
  charging:
    needs: {engine: idle}
    measure: voltage across the posts, after two minutes at idle
    settles: 2 min
    accept: at least 13.5 V
    fail: bad
    then: good
findings:
  good: {cause: all is well, correction: nothing to do}
  bad: {cause: it is bad, correction: mend it}
"""
REST = (9.0, "12.5")


def test_a_value_that_fails_long_before_it_has_settled_is_asked_about() -> None:
    job = Job(REST, (20.0, "12.9"), procedure=IDLE)
    assert job.read == [("posts", "12.5 V")]
    assert job.answer == (
        "12.9 V, after 2 minutes already? Say affirm reading, or say the value then."
    )


def test_the_value_that_is_read_when_it_has_settled_counts_in_its_place() -> None:
    job = Job(REST, (20.0, "12.9"), (100.0, "14.2"), procedure=IDLE)
    assert job.read == [("posts", "12.5 V"), ("charging", "14.2 V")]
    assert job.session.finding == "good"


def test_so_does_the_same_value_or_the_word_that_affirms_it() -> None:
    for word in ("12.9", "affirm reading"):
        job = Job(REST, (20.0, "12.9"), (100.0, word), procedure=IDLE)
        assert job.session.finding == "bad"


def test_a_value_that_comes_late_enough_or_passes_is_not_asked_about() -> None:
    assert Job(REST, (70.0, "12.9"), procedure=IDLE).session.finding == "bad"
    assert Job(REST, (20.0, "14.2"), procedure=IDLE).session.finding == "good"


def test_the_time_runs_from_when_the_engine_is_told_to_run() -> None:
    said = (REST, (100.0, "engine's running"), (20.0, "12.9"))
    assert Job(*said, procedure=IDLE).session.finding == ""


def test_questions_and_lines_of_a_file_change_nothing_in_that() -> None:
    asked = Job(REST, (50.0, "what is the limit"), (20.0, "12.9"), procedure=IDLE)
    assert asked.session.finding == "bad"
    assert Job(REST, (0.0, "12.9"), paced=False, procedure=IDLE).session.finding == "bad"

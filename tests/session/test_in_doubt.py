"""One who cannot tell, or says that it comes and goes: on where the step says, else look again."""

import pytest
from bench import Bench, amps, small, volts

from voiceassist.language.meanings import Answer
from voiceassist.session.states import State

STEPS = """
sounds:
  ask: does the horn sound
  answers: {yes: good, no: feed}
  not-sure: current
  comes-and-goes: wiggle
feed: {lamp: at the feed, fail: bad, not-sure: current, then: bad}
current: {measure: current of the horn, accept: 2 A to 6 A, fail: bad, then: good}
wiggle:
  measure: voltage at the horn
  accept: at least 11 V
  low: bad
  comes-and-goes: bad
  then: good
"""
NO_WAY = """
sounds: {ask: does the horn sound, answers: {yes: good, no: feed}}
feed: {lamp: at the feed, fail: bad}
output: {measure: voltage at the horn, accept: at least 11 V, low: bad, then: good}
"""


def at_lamp() -> Bench:
    return small(STEPS).after("negative")


def test_one_who_is_not_sure_goes_another_way() -> None:
    bench = small(STEPS).after("not-sure")
    assert bench.step == "current"
    assert bench.texts().startswith("Not sure.")
    (result,) = bench.session.ledger
    assert (result.outcome, result.passed, result.shown) == ("not-sure", False, "not sure")


def test_what_comes_and_goes_has_a_way_of_its_own_at_a_reading_too() -> None:
    bench = small(STEPS).after("comes-and-goes")
    assert bench.step == "wiggle"
    bench.say("comes-and-goes")
    assert bench.session.finding == "bad"


def test_a_lamp_that_one_is_not_sure_of_leads_on() -> None:
    assert at_lamp().after("not-sure").step == "current"


@pytest.mark.parametrize("steps", [(), ("negative", "bright")])
def test_without_a_way_of_its_own_one_is_asked_to_look_again(steps: tuple[str, ...]) -> None:
    bench = small(NO_WAY).after(*steps)
    stood = bench.step
    bench.say("not-sure")
    assert bench.texts().startswith("Look again when you can.")
    bench.say("comes-and-goes")
    assert bench.texts().startswith("Say what it shows while the fault is there.")
    assert bench.step == stood
    assert bench.session.latest(stood) is None


def test_a_test_lamp_that_comes_and_goes_flickers() -> None:
    bench = small(NO_WAY).after("negative", "comes-and-goes")
    assert [r.outcome for r in bench.session.ledger] == ["negative", "flickering"]
    assert bench.session.finding == "bad"


def test_one_who_is_not_sure_of_a_lamp_is_asked_to_look_again() -> None:
    bench = small(NO_WAY).after("negative", "not-sure")
    assert bench.texts().startswith("Look again when you can.")
    assert bench.step == "feed"


def test_it_is_taken_without_a_question_but_not_when_the_words_are_in_doubt() -> None:
    bench = small(STEPS)
    bench.certain = False
    assert bench.after("not-sure").step == "current"


def test_a_doubtful_answer_can_be_gone_back_over_and_be_corrected() -> None:
    bench = small(STEPS).after("not-sure", "go-back")
    assert (bench.step, bench.state) == ("sounds", State.ASK)
    bench.say("negative")
    assert bench.step == "feed"


def test_a_corrected_reading_follows_the_doubtful_answers_again() -> None:
    steps = "first: {measure: voltage of the battery, accept: at least 12 V, low: bad}\n" + STEPS
    bench = small(steps).after(volts("12.5"), "not-sure")
    assert bench.step == "current"
    bench.say("revise", Answer("first"), volts("12.7"))
    assert (bench.step, bench.session.ledger[-1].outcome) == ("current", "not-sure")


def test_a_proof_does_not_stand_on_a_doubtful_answer() -> None:
    more = """
findings:
  good: {cause: all is well, correction: nothing}
  bad: {cause: the horn is bad, correction: change it, condemns: horn, proved-by: {feed: feed}}
"""
    bench = small(STEPS, more=more).after("negative", "not-sure")
    bench.say(amps("9"))
    assert "is not condemned before this is proved: feed" in bench.texts()
    assert bench.step == "feed"


def test_a_question_that_alone_decides_is_skipped_the_way_of_one_who_is_not_sure() -> None:
    both = STEPS.replace("{yes: good, no: feed}", "{yes: wiggle, no: feed}")
    bench = small(both).after("skip", Answer("no-tool"))
    assert bench.step == "current"

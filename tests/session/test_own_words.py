"""Verdicts in a step's own words, limits by the end that matters, and a job that is taken up."""

import pytest
from bench import METER, Bench, amps, small, volts
from lines import Lines

from voiceassist.session.events import Returned
from voiceassist.session.expect import expectation
from voiceassist.session.states import State

FUSE = """
draw: {measure: current beside it with the clamp, unit: A}
without:
  measure: current with the clamp, without the fuse
  accept: at least 0.5 * draw
  says: {pass: 'no change, so not this fuse', low: 'it dropped, so it is behind this fuse'}
  low: bad
  then: lamp
lamp: {lamp: on the pin, says: {pass: it has its feed, fail: it has no feed}, fail: bad, then: ask}
ask:
  ask: does it hum
  says: {yes: then it lives}
  answers: {yes: good, no: bad}
"""


def test_a_comparison_is_told_as_a_comparison_and_not_as_good_or_bad() -> None:
    bench = small(FUSE).after(amps("0.40"), amps("0.40"))
    assert "No change, so not this fuse." in bench.texts()
    assert "good" not in bench.texts().lower()
    bench = small(FUSE).after(amps("0.40"), amps("0.03"))
    assert "It dropped, so it is behind this fuse." in bench.texts()
    assert "too low" not in bench.texts()


def test_by_voice_the_comparison_is_asked_about_in_its_own_words() -> None:
    bench = small(FUSE, certain=False).after(amps("0.40"), amps("0.03"))
    assert bench.state is State.CONFIRM
    assert "0.03 A? It dropped, so it is behind this fuse. Say" in bench.texts()


def test_a_lamp_and_an_answer_have_words_of_their_own_too() -> None:
    bench = small(FUSE).after(amps("0.40"), amps("0.40"), "bright")
    assert "It has its feed." in bench.texts()
    assert "Then it lives." in bench.after("affirm").texts()
    bench = small(FUSE).after(amps("0.40"), amps("0.40"), "off")
    assert "It has no feed." in bench.texts()


@pytest.mark.parametrize(("value", "end"), [("12.001", "12 V"), ("12.899", "12.9 V")])
def test_too_close_names_the_end_of_the_limit(value: str, end: str) -> None:
    bench = Bench(meter=METER).to("battery").after(volts(value))
    assert f"That is too close to {end} to tell" in bench.texts()


def test_what_a_lamp_should_show_is_no_limit(typed: Bench) -> None:
    typed.to("feed-lamp").say("limit")
    assert "It should be bright." in typed.texts()


def test_a_job_that_is_taken_up_tells_step_last_value_and_what_is_not_as_at_first() -> None:
    bench = Lines("heater-fan-module").walk(
        "feed-lamp", battery="twelve point six volts", feed="twelve point five volts"
    )
    assert "Why skip" in bench.type("skip")
    bench.give(Returned(away_s=60.0))
    said = bench.texts()
    assert bench.state is State.LAMP
    assert f"{bench.engine.setup.procedure.title}: feed lamp." in said
    assert "Last, feed: 12.5 V." in said
    assert "the module plug is out" in said
    assert "Why skip" not in said


def test_the_place_of_a_test_point_is_told_again_when_a_job_is_taken_up(typed: Bench) -> None:
    typed.to("feed")
    assert "feed pin: pin one" not in typed.after("repeat", "why").texts().lower()
    typed.give(Returned(away_s=60.0))
    assert "pin one" in typed.texts()


BELT = """
belt:
  caution: blades
  ask: is the belt tight
  answers:
    yes: {say: [belt is good], go: good}
    no: {say: [belt is slack], go: bad}
    maybe: {say: [hard to say], go: bad}
"""


def test_a_caution_is_not_acknowledged_in_the_words_that_answer_the_question_after_it() -> None:
    bench = small(BELT)
    assert bench.state is State.CAUTION
    names = [c.name for c in expectation(bench.engine.setup, bench.session).choices]
    assert names == ["maybe"]
    bench.say("affirm")
    own = {c.name: c.phrases for c in expectation(bench.engine.setup, bench.session).choices}
    assert own["affirm"] == ("belt is good",)
    assert own["negative"] == ("belt is slack",)

"""A wait that was broken comes again before what relies on it is read."""

import pytest
from bench import small, volts
from lines import Lines

from voiceassist.session.events import TimeUp
from voiceassist.session.states import State

DRAW = {
    "hybrid": "no",
    "battery": "twelve point five volts",
    "minus_joint": "point zero five volts",
    "rough_draw": "point four amps",
    "draw": "four hundred milliamps",
    "without_one": "four hundred milliamps",
}


def at_draw() -> Lines:
    return Lines("key-off-draw").walk("draw", **DRAW)


def brought_about(said: str, bench: Lines) -> str:
    """What was said once all that was asked for is done."""
    while bench.state in {State.CONDITION, State.CAUTION}:
        said = bench.type("done" if bench.state is State.CONDITION else "affirm")
    return said


def test_an_open_ammeter_link_has_the_modules_sleep_again() -> None:
    bench = at_draw()
    bench.type("zero point zero milliamps")
    assert bench.state is State.FORGOTTEN
    bench.type("no", "done")
    assert (bench.step, bench.state) == ("sleep", State.WAIT)
    assert "wait again" in bench.texts()
    bench.sleep()
    assert (bench.step, bench.state) == ("draw", State.MEASURE)
    bench.type("thirty milliamps")
    assert bench.session.finding == "no-fault"


def test_what_is_not_known_to_hold_after_a_pause_is_waited_for_again() -> None:
    bench = at_draw()
    bench.type("stand by")
    bench.hear(*bench.meanings("go ahead"), at_s=900.0)
    assert bench.state is State.STILL
    assert brought_about(bench.type("no"), bench)
    assert (bench.step, bench.state) == ("sleep", State.WAIT)


def test_the_wait_comes_again_before_the_very_step_at_hand() -> None:
    bench = Lines("key-off-draw").walk("without-two", **DRAW)
    bench.session = bench.session.without_condition("ammeter")
    bench.type("say again", "go back")
    while bench.state is State.CONDITION:
        bench.type("done")
    assert (bench.step, bench.state) == ("sleep", State.WAIT)
    assert bench.session.returning == "without-one"
    bench.type("skip")
    assert bench.step == "without-one"


def test_pulling_a_fuse_breaks_no_wait() -> None:
    bench = Lines("key-off-draw").walk("without-two", **DRAW)
    assert bench.state is not State.WAIT
    assert not any(wait.broken for wait in bench.session.waits)


OWN = """
first: {needs: {key: off, plug: in}, wait: it to cool, for: 10 min, VOIDED then: read}
read: {needs: {key: off, plug: in}, measure: voltage of it, accept: at most 9 V, fail: moved}
moved: {needs: {plug: out}, do: look into it, then: again}
again: {needs: {key: off, plug: in}, measure: voltage once more, accept: at most 9 V, fail: bad}
last: {do: rest, then: good}
"""


@pytest.mark.parametrize(
    ("voided", "step"),
    [("", "first"), ("voided-by: [plug],", "first"), ("voided-by: [key],", "again")],
)
def test_a_wait_is_broken_by_its_own_conditions_or_by_those_it_names(
    voided: str, step: str
) -> None:
    bench = small(OWN.replace("VOIDED", voided)).after("done")
    bench.give(TimeUp())
    bench.say(volts("12"), "done", "done")
    if bench.state is State.CONDITION:
        bench.say("done")
    assert bench.step == step


EARLIER = """
repairs:
  clean: {do: clean the pin, sets: {plug: out}}
findings:
  good: {cause: all is well, correction: nothing to do}
  bad: {cause: it is dirty, correction: clean it, repair: [clean], prove-with: [PROOF]}
"""


@pytest.mark.parametrize(("proof", "state"), [("before", State.MEASURE), ("after", State.WAIT)])
def test_only_what_comes_after_a_wait_relies_on_it(proof: str, state: State) -> None:
    bench = small(
        """
        before: {needs: {plug: in}, measure: voltage of it, unit: V}
        first: {needs: {plug: in}, wait: it to cool, for: 10 min}
        after: {needs: {plug: in}, measure: the same, accept: at most 9 V, fail: bad, then: good}
        """,
        more=EARLIER.replace("PROOF", proof),
    ).after("done", volts("1"))
    bench.give(TimeUp())
    bench.say(volts("12"), "affirm", "done", "done")
    assert bench.state is state


@pytest.mark.parametrize(
    ("plug", "minutes", "state"),
    [("in", 10, State.MEASURE), ("in", 2, State.WAIT), ("out", 10, State.WAIT)],
)
def test_a_wait_as_long_in_the_same_states_makes_good_one_that_was_broken(
    plug: str, minutes: int, state: State
) -> None:
    bench = small(f"""
        first: {{needs: {{plug: in}}, wait: it to cool, for: 5 min}}
        moved: {{needs: {{plug: out}}, do: look into it}}
        second: {{needs: {{plug: {plug}}}, wait: it to cool, for: {minutes} min}}
        read: {{needs: {{plug: in}}, measure: voltage of it, accept: at most 9 V, fail: bad,
          then: good}}
    """)
    for step in ("first", "second"):
        while bench.state is not State.WAIT:
            bench.say("done")
        assert bench.step == step
        bench.give(TimeUp())
    while bench.state is State.CONDITION:
        bench.say("done")
    assert bench.step == ("read" if state is State.MEASURE else "first")
    assert bench.state is state


def test_a_correction_after_a_wait_that_came_again_leads_to_the_same_place() -> None:
    bench = at_draw()
    bench.type("zero point zero milliamps", "no", "done")
    bench.sleep()
    bench.type("four hundred milliamps")
    bench.walk("without-one", **DRAW)
    place = bench.step
    bench.type("change a reading", "draw", "three hundred fifty milliamps")
    assert bench.step == place
    assert bench.counting["draw"] == "350 mA"


@pytest.mark.parametrize("said", ["i'm back", "right i am back", "let's carry on", "back with you"])
def test_somebody_who_is_back_says_so_in_his_own_words(said: str) -> None:
    bench = Lines("heater-fan-module")
    bench.type("affirm")
    bench.type("hang on")
    assert bench.state is State.STAND_BY
    bench.type("did you see the match")
    assert bench.state is State.STAND_BY
    bench.type(said)
    assert bench.state is not State.STAND_BY


@pytest.mark.parametrize(
    "said",
    ["right, i'm back, twelve point five", "go ahead, it's 12.5", "back again, i've got 12.5"],
)
def test_a_value_told_by_one_who_is_back_is_taken(said: str) -> None:
    bench = Lines("heater-fan-module").walk("feed", battery="twelve point six")
    bench.type("stand by", said)
    assert bench.counting["feed"] == "12.5 V"
    assert bench.step == "feed-lamp"


def test_after_a_long_pause_the_vehicle_is_asked_about_before_that_value_counts() -> None:
    bench = Lines("heater-fan-module").walk("feed", battery="twelve point six")
    bench.type("done", "stand by")
    said = "i'm back, it's twelve point five"
    bench.hear(*bench.meanings(said), words=said, at_s=900.0)
    assert bench.state is State.STILL
    assert "feed" not in bench.counting


def test_a_bare_value_while_it_stands_by_is_taken_with_go_ahead() -> None:
    bench = Lines("heater-fan-module").walk("feed", battery="twelve point six")
    bench.type("stand by")
    told = bench.type("twelve point five")
    assert told == "Standing by. To take 12.5 V and go on, say go ahead."
    assert bench.state is State.STAND_BY
    assert "feed" not in bench.counting
    bench.type("go ahead")
    assert bench.counting["feed"] == "12.5 V"


def test_a_value_told_while_it_stood_by_for_long_is_measured_again() -> None:
    bench = Lines("heater-fan-module").walk("feed", battery="twelve point six")
    bench.type("stand by", "twelve point five")
    bench.hear(*bench.meanings("go ahead"), words="go ahead", at_s=900.0)
    assert "feed" not in bench.counting


@pytest.mark.parametrize(
    "said",
    [
        "ok i'm back, go ahead",
        "back, carry on",
        "right, i've got the meter now",
        "okay i've got it, go on",
        "go ahead, i'm ready",
        "what now",
    ],
)
def test_who_is_back_in_his_own_words_is_listened_to_again(said: str) -> None:
    bench = Lines("heater-fan-module").walk("feed", battery="twelve point six")
    bench.type("hang on, let me grab the meter", said)
    assert bench.state is State.MEASURE
    bench.type("twelve point five")
    assert bench.counting["feed"] == "12.5 V"


def test_what_now_behind_danger_tells_again_what_is_to_be_done() -> None:
    bench = Lines("heater-fan-module").walk("feed", battery="twelve point six")
    cried = bench.type("it's smoking")
    assert bench.state is State.STAND_BY
    assert bench.type("what now") in cried
    assert bench.state is State.STAND_BY


def test_a_value_after_danger_comes_behind_its_caution() -> None:
    bench = Lines("heater-fan-module").walk("feed", battery="twelve point six")
    bench.type("it's smoking", "i'm back, it's twelve point five")
    assert bench.state is State.CAUTION
    assert "feed" not in bench.counting

"""What must hold when corrections, pauses, skips and proofs come together."""

import pytest
from bench import METER, Bench, amps, small, volts

from voiceassist.language.meanings import Answer, Command, Correction, OverRange, Reading, Spread
from voiceassist.measure.units import unit
from voiceassist.session.events import Returned, TimeUp
from voiceassist.session.outputs import (
    CautionSpoken,
    ConditionChange,
    Ended,
    FindingReached,
    FindingWithdrawn,
    ReadingTaken,
    StepDone,
    Summary,
    VerdictGiven,
    Withdrawn,
)
from voiceassist.session.states import State

PLAIN = """
findings:
  good: {cause: all is well, correction: nothing to do}
  bad: {cause: it is bad, correction: mend it}
"""


def outcome(bench: Bench) -> str:
    (ended,) = [o for o in bench.closed().outputs if isinstance(o, Ended)]
    return ended.outcome


# --- questions that prove something ---

ASKED = """
feed: {measure: voltage on the feed, accept: at least 11 V, fail: part, then: good}
turns:
  ask: does it turn freely
  accept: yes
  answers: {yes: good, no: bad}
"""
WITH_PART = """
repairs:
  change: {do: change the part}
findings:
  good: {cause: all is well, correction: nothing to do}
  bad: {cause: it drags, correction: free it}
  part:
    cause: the part is dead
    correction: change the part
    condemns: part
    proved-by: {load: turns}
    before-fitting: [turns]
    repair: [change]
    prove-with: [turns]
"""


def test_no_to_a_question_before_fitting_saves_the_part() -> None:
    bench = small(ASKED, more=WITH_PART).after(volts("3"), "negative")
    assert bench.session.finding == "bad"


def test_no_to_a_question_of_the_proof_does_not_prove() -> None:
    bench = small(ASKED, more=WITH_PART).after(volts("3"), "affirm", "affirm", "done", "negative")
    assert bench.state is State.RETRY
    assert outcome(bench.after("finish", "affirm")) == "not-proved"


def test_a_part_that_is_not_proved_is_only_suspected() -> None:
    bench = small(ASKED, more=WITH_PART).after(volts("3"))
    assert not [o for o in bench.outputs if isinstance(o, FindingReached)]
    assert "It may be that the part is dead" in bench.texts()
    bench.say("affirm")
    assert [o.name for o in bench.outputs if isinstance(o, FindingReached)] == ["part"]


def test_a_suspicion_is_reported_as_one() -> None:
    bench = small(ASKED, more=WITH_PART).after(volts("3"), "finish", "affirm")
    (told,) = [o for o in bench.closed().outputs if isinstance(o, Summary)]
    assert told.cause == "Suspected, not proved: the part is dead."


# --- over range ---

INSULATION = """
wire: {measure: resistance of the wire to earth, accept: at least 100 kΩ, fail: bad, then: good}
"""


def test_over_range_passes_where_the_limit_has_no_upper_end() -> None:
    bench = small(INSULATION).after("affirm", OverRange())
    assert bench.state is State.CONFIRM
    assert "highest range" in bench.texts()
    assert bench.after("affirm reading").session.finding == "good"


# --- conditions ---

SWITCHED = """
feed:
  needs: {fan: high}
  measure: voltage on the pin
  accept: at least 11 V
  if-forgotten: {fan: at most 0.5 V}
  fail: bad
coil: {needs: {fan: low}, measure: current of the coil, accept: at most 1 A, fail: bad, then: good}
"""


def test_after_a_correction_the_vehicle_is_known_as_it_has_become() -> None:
    bench = small(SWITCHED).after("done", volts("12"), "done")
    assert bench.step == "coil"
    bench.say("revise", Answer("feed"), volts("0.2"), "negative", "done", volts("12.4"))
    assert bench.step == "coil"
    assert bench.changing  # the fan was set high again meanwhile
    assert bench.session.condition("fan") == "high"
    bench.say("done")
    assert bench.session.condition("fan") == "low"


def test_going_back_from_a_correction_keeps_what_was_done_to_the_vehicle() -> None:
    bench = small(SWITCHED).after("done", volts("12"), "done")
    bench.say("revise", Answer("feed"), volts("0.2"), "negative", "done", "go-back")
    assert (bench.step, bench.changing) == ("coil", True)


BY_STATE = """
air: {measure: voltage of the lamp, unit: V}
rest:
  needs: {fan: low}
  measure: voltage on the pin
  accept: {by: fan, table: {low: 12 V to 13 V, high: 13.5 V to 15 V}}
  fail: bad
charge:
  needs: {fan: high}
  measure: voltage on the pin
  accept: {by: fan, table: {low: 12 V to 13 V, high: 13.5 V to 15 V}}
  fail: bad
last: {measure: voltage at the end, unit: V, then: good}
"""


def test_a_reading_is_judged_again_by_the_state_it_was_taken_in() -> None:
    bench = small(BY_STATE).after(volts("1"), "done", volts("12.5"), "done", volts("14"))
    bench.say("revise", Answer("air"), volts("2"))
    assert (bench.step, bench.session.finding) == ("last", "")
    bench.say("revise", Answer("rest"), volts("12.6"))
    assert (bench.step, bench.session.finding) == ("last", "")


def test_a_condition_that_was_only_changed_on_the_way_is_put_back() -> None:
    steps = """
    one: {needs: {key: run, plug: in}, do: look}
    two: {needs: {plug: out}, measure: voltage on the pin, unit: V, then: good}
    """
    guarded = "before-changing: {plug: {key: off}}\n" + PLAIN
    bench = small(steps, more=guarded).after("done", "done")
    asked = [(o.name, o.state) for o in bench.outputs if isinstance(o, ConditionChange)]
    assert asked == [("key", "off"), ("plug", "out"), ("key", "run")]


def test_the_caution_is_said_again_while_the_vehicle_is_made_ready() -> None:
    steps = (
        "one: {caution: edge, needs: {key: run}, measure: voltage on the pin, unit: V, then: good}"
    )
    bench = small(steps).after("repeat")
    assert isinstance(bench.outputs[0], CautionSpoken)


# --- corrections ---

PROOF = """
one: {measure: voltage one, accept: at least 11 V, fail: part}
two: {measure: voltage two, accept: at least 11 V, fail: part, then: good}
"""
PROVED_TWICE = """
repairs:
  change: {do: mend the joint}
findings:
  good: {cause: all is well, correction: nothing to do}
  part:
    cause: the joint is bad
    correction: mend the joint
    repair: [change]
    prove-with: [one, two]
"""


def in_second_proof() -> Bench:
    bench = small(PROOF, more=PROVED_TWICE).after(volts("12"), volts("3"), "affirm", "done")
    return bench.after(volts("4"), "affirm", volts("12.5"))


def test_a_correction_in_the_second_proof_does_not_close_the_job() -> None:
    bench = in_second_proof()
    assert bench.step == "two"
    bench.say("revise", Answer("one"), volts("12.4"))
    assert (bench.step, bench.state) == ("two", State.MEASURE)
    assert outcome(bench.after(volts("12"))) == "repaired"


def test_only_the_last_proof_counts_as_one() -> None:
    bench = in_second_proof().after(volts("12.2"))
    (told,) = [o for o in bench.closed().outputs if isinstance(o, Summary)]
    assert told.correction == (
        "Mend the joint. Proved by one 12.5 V (limit at least 11 V);"
        " two 12.2 V (limit at least 11 V)."
    )


SUM = """
battery: {measure: voltage of the battery, accept: 10 V to 15 V, fail: bad}
motor: {measure: voltage at the motor, unit: V}
loss: {compute: battery - motor, accept: at most 0.5 V, high: bad}
last: {measure: voltage at the end, unit: V, then: good}
"""


def test_a_sum_that_fails_after_a_correction_leads_where_it_should() -> None:
    bench = small(SUM).after(volts("12.6"), volts("12.3"))
    bench.say("revise", Answer("motor"), volts("11.0"))
    assert bench.session.finding == "bad"
    assert bench.state is State.AFTER


def test_a_sum_that_cannot_be_is_told_with_why() -> None:
    bench = small(SUM.replace("battery - motor", "battery / motor").replace("0.5 V", "200 %"))
    bench.say(volts("12.6"), volts("0"))
    assert "This cannot be worked out: " in bench.texts()


def test_a_sum_is_recorded_anew_when_a_part_of_it_is_corrected() -> None:
    bench = small(SUM).after(volts("12.6"), volts("12.3"))
    bench.say("revise", Answer("battery"), volts("12.5"))
    again = [o for o in bench.outputs if isinstance(o, ReadingTaken) and o.step == "loss"]
    assert [(o.shown, o.text) for o in again] == [("0.2 V", "")]
    assert bench.step == "last"


def test_a_correction_after_a_skipped_part_changes_no_path() -> None:
    bench = small(SUM).after(volts("12.6"), "skip", Answer("no-tool"))
    assert bench.step == "last"
    bench.say("revise", Answer("battery"), volts("12.5"))
    assert bench.step == "last"
    assert "changes the path" not in bench.texts()


def test_a_skipped_step_is_not_filled_by_a_correction() -> None:
    bench = small(SUM).after(volts("12.6"), "skip", Answer("no-tool"))
    bench.say(Correction(volts("12.3")))
    assert "nothing to correct" in bench.texts()


def test_a_correction_that_leads_to_an_offered_repair_is_settled() -> None:
    bench = small(PROOF, more=PROVED_TWICE).after(volts("12"), "revise", Answer("one"), volts("3"))
    assert bench.state is State.OFFER
    bench.say("finish", "affirm")
    assert bench.session.finding == "part"
    assert outcome(bench) == "found"


def test_a_finding_that_no_longer_holds_is_withdrawn_from_the_record() -> None:
    bench = small(PROOF, more=PROVED_TWICE).after(volts("3"), "go-back")
    assert [o.name for o in bench.outputs if isinstance(o, FindingWithdrawn)] == ["part"]
    assert [o.step for o in bench.outputs if isinstance(o, Withdrawn)] == ["one"]


def test_skip_at_the_offer_of_a_repair_skips_nothing() -> None:
    bench = small(PROOF, more=PROVED_TWICE).after(volts("3"), "skip")
    assert bench.state is State.OFFER
    assert [r.outcome for r in bench.session.ledger] == ["low"]


def test_in_a_correction_a_second_one_is_not_begun() -> None:
    bench = small(SUM).after(volts("12.6"), volts("12.3"), "revise", Answer("motor"), "revise")
    assert bench.state is State.MEASURE
    assert "go back" in bench.texts()


# --- waiting ---

WAITS = """
drain: {wait: it to drain, for: 15 min}
settle: {wait: it to settle, for: 15 min}
last: {caution: edge, needs: {key: run}, do: look, then: good}
"""


def test_a_second_wait_begins_when_the_first_is_over() -> None:
    bench = small(WAITS)
    bench.give(TimeUp(at_s=900.0))
    bench.hear(Command("how-far"), at_s=910.0)
    assert "About 15 minutes" in bench.texts()


def test_time_that_runs_out_in_a_pause_is_told_on_the_way_back_with_all_that_follows() -> None:
    bench = small(WAITS)
    bench.give(TimeUp(at_s=900.0))
    bench.hear(Command("stand-by"), at_s=1000.0)
    bench.give(TimeUp(at_s=1800.0))
    assert bench.texts() == ""
    bench.hear(Command("go-ahead"), at_s=1900.0)
    assert [o for o in bench.outputs if isinstance(o, StepDone)]
    assert any(isinstance(o, CautionSpoken) for o in bench.outputs)
    assert bench.step == "last"


def test_a_wait_that_was_touched_begins_again() -> None:
    steps = "one: {needs: {key: off}, wait: it to sleep, for: 15 min}\ntwo: {do: look, then: good}"
    bench = small(steps).after("done")
    bench.give(Returned(away_s=700.0, at_s=5.0))
    assert bench.state is State.STILL
    bench.hear(Answer("negative"), at_s=10.0)
    bench.hear(Answer("done"), at_s=20.0)
    bench.hear(Command("how-far"), at_s=25.0)
    assert "About 15 minutes" in bench.texts()


def test_a_stand_by_before_the_break_counts_as_absence() -> None:
    steps = "one: {needs: {key: run}, measure: voltage on the pin, unit: V, then: good}"
    bench = small(steps).after("done")
    bench.hear(Command("stand-by"), at_s=10.0)
    bench.hear(Answer("done"), at_s=1800.0)  # not spoken to the assistant
    bench.give(Returned(away_s=5.0, at_s=1805.0))
    assert bench.state is State.STILL


# --- doubt ---


def test_both_ends_of_a_wandering_value_are_judged() -> None:
    steps = "one: {measure: voltage on the pin, accept: at least 11.8 V, fail: bad, then: good}"
    bench = small(steps, meter=METER).after(Spread(volts("11.79"), volts("13.0")))
    assert [o.verdict for o in bench.outputs if isinstance(o, VerdictGiven)] == [
        "too close to call"
    ]


def test_a_value_from_a_label_has_no_doubt_of_the_meter() -> None:
    steps = """
    one: {measure: current of the motor, accept: at most 1.1 * rated, fail: bad, then: good}
    """
    asked = "facts: {rated: {say: the rated current, unit: A}}\n" + PLAIN
    said = small(steps, more=asked, meter=METER).after(amps("5"), amps("5.45"))
    given = small(steps, more=asked, meter=METER, facts=(("rated", "5 A"),)).after(amps("5.45"))
    assert said.session.finding == given.session.finding == "good"


def test_what_cannot_be_skipped_is_not_advised_to_be() -> None:
    steps = """
    one: {measure: voltage on the pin, accept: at least 12 V, skip: never, fail: bad, then: good}
    """
    bench = small(steps, meter=METER).after(volts("12.00"), volts("12.00"))
    assert "say finish" in bench.texts()
    assert "Say skip" not in bench.texts()


def test_a_unit_that_was_asked_about_does_not_hide_a_forgotten_condition() -> None:
    steps = """
    one:
      needs: {plug: in}
      measure: voltage on the pin
      accept: 8 V to 9 V
      if-forgotten: {plug: at most 0.5 V}
      fail: bad
      then: good
    """
    millivolts = Reading(volts("8.4").value, unit("mV"))
    bench = small(steps).after("done", millivolts)
    assert bench.state is State.WHICH
    assert bench.after(millivolts).state is State.FORGOTTEN


@pytest.mark.parametrize("said", ["affirm", "negative"])
def test_one_heard_word_does_not_lead_to_a_finding(said: str) -> None:
    steps = "one: {ask: does it turn, answers: {yes: good, no: bad}}"
    bench = small(steps, certain=False).after(said)
    assert bench.state is State.CONFIRM
    assert bench.after("affirm reading").state is State.AFTER


# --- sweeps ---


def test_a_sweep_refused_as_too_short_keeps_its_readings() -> None:
    steps = """
    one:
      sweep: voltage on the pin while the control is turned up
      accept: {direction: rising, start: 0 V to 1 V, least: 3}
      fail: bad
      then: good
    """
    bench = small(steps).after(volts("0.5"), volts("2"), "done", volts("4.5"), "done")
    assert bench.session.finding == "good"


def test_repaired_by_hand_and_proved_is_told_as_done() -> None:
    more = """
findings:
  good: {cause: all is well, correction: nothing to do}
  part:
    cause: the joint is bad
    correction: mend the joint
    corrected: mended the joint
    prove-with: [one]
"""
    bench = small(PROOF, more=more).after(volts("3"))
    assert "put right" in bench.texts()
    bench.say("affirm", volts("12"))
    (told,) = [o for o in bench.closed().outputs if isinstance(o, Summary)]
    assert told.correction.startswith("Mended the joint. Proved by")
    assert outcome(bench) == "repaired"

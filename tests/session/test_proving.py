"""No part is condemned unproved, a repair is proved, and the close tells it in plain sentences."""

from bench import Bench, amps, small, volts

from voiceassist.language.meanings import Answer
from voiceassist.session.outputs import Ended, Summary
from voiceassist.session.states import State

STEPS = """
feed: {measure: voltage on the feed, accept: at least 11 V, fail: bad}
earth: {lamp: on the earth, fail: bad}
output: {measure: voltage at the motor, accept: at least 10 V, low: module, then: good}
load: {measure: current of the motor, accept: 2 A to 9 A, fail: bad, then: module}
"""
MORE = """
repairs:
  change: {do: change the module, sets: {plug: in}}
findings:
  good: {cause: all is well, correction: nothing to do}
  bad: {cause: it is bad, correction: mend it}
  module:
    cause: the module is dead
    correction: change the module
    corrected: changed the module
    condemns: module
    proved-by: {feed: feed, earth: earth}
    because: [feed, output]
    before-fitting: [load]
    repair: [change]
    prove-with: [output]
"""


def found(bench: Bench) -> str:
    return bench.session.finding


def start() -> Bench:
    return small(STEPS, more=MORE)


def summary(bench: Bench) -> Summary:
    return next(o for o in bench.closed().outputs if isinstance(o, Summary))


def test_what_would_kill_the_new_part_is_checked_before_it_is_fitted() -> None:
    bench = start().after(volts("12"), "bright", volts("3"))
    assert found(bench) == "module"
    assert bench.step == "load"
    bench.say(amps("5"))
    assert bench.state is State.OFFER


def test_after_the_proof_nothing_more_is_to_be_done() -> None:
    bench = start().after(volts("12"), "bright", volts("3"), amps("5"))
    assert "Nothing more to do" not in bench.after("how-far").texts()
    bench.say("affirm", "done")
    assert bench.step == "output"
    bench.say(volts("11"), "how-far")
    assert (bench.state, bench.texts()) == (State.AFTER, "Nothing more to do.")


def test_a_finding_that_no_reading_proves_gives_no_reason() -> None:
    bench = small("one: {do: look at it, then: good}").after("done", "why")
    assert found(bench) == "good"
    assert bench.texts() == "The procedure gives no reason for this step."


def test_a_bad_cause_behind_the_cause_saves_the_new_part() -> None:
    bench = start().after(volts("12"), "bright", volts("3"), amps("15"))
    assert found(bench) == "bad"


def test_a_part_is_not_condemned_before_its_earth_is_proved() -> None:
    bench = start().after(volts("12"), "skip", Answer("no-tool"), volts("3"))
    assert "the module is not condemned before this is proved: earth." in bench.texts()
    assert bench.step == "earth"
    bench.say("skip")
    assert "no part is condemned before it is proved" in bench.texts()
    bench.say("bright")
    assert bench.step == "load"


def test_an_unproved_part_leaves_the_finding_unproved() -> None:
    bench = start().after(volts("12"), "skip", Answer("no-tool"), volts("3"), "finish", "affirm")
    assert bench.outputs[-1].to_json()["outcome"] == "unproved"


def test_a_failed_proof_can_be_taken_again() -> None:
    bench = start().after(volts("12"), "bright", volts("3"), amps("5"), "affirm", "done")
    bench.say(volts("4"))
    assert bench.state is State.RETRY
    assert bench.after("how-far").texts() == "Nothing more to do."
    bench.say("affirm", volts("12"))
    assert "Repair proved." in bench.texts()
    ended = bench.closed().outputs[-1]
    assert isinstance(ended, Ended)
    assert ended.outcome == "repaired"


KEYED = """
one: {needs: {key: run}, lamp: on the pin, then: good, fail: part}
"""
KEYED_PART = """
findings:
  good: {cause: all is well, correction: nothing to do}
  part: {cause: the part is bad, correction: change it, repair: [change], prove-with: [one]}
repairs:
  change: {needs: {key: off}, do: change the part}
"""


def at_the_proof() -> Bench:
    """Where the lamp of the proof is asked for, together with the key."""
    return small(KEYED, more=KEYED_PART).after("done", "off", "affirm", "done")


def test_a_proof_does_not_fail_for_a_change_that_nobody_told_as_made() -> None:
    bench = at_the_proof().after("off")
    assert "Off proves nothing yet. Did you turn the key to run?" in bench.texts()
    bench.say("negative")
    assert bench.after("bright").closed().session.ending == "repaired"


def test_what_is_told_as_made_lets_the_proof_fail() -> None:
    bench = at_the_proof().after("off", "affirm")
    assert bench.state is State.RETRY
    bench.say("affirm", "off")
    assert bench.state is State.RETRY
    assert at_the_proof().after("done", "off").state is State.RETRY


def test_who_has_turned_the_key_by_now_gives_the_lamp_at_once() -> None:
    assert at_the_proof().after("off", "bright").closed().session.ending == "repaired"


def test_nothing_is_found_by_a_dark_lamp_before_its_changes_are_told_as_made() -> None:
    """The limit of a lamp cannot tell what it shows without a change."""
    keyed = small(KEYED.replace("{key: run}", "{plug: in, key: run}"), more=KEYED_PART).after("off")
    assert "Off proves nothing yet. Is the plug in, and did you turn the key to run?" in (
        keyed.texts()
    )
    keyed.say("negative")
    assert "Plug it in. Turn the key to run." in keyed.texts()
    assert found(keyed.after("off", "affirm")) == "part"


def test_on_the_way_to_a_finding_a_diagnosis_asks_nothing_that_its_step_does_not_know() -> None:
    on_the_way = (
        KEYED.replace("fail: part", "fail: two")
        + "two: {ask: is it hot, answers: {yes: part, no: good}}\n"
    )
    assert small(on_the_way, more=KEYED_PART).after("off").step == "two"


def test_the_close_writes_complaint_cause_and_correction_with_the_readings() -> None:
    bench = small(STEPS, more=MORE, facts=(("complaint", "fan is dead"),))
    bench.say(volts("12"), "bright", volts("3"), amps("5"), "affirm", "done", volts("11.8"))
    told = summary(bench)
    assert told.complaint == "Fan is dead."
    assert told.cause == (
        "The module is dead, shown by feed 12 V (limit at least 11 V);"
        " output 3 V (limit at least 10 V)."
    )
    assert told.correction == ("Changed the module. Proved by output 11.8 V (limit at least 10 V).")


def test_what_was_not_done_is_not_said_to_be_done() -> None:
    bench = start().after(volts("12"), "bright", volts("3"), amps("5"), "negative")
    assert summary(bench).correction == "Not done yet; recommended: change the module."


def test_who_does_not_repair_now_hears_what_would_put_it_right() -> None:
    bench = start().after(volts("12"), "bright", volts("3"), amps("5"))
    assert "What to do" not in bench.texts()
    bench.say("negative")
    assert "Change the module." in bench.texts()


def test_a_job_that_is_stopped_tells_that_no_cause_was_reached() -> None:
    assert summary(start().after("finish", "affirm")).cause == "No cause was reached."

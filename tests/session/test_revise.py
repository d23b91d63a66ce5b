"""Correcting an earlier reading: all that hangs on it is judged again, and nothing is forgotten."""

from bench import Bench, small, volts

from voiceassist.language.meanings import Answer, Correction
from voiceassist.session.events import NoMore, TimeUp
from voiceassist.session.outputs import Rejudged, Withdrawn
from voiceassist.session.states import State

CHAIN = """
battery: {measure: voltage of the battery, accept: 10 V to 15 V, fail: bad}
feed: {measure: voltage on the pin, accept: at least battery - 0.5 V, low: weak, then: lamp}
weak: {do: clean the joint, then: bad}
lamp: {lamp: on the pin, fail: bad}
last: {measure: voltage at the end, accept: at most 1 V, fail: bad, then: good}
"""


def at_last() -> Bench:
    return small(CHAIN).after(volts("12.6"), volts("12.3"), "bright")


def correct_battery(bench: Bench, value: str) -> Bench:
    return bench.after("revise", Answer("battery"), volts(value))


def counting(bench: Bench) -> list[str]:
    return [f"{r.step} {r.shown}" for r in bench.session.ledger if not r.superseded]


def test_an_earlier_reading_is_corrected_by_its_name() -> None:
    bench = at_last().after("revise")
    assert bench.state is State.PICK
    assert "battery" in bench.texts()
    assert "Battery was 12.6 V" in bench.after(Answer("battery")).texts()


def test_a_step_that_has_no_reading_yet_is_not_corrected() -> None:
    bench = at_last().after("revise")
    asked = bench.session
    bench.say(Answer("last"))
    assert bench.texts()
    assert bench.session == asked


def test_work_done_meanwhile_is_not_asked_for_again_by_a_correction() -> None:
    bench = small("""
        battery: {measure: voltage of the battery, accept: 10 V to 15 V, fail: bad}
        clean: {do: clean the joint}
        rest: {wait: it to dry, for: 1 min}
        last: {measure: voltage at the end, accept: at most 1 V, fail: bad, then: good}
    """).after(volts("12.6"), "done")
    bench.give(TimeUp(60))
    assert bench.step == "last"
    correct_battery(bench, "12.5")
    assert (bench.step, bench.state) == ("last", State.MEASURE)
    assert counting(bench)[0] == "battery 12.5 V"
    assert len(counting(bench)) == 3


def test_a_correction_that_changes_nothing_leads_back_to_where_one_was() -> None:
    bench = correct_battery(at_last(), "12.5")
    assert (bench.step, bench.state) == ("last", State.MEASURE)
    assert counting(bench) == ["battery 12.5 V", "feed 12.3 V", "lamp bright"]


def test_later_readings_are_judged_against_the_corrected_value() -> None:
    bench = correct_battery(at_last(), "12.5")
    again = [o for o in bench.outputs if isinstance(o, Rejudged)]
    assert [(o.step, o.limit, o.text) for o in again] == [("feed", "at least 12 V", "")]


def test_the_technician_is_told_when_the_path_changes() -> None:
    bench = correct_battery(at_last(), "13.0")
    assert bench.step == "weak"
    assert "Feed, 12.3 V, is now too low." in bench.texts()
    assert "That changes the path." in bench.texts()


def test_what_no_longer_lies_on_the_path_is_withdrawn_and_not_forgotten() -> None:
    bench = correct_battery(at_last(), "13.0")
    assert [o.step for o in bench.outputs if isinstance(o, Withdrawn)] == ["lamp"]
    assert counting(bench) == ["battery 13.0 V", "feed 12.3 V"]
    kept = [f"{r.step} {r.shown}" for r in bench.session.ledger]
    assert "battery 12.6 V" in kept
    assert "lamp bright" in kept


def test_a_correction_may_be_left_as_it_was() -> None:
    bench = at_last().after("revise", Answer("battery"), "go-back")
    assert bench.step == "last"
    assert counting(bench) == ["battery 12.6 V", "feed 12.3 V", "lamp bright"]
    bench.say("revise", "negative")
    assert bench.step == "last"


def test_the_last_reading_is_corrected_in_one_breath() -> None:
    bench = small(CHAIN).after(volts("12.6"), volts("12.3"))
    bench.say(Correction(volts("12.4")))
    assert bench.step == "lamp"
    assert counting(bench) == ["battery 12.6 V", "feed 12.4 V"]


def test_a_misheard_correction_that_would_turn_the_path_is_confirmed_first() -> None:
    bench = small(CHAIN, certain=False).after(volts("12.6"), volts("12.3"), "bright")
    correct_battery(bench, "10.9")  # feed stays good: taken at once, though spoken
    assert bench.step == "last"
    bench.say("revise", Answer("battery"), volts("9.0"))
    assert bench.state is State.CONFIRM
    bench.say("negative")
    assert bench.step == "last"
    assert "battery 10.9 V" in counting(bench)


def test_a_reading_that_came_before_a_finding_can_still_be_corrected() -> None:
    bench = at_last().after(volts("0.2"))
    assert bench.state is State.AFTER
    correct_battery(bench, "13.0")
    assert (bench.step, bench.session.finding) == ("weak", "")
    assert "That changes the path." in bench.texts()


REPAIR = """
findings:
  good: {cause: all is well, correction: nothing to do}
  bad:
    cause: it is bad
    correction: mend it
    repair: [mend]
    prove-with: [battery]
repairs:
  mend: {do: mend the joint}
"""


def test_in_the_repair_a_corrected_reading_that_leads_to_the_same_finding_changes_nothing() -> None:
    bench = small(CHAIN, more=REPAIR).after(volts("12.6"), volts("12.3"), "dim", "affirm")
    assert bench.step == "mend"
    correct_battery(bench, "12.5")
    assert (bench.step, bench.session.finding) == ("mend", "bad")


def test_in_the_repair_a_corrected_reading_may_lead_back_to_the_diagnosis() -> None:
    bench = small(CHAIN, more=REPAIR).after(volts("12.6"), volts("12.3"), "dim", "affirm")
    bench.say("revise", Answer("lamp"))
    bench.say("bright")
    assert (bench.step, bench.session.finding) == ("last", "")
    assert "That changes the path." in bench.texts()


def test_a_value_that_a_named_step_cannot_take_is_not_taken_for_it() -> None:
    bench = at_last().after(Correction(volts("5"), "lamp"))
    assert (bench.step, bench.state) == ("last", State.MEASURE)
    assert counting(bench) == ["battery 12.6 V", "feed 12.3 V", "lamp bright"]


def test_the_end_of_the_input_is_no_note() -> None:
    bench = at_last().after("note")
    bench.give(NoMore())
    assert bench.state is State.NOTE

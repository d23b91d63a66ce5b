"""What is named: an earlier value by its step or test point, a step left out by its reason."""

from bench import METER, Bench, amps, small, volts

from voiceassist.language.meanings import Answer, Command, Correction, OverRange, Reading
from voiceassist.session.outputs import ReadingTaken, VerdictGiven
from voiceassist.session.states import State

STEPS = """
one: {measure: voltage at the pin, accept: at most 13 V, plausible: 0 V to 20 V, fail: bad}
two: {measure: voltage there, accept: at most 13 V, plausible: 0 V to 20 V, fail: bad}
three: {measure: voltage at the pin, accept: at most 13 V, fail: bad}
four: {measure: the last, unit: V, then: good}
"""


def bench(*values: str) -> Bench:
    made = small(STEPS)
    made.say(*map(volts, values))
    return made


def put_right(made: Bench, value: Reading, of: str) -> Bench:
    made.say(Correction(value, of=of))
    return made


def counting(made: Bench) -> list[tuple[str, str]]:
    return [(r.step, r.shown) for r in made.session.ledger if not r.superseded]


def test_a_value_is_put_right_by_the_name_of_its_step() -> None:
    made = put_right(bench("12", "11"), volts("12.5"), "one")
    taken = [output for output in made.outputs if isinstance(output, ReadingTaken)]
    assert [(output.step, output.corrects) for output in taken] == [("one", True)]
    assert counting(made) == [("one", "12.5 V"), ("two", "11 V")]
    assert (made.step, made.state) == ("three", State.MEASURE)


def test_the_name_of_a_test_point_means_the_last_reading_there() -> None:
    made = put_right(bench("12", "11"), volts("12.5"), "the pin")
    assert counting(made)[0] == ("one", "12.5 V")
    made = put_right(bench("12", "11", "10"), volts("10.5"), "the pin")
    assert counting(made) == [("one", "12 V"), ("two", "11 V"), ("three", "10.5 V")]


def test_a_name_that_nothing_has_and_a_step_not_yet_read_change_nothing() -> None:
    for name in ("nothing", "four", "three"):
        made = put_right(bench("12", "11"), volts("12.5"), name)
        assert counting(made) == [("one", "12 V"), ("two", "11 V")]
        assert (made.step, made.state) == ("three", State.MEASURE)


def test_a_value_of_another_kind_changes_nothing() -> None:
    made = put_right(bench("12", "11"), amps("12.5"), "one")
    assert counting(made) == [("one", "12 V"), ("two", "11 V")]
    assert (made.step, made.state) == ("three", State.MEASURE)


def test_a_value_that_hardly_can_be_is_asked_about_and_dropped_again() -> None:
    made = put_right(bench("12", "11"), volts("90"), "one")
    assert made.state is State.CONFIRM
    assert "90 V" in made.texts()
    made.say("negative")
    assert counting(made) == [("one", "12 V"), ("two", "11 V")]
    assert made.step == "three"


def test_a_value_too_close_to_call_is_refused_and_the_old_one_counts_on() -> None:
    made = small(STEPS, meter=METER)
    made.say(volts("12.00"), volts("11.00"))
    put_right(made, volts("13.00"), "one")
    assert "close" in made.texts()
    assert counting(made) == [("one", "12.00 V"), ("two", "11.00 V")]
    assert (made.step, made.state) == ("three", State.MEASURE)


def test_a_value_that_leads_elsewhere_leads_there() -> None:
    made = put_right(bench("12", "11"), volts("14"), "one")
    if made.state is State.CONFIRM:
        made.say(volts("14"))
    assert made.session.finding == "bad"


def test_a_reason_for_leaving_a_step_out_that_is_none_is_asked_for_again() -> None:
    made = bench("12")
    made.say("skip")
    assert made.state is State.SKIP
    asked = made.texts()
    made.say(Answer("left"))
    assert made.texts() == asked
    assert (made.step, made.state) == ("two", State.SKIP)


def test_an_earlier_reading_is_told_again_by_its_name_or_as_the_last() -> None:
    made = bench("12", "11")
    for asked, told in (("one", "One was 12 V."), ("two", "Two was 11 V.")):
        made.say(Command("read-back", about=asked))
        assert made.texts() == told
    made.say("read-last")
    assert made.texts() == "Two was 11 V."
    made.say(Command("read-back", about="four"))
    assert made.texts() == "Four has not been measured yet."


def test_asked_for_the_cause_it_tells_what_stands_out_until_one_is_found() -> None:
    made = small("""
        one: {measure: voltage here, accept: at most 13 V, fail: two, then: two}
        two: {measure: voltage there, accept: at most 13 V, fail: bad, then: good}
    """)
    told = made.after("cause").texts()
    assert told == "No cause is proved yet; so far nothing measured is wrong."
    told = made.after(volts("14"), "cause").texts()
    assert told == "No cause is proved yet. What stands out is one 14 V."


def test_asked_what_comes_now_it_says_the_step_again() -> None:
    made = bench("12")
    step = [output.text for output in made.session.prompt]
    assert step
    assert [output.text for output in made.say("next")][: len(step)] == step


def test_where_a_named_test_point_is_is_told_from_any_step() -> None:
    made = bench("12")
    made.say(Command("how", about="the pin"))
    assert "pin one with the red wire" in made.texts()
    made.say(Command("how", about="nowhere"))
    assert "pin one" not in made.texts()


def test_over_range_where_a_value_is_wanted_does_not_pass() -> None:
    made = small("one: {measure: resistance of it, accept: at most 13 Ω, fail: bad, then: good}")
    made.say(OverRange())
    if made.state is State.CONFIRM:
        made.say(OverRange())
    (result,) = made.session.ledger
    assert not result.passed
    (verdict,) = [output for output in made.all if isinstance(output, VerdictGiven)]
    assert (verdict.verdict, verdict.limit) == ("high", "at most 13 Ω")
    assert made.session.finding == "bad"

"""Limits of every form, the meter's doubt, and values worked out from others."""

from decimal import Decimal
from pathlib import Path

import pytest
from bench import METER, Bench, amps, small, volts

from voiceassist.language.meanings import (
    Answer,
    Correction,
    Meaning,
    OverRange,
    Reading,
    Series,
    Spread,
)
from voiceassist.measure.units import unit
from voiceassist.procedure.meter_file import read_meter
from voiceassist.session.outputs import VerdictGiven
from voiceassist.session.states import State

FOLDER = Path(__file__).parents[2] / "procedures" / "meters"
ORDINARY = read_meter((FOLDER / "ordinary.yaml").read_text(encoding="utf-8"), "ordinary")
ONE = "one: {{measure: voltage on the pin, accept: {limit}, fail: bad, then: good}}"


def reading(value: str, symbol: str = "V") -> Reading:
    return Reading(Decimal(value), unit(symbol))


def verdict(bench: Bench) -> str:
    return [o.verdict for o in bench.outputs if isinstance(o, VerdictGiven)][-1]


@pytest.mark.parametrize(
    ("limit", "value", "expected"),
    [
        ("4 V to 6 V", "5", "pass"),
        ("at least 5 V", "4.9", "low"),
        ("at most 0.1 V", "0.2", "high"),
        ("about 5 V ± 5 %", "5.25", "pass"),
        ("about 5 V ± 5 %", "5.26", "high"),
        ("about 5 V ± 0.2 V", "4.7", "low"),
    ],
)
def test_a_limit_may_be_written_in_every_way_of_the_trade(
    limit: str, value: str, expected: str
) -> None:
    assert verdict(small(ONE.format(limit=limit)).after(volts(value))) == expected


# --- tables ---

BY_CONDITION = """
wire:
  needs: {fan: high}
  measure: voltage on the pin
  accept: {by: fan, table: {low: 8 V to 9 V, high: 2 V to 3 V}}
  fail: bad
  then: good
"""
BY_ANSWER = """
which:
  ask: which lamp is fitted
  answers: {one: wire, two: wire}
wire:
  measure: voltage on the pin
  accept: {by: which, table: {one: 8 V to 9 V, two: 2 V to 3 V}}
  fail: bad
  then: good
"""
BY_READING = """
air: {measure: temperature of the air, unit: °C}
wire:
  measure: voltage on the pin
  accept: {by: air, table: {at most 0 °C: 8 V to 9 V, at least 0 °C: 2 V to 3 V}}
  fail: bad
  then: good
"""


def test_a_table_goes_by_the_state_of_the_vehicle() -> None:
    bench = small(BY_CONDITION)
    bench.say("done", "limit")
    assert "2 V to 3 V" in bench.texts()
    assert verdict(bench.after(volts("2.5"))) == "pass"


def test_a_table_goes_by_an_answer() -> None:
    bench = small(BY_ANSWER).after(Answer("one"))
    assert verdict(bench.after(volts("2.5"))) == "low"


@pytest.mark.parametrize(("air", "expected"), [("-5", "low"), ("20", "pass")])
def test_a_table_goes_by_an_earlier_reading(air: str, expected: str) -> None:
    bench = small(BY_READING).after(reading(air, "°C"))
    assert verdict(bench.after(volts("2.5"))) == expected


# --- facts ---

FACT = """
one: {measure: voltage on the pin, accept: at most 2 % of supply, fail: bad, then: good}
"""
GIVEN = "facts: {supply: {say: the supply, unit: V, value: 12 V}}\n"
ASKED = "facts: {supply: {say: the supply, unit: V}}\n"
GOOD_BAD = """
findings:
  good: {cause: all is well, correction: nothing to do}
  bad: {cause: it is bad, correction: mend it}
"""


@pytest.mark.parametrize(("supply", "expected"), [((), "high"), ((("supply", "24 V"),), "pass")])
def test_a_fact_of_the_job_takes_the_place_of_the_one_in_the_procedure(
    supply: tuple[tuple[str, str], ...], expected: str
) -> None:
    bench = small(FACT, more=GIVEN + GOOD_BAD, facts=supply)
    assert verdict(bench.after(volts("0.3"))) == expected


def test_a_fact_that_no_one_gave_is_asked_for_first() -> None:
    bench = small(FACT, more=ASKED + GOOD_BAD)
    assert "What is the supply?" in bench.texts()
    bench.say(volts("24"))
    assert verdict(bench.after(volts("0.3"))) == "pass"


def test_a_fact_that_was_given_is_not_asked_for() -> None:
    bench = small(FACT, more=ASKED + GOOD_BAD, facts=(("supply", "12"),))
    assert bench.step == "one"


# --- the meter ---


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        # Limit at least 11.50 V, meter ±(0.5 % + 2 counts), risk 5 %: JCGM 106 with the normal
        # distribution; conformance 0.012, 0.131, 0.867 and 0.962 (computed with scipy).
        ("11.40", "low"),
        ("11.45", "too close to call"),
        ("11.55", "too close to call"),
        ("11.58", "pass"),
    ],
)
def test_a_verdict_admits_the_doubt_of_the_meter(value: str, expected: str) -> None:
    bench = small(ONE.format(limit="at least 11.50 V"), meter=METER)
    assert verdict(bench.after(volts(value))) == expected


def test_two_readings_of_one_meter_differ_with_less_doubt_than_each_has() -> None:
    """An error in proportion is shared by both readings and cancels (JCGM 100, 5.2.2)."""
    steps = """
    battery: {measure: voltage of the battery, unit: V}
    feed: {measure: voltage on the pin, accept: at least battery - 0.5 V, fail: bad, then: good}
    """
    bench = small(steps, meter=METER).after(volts("12.60"))
    assert verdict(bench.after(volts("12.15"))) == "pass"


def test_a_value_too_close_leads_nowhere_and_says_what_to_do() -> None:
    bench = small(ONE.format(limit="at least 11.50 V"), meter=METER).after(volts("11.5"))
    assert bench.session.ledger == ()
    assert "60 V range" in bench.texts()


@pytest.mark.parametrize(
    ("told", "offers_a_range"),
    [
        ("in the cable, with the clamp around it", True),
        ("in the cable", False),  # another range has another socket: moving the lead wakes all
    ],
)
def test_a_meter_in_line_is_never_turned_to_another_range(
    told: str, *, offers_a_range: bool
) -> None:
    steps = """
    one: {{measure: "current {told}", accept: at most 50 mA, {meter}fail: bad, then: good}}
    """
    key = "" if offers_a_range else "meter: 10 A, "
    bench = small(steps.format(told=told, meter=key), meter=ORDINARY)
    bench = bench if offers_a_range else bench.after("done")
    bench.say(amps("0.05"))
    assert verdict(bench) == "too close to call"
    assert ("Turn the meter to its 60 mA range" in bench.texts()) is offers_a_range


def test_a_value_that_wanders_across_its_limit_is_a_loose_joint_and_not_the_meter() -> None:
    bench = small(ONE.format(limit="at least 11.50 V"), meter=METER)
    bench.say(Spread(volts("9"), volts("13")))
    assert verdict(bench) == "too close to call"
    assert "loose joint" in bench.texts()
    assert "range" not in bench.texts()


def test_with_all_digits_said_measuring_once_more_is_all_that_is_left() -> None:
    bench = small(ONE.format(limit="at least 11.50 V"), meter=METER).after(volts("11.50"))
    assert "Measure once more" in bench.texts()
    assert "skip" in bench.after(volts("11.51")).texts()


def test_a_step_may_say_itself_what_to_do_when_it_is_close() -> None:
    steps = """
    one:
      measure: voltage on the pin
      accept: at most 0.1 V
      if-close: load it with the lamp
      fail: bad
      then: good
    """
    bench = small(steps, meter=METER).after(volts("0.1"))
    assert "Load it with the lamp." in bench.texts()


def test_the_meters_own_load_is_made_up_for_where_the_source_is_known() -> None:
    """1 MΩ before a 10 MΩ meter: 12.6 V reads 11.4545 V (voltage divider; ngspice agrees)."""
    steps = """
    one:
      measure: voltage on the pin
      accept: 12.5 V to 12.7 V
      source-resistance: 1 MΩ
      fail: bad
      then: good
    """
    bench = small(steps, meter=METER).after(volts("11.45"))
    assert verdict(bench) == "pass"
    assert "12.595 V" in bench.texts()
    assert bench.session.ledger[0].shown == "11.45 V"


# --- odd values ---


def test_a_value_a_thousand_times_off_is_asked_about() -> None:
    bench = small(ONE.format(limit="8 V to 9 V")).after(reading("8.4", "mV"))
    assert bench.state is State.WHICH
    bench.say(volts("8.4"))
    assert bench.session.finding == "good"


def test_a_value_that_can_hardly_be_is_questioned_even_when_typed() -> None:
    steps = """
    one:
      measure: voltage on the pin
      accept: 8 V to 9 V
      plausible: 0 V to 15 V
      fail: bad
      then: good
    """
    bench = small(steps).after(volts("80"))
    assert bench.state is State.CONFIRM
    assert bench.session.ledger == ()
    bench.say(volts("8.0"))
    assert bench.session.finding == "good"


def test_over_range_without_a_limit_asks_for_a_higher_range() -> None:
    bench = small("one: {measure: voltage on the pin, unit: V, then: good}").after(OverRange())
    assert "higher range" in bench.texts()
    assert "should be ." not in bench.texts()


# --- values that wander ---

STEADY = """
one:
  measure: voltage on the pin
  accept: at least 11 V
  steady: 0.4 V
  fail: bad
  then: good
"""


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [("12.1", "12.4", "pass"), ("12.0", "12.6", "high"), ("9.9", "10.1", "low")],
)
def test_a_wandering_value_must_hold_within_its_limit(low: str, high: str, expected: str) -> None:
    bench = small(STEADY).after(Spread(volts(low), volts(high)))
    assert verdict(bench) == expected


def test_a_value_that_wanders_over_its_limit_is_too_close_to_tell() -> None:
    bench = small(ONE.format(limit="at least 12 V"), meter=METER)
    assert verdict(bench.after(Spread(volts("11.9"), volts("12.1")))) == "too close to call"


# --- sums ---

SUM = """
battery: {measure: voltage of the battery, unit: V}
motor: {measure: voltage at the motor, unit: V}
drop: {compute: battery - motor, accept: at most 0.5 V, high: bad, then: good}
"""


@pytest.mark.parametrize(("motor", "expected"), [("12.2", "good"), ("12.0", "bad")])
def test_a_value_worked_out_from_two_readings_is_judged_without_asking(
    motor: str, expected: str
) -> None:
    bench = small(SUM).after(volts("12.6"), volts(motor))
    assert bench.session.finding == expected


def test_a_sum_whose_part_was_skipped_is_passed_over_and_said_to_be_unproved() -> None:
    bench = small(SUM).after(volts("12.6"), "skip", Answer("no-tool"))
    assert "has not been measured" in " ".join(o.text for o in bench.outputs)
    assert bench.closed().outputs[-1].to_json()["outcome"] == "unproved"


@pytest.mark.parametrize(("read", "expected"), [("0.20", "pass"), ("0.49", "too close to call")])
def test_a_limit_that_names_a_sum_is_as_doubtful_as_the_parts_of_the_sum(
    read: str, expected: str
) -> None:
    """Two counts of each 12 V are 0.02 V with this meter; 0.49 V by itself is good to 5 mV."""
    more = SUM.replace("at most 0.5 V", "at most 5 V").replace("then: good", "then: last")
    last = "last: {measure: it, accept: at most drop + 0.1 V, fail: bad, then: good}"
    bench = small(f"{more}{last}", meter=METER).after(volts("12.60"), volts("12.20"))
    assert verdict(bench.after(volts(read))) == expected


def test_a_sum_too_close_to_tell_waits_for_a_better_reading() -> None:
    bench = small(SUM, meter=METER).after(volts("12.60"), volts("12.10"))
    assert bench.state is State.COMPUTE
    assert bench.session.finding == ""


# --- counts ---

COUNT = "one: {count: flashes of the lamp, accept: 2 times to 4 times, fail: bad, then: good}"


@pytest.mark.parametrize(
    ("value", "expected"), [("3", "pass"), ("5", "high"), ("2.5", "not valid")]
)
def test_a_count_is_a_whole_number_within_its_limit(value: str, expected: str) -> None:
    assert verdict(small(COUNT).after(Reading(Decimal(value)))) == expected


# --- sweeps ---

SWEEP = """
one:
  sweep: voltage on the pin while the control is turned up
  accept: {direction: falling, start: 8 V to 9 V, end: 2 V to 3 V, least: 4}
  fail: bad
  then: good
"""


def row(*values: str) -> tuple[Meaning | str, ...]:
    return (*(volts(value) for value in values), "done")


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        (("8.4", "6.1", "4.0", "2.5"), "pass"),
        (("8.4", "6.1", "6.3", "2.5"), "low"),
        (("8.4", "6.1", "4.0", "3.5"), "high"),
        (("7.0", "6.1", "4.0", "2.5"), "low"),
        (("8.4", "6.1", "2.5"), "not valid"),
    ],
)
def test_a_sweep_must_fall_steadily_and_span_its_range(
    values: tuple[str, ...], expected: str
) -> None:
    assert verdict(small(SWEEP).after(*row(*values))) == expected


@pytest.mark.parametrize(
    ("values", "limit"), [("7.0 6.1 4.0 2.5", "8 V"), ("8.4 6.1 4.0 3.5", "2 V")]
)
def test_a_sweep_that_misses_an_end_is_told_the_limit_of_that_end(values: str, limit: str) -> None:
    assert limit in small(SWEEP).after(*row(*values.split())).texts()


def test_a_sweep_may_be_given_in_one_breath() -> None:
    series = Series(tuple(volts(value) for value in ("8.4", "6.1", "4.0", "2.5")))
    bench = small(SWEEP).after(series, "done")
    assert bench.session.finding == "good"


def test_the_last_point_of_a_sweep_can_be_taken_back() -> None:
    bench = small(SWEEP).after(volts("8.4"), volts("61"), "disregard", volts("6.1"))
    assert [str(point.value) for point in bench.session.points] == ["8.4", "6.1"]


def test_the_last_point_of_a_sweep_can_be_corrected() -> None:
    bench = small(SWEEP).after(volts("8.4"), volts("61"), Correction(volts("6.1")))
    assert [str(point.value) for point in bench.session.points] == ["8.4", "6.1"]


def test_what_is_said_of_a_good_lamp_is_not_said_of_another() -> None:
    lamp = "one: {lamp: on the pin, fail: bad, then: good, says: {pass: all is well here}}"
    assert "All is well here." in small(lamp).after("bright").texts()
    dim = small(lamp, certain=True).after("dim")
    assert "All is well here." not in dim.texts()
    assert verdict(dim) == "low"


# --- where limits come from ---


@pytest.mark.parametrize(
    ("source", "said"),
    [
        ("general rule of thumb", "general rule of thumb"),
        ("standard ISO 11898-2", "standard ISO 11898-2"),
        ("maker's data", "Enter your vehicle maker's own value."),
    ],
)
def test_a_limit_says_where_it_comes_from_when_asked(source: str, said: str) -> None:
    steps = f"""
    one:
      measure: voltage on the pin
      accept: 4 V to 6 V
      source: {source}
      fail: bad
      then: good
    """
    assert said in small(steps).after("limit").texts()

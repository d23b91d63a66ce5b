"""The unit of a number said without one: never a silent guess that decides something."""

from decimal import Decimal

import pytest
from bench import amps, small, volts
from lines import Lines

from voiceassist.language.meanings import Reading
from voiceassist.measure.units import unit
from voiceassist.session.expect import expectation
from voiceassist.session.states import State

DRAW = """
draw:
  measure: current in the minus cable
  accept: 2 mA to 50 mA
  METER
  fail: bad
  then: good
"""
HEAD = "procedure: small\ntitle: a small one\nfor: an invented vehicle\nsteps:\n"
FINDINGS = (
    "findings:\n  good: {cause: well, correction: nothing}\n  bad: {cause: bad, correction: mend}\n"
)


def draw(meter: str = "") -> Lines:
    line = f"meter: {meter}" if meter else "how: read it"
    return Lines(text=_text(DRAW.replace("METER", line))).walk("draw")


@pytest.mark.parametrize(
    ("said", "shown"),
    [("point four", "0.4 A"), ("zero point zero three", "0.03 A"), ("thirty", "30 mA")],
)
def test_a_bare_number_has_the_unit_that_the_range_can_show(said: str, shown: str) -> None:
    bench = draw("10 A")
    bench.type(said)
    assert bench.counting["draw"] == shown


def test_a_bare_number_that_the_range_can_show_in_two_units_is_asked_about() -> None:
    bench = draw("10 A")
    assert "Was that 5 mA, or 5 A?" in bench.type("five")
    bench.type("five milliamps")
    assert bench.counting["draw"] == "5 mA"


def test_a_bare_number_in_place_of_one_that_waits_has_its_unit_too() -> None:
    bench = small(DRAW.replace("METER", "meter: 10 A"), certain=False).after(amps("0.40"))
    assert bench.state is State.CONFIRM
    bench.say(Reading(Decimal("0.41")))
    assert "0.41 A" in bench.texts()
    assert bench.state is State.CONFIRM


@pytest.mark.parametrize("said", ["point four", "zero point zero three"])
def test_no_meter_shows_less_than_one_milliamp_as_milliamps_so_it_is_asked(said: str) -> None:
    bench = draw()
    bench.type(said)
    assert bench.state is State.WHICH
    assert " mA, or 0." in bench.texts()
    bench.type(f"{said} amps")
    assert bench.counting["draw"].endswith(" A")


def test_a_whole_milliamp_is_what_a_meter_shows_so_its_unit_is_not_asked_about() -> None:
    wide = DRAW.replace("50 mA", "200 mA").replace("METER", "how: read it")
    bench = Lines(text=_text(wide)).walk("draw")
    bench.type("one")
    assert bench.state is not State.WHICH
    bench = Lines(text=_text(wide)).walk("draw")
    bench.type("point nine")
    assert bench.state is State.WHICH


def test_a_number_below_one_after_hundreds_of_milliamps_is_no_fault_behind_a_fuse() -> None:
    answers = {
        "hybrid": "no",
        "battery": "twelve point five volts",
        "minus_joint": "point zero five volts",
    }
    answers |= {"rough_draw": "point four amps", "draw": "four hundred milliamps"}
    bench = Lines("key-off-draw").walk("without-one", **answers)
    bench.type("point four")
    assert bench.step == "without-two"
    assert bench.counting["without-one"] == "0.4 A"


OHMS = """
one: {measure: resistance of one end, accept: 100 Ω to 140 Ω, then: two, fail: two}
two: {measure: resistance of the other, accept: 2000 Ω to 5000 Ω, fail: bad, then: good}
"""


def test_a_unit_that_was_said_as_in_the_reading_before_is_not_asked_about() -> None:
    bench = Lines(text=_text(OHMS))
    bench.type("three ohms")
    bench.type("three ohms")
    assert bench.session.finding == "bad"


def test_a_unit_that_may_be_a_slip_is_still_asked_about_without_a_reading_like_it() -> None:
    bench = Lines(text=_text(OHMS))
    bench.type("one hundred twenty ohms")
    assert "3 Ω, or 3 kΩ?" in bench.type("three ohms")


def _text(steps: str) -> str:
    return HEAD + "".join(f"  {line}\n" for line in steps.strip().splitlines()) + FINDINGS


def test_the_number_said_again_to_confirm_keeps_its_unit() -> None:
    bench = draw("10 A")
    bench.certain = False
    bench.type("point four")
    assert bench.state is State.CONFIRM
    bench.type("point four")
    assert bench.counting["draw"] == "0.4 A"


ONE = "one: {{measure: {what}, accept: {limit}, steady: {steady}, fail: bad, then: good}}"


def one(what: str, limit: str, steady: str) -> Lines:
    return Lines(text=_text(ONE.format(what=what, limit=limit, steady=steady)))


@pytest.mark.parametrize(
    ("what", "limit", "steady", "said", "finding"),
    [
        ("pressure at the valve", "2 bar to 2.5 bar", "0.1 bar", "thirty two p s i", "good"),
        ("pressure at the valve", "2 bar to 2.5 bar", "0.1 bar", "forty p s i", "bad"),
        ("temperature", "at most 90 °C", "2 °C", "two hundred degrees fahrenheit", "bad"),
        ("temperature", "at most 90 °C", "2 °C", "one hundred ninety degrees fahrenheit", "good"),
        ("charge of the battery", "at least 40 A·h", "1 A·h", "forty five amp hours", "good"),
        ("air ratio", "0.97:1 to 1.03:1", "0.1:1", "point nine five", "bad"),
        ("ripple at the posts", "at most 0.5 V AC", "0.1 V AC", "eighty millivolts", "good"),
        ("ripple at the posts", "at most 0.5 V AC", "0.1 V AC", "point nine volts a c", "bad"),
    ],
)
def test_a_value_in_another_unit_is_judged_by_what_it_is_worth(
    what: str, limit: str, steady: str, said: str, finding: str
) -> None:
    bench = one(what, limit, steady)
    bench.type(said)
    if bench.state is State.CONFIRM:
        bench.type("affirm reading")
    assert bench.session.finding == finding


def test_alternating_volts_are_no_direct_volts() -> None:
    bench = one("voltage at the posts", "12 V to 13 V", "1 V")
    assert "does not fit" in bench.type("twelve point five volts a c")
    assert not bench.session.finding


def test_degrees_that_wander_are_compared_with_what_the_step_allows_of_its_own() -> None:
    bench = one("temperature", "at most 90 °C", "2 °C")
    told = bench.type(
        "between one hundred degrees fahrenheit and one hundred ten degrees fahrenheit"
    )
    assert "moves" in told or "steady" in told or "wander" in told


DROP = "drop: {measure: voltage along it, accept: 0.1 V to 0.2 V, fail: bad, then: good}"


@pytest.mark.parametrize(("near", "far"), [("0.3", "30"), ("0.3", "3")])
def test_of_two_numbers_the_one_near_a_limit_with_two_ends_was_meant_if_it_alone_is(
    near: str, far: str
) -> None:
    bench = Lines(text=_text(DROP))
    bench.hear(volts(near), volts(far))
    assert bench.counting == {"drop": f"{near} V"}
    assert bench.session.finding == "bad"


@pytest.mark.parametrize(("one", "other"), [("0.3", "1.5"), ("0.15", "15")])
def test_where_the_other_is_not_far_or_the_near_one_is_good_it_is_asked(
    one: str, other: str
) -> None:
    bench = Lines(text=_text(DROP))
    bench.hear(volts(one), volts(other))
    assert bench.state is State.WHICH


TWICE = """
one: {measure: voltage on the pin, accept: at most 20 V, fail: bad}
two: {measure: voltage beside it, accept: at most 20 V, fail: bad, then: good}
"""


@pytest.mark.parametrize(("first", "meant"), [("0.40", "0.42"), ("4.0", "4.2")])
def test_of_the_same_digits_that_pass_either_way_an_earlier_reading_like_one_decides(
    first: str, meant: str
) -> None:
    bench = Lines(text=_text(TWICE))
    bench.say(volts(first))
    bench.hear(volts("0.42"), volts("4.2"))
    assert bench.counting["two"] == f"{meant} V"


def test_of_two_readings_in_their_unit_the_one_that_the_range_can_show_is_taken() -> None:
    bench = draw("10 A")
    bench.hear(*(Reading(Decimal(value), unit("mA")) for value in ("1.85", "185")))
    assert bench.counting["draw"] == "185 mA"


def test_bounds_settle_a_number_unless_an_earlier_reading_may_be_corrected_by_it() -> None:
    """The bounds of one step must not settle what is said of another."""
    read = "{measure: voltage, unit: V, plausible: 1 V to 30 V"
    bench = small(
        f"lit: {{lamp: at it, fail: bad}}\none: {read}}}\ntwo: {read}, then: good}}"
    ).after("bright")
    here = expectation(bench.engine.setup, bench.session)
    assert (str(here.lowest), str(here.highest)) == ("1 V", "30 V")
    after = expectation(bench.engine.setup, bench.after(volts("12")).session)
    assert (after.lowest, after.highest) == (None, None)


def at_the_drop() -> Lines:
    return Lines("heater-fan-module").walk(
        "earth-drop",
        battery="twelve point six",
        feed="twelve point five",
        feed_lamp="bright",
        earth_lamp="bright",
    )


@pytest.mark.parametrize("said", ["20", "twenty", "5", "two", "twelve"])
def test_a_whole_number_of_a_drop_may_be_in_millivolts_whatever_was_read_before(said: str) -> None:
    """On volts a meter shows a part as well: "twenty" at a good earth is no twenty volts."""
    bench = at_the_drop()
    assert "mV" in bench.type(said)
    assert bench.state is State.WHICH
    assert not bench.session.finding


@pytest.mark.parametrize("said", ["12.4", "twelve point oh", "twelve volts"])
def test_a_drop_with_its_part_or_its_unit_is_taken_as_said(said: str) -> None:
    bench = at_the_drop()
    bench.type(said)
    assert bench.session.finding == "earth-side"

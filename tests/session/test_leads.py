"""Leads the wrong way round, a meter over its range, a wandering or an impossible value.

A helper says what to do about each before anything is condemned. How meters behave is common
practice, no source.
"""

import pytest
from bench import METER, Bench, amps, small, volts
from lines import Lines

from voiceassist.language.meanings import OverRange, Spread
from voiceassist.session.states import State

FEED = {"battery": "twelve point six volts"}


def at_feed() -> Lines:
    return Lines("heater-fan-module").walk("feed", **FEED)


def test_a_minus_of_the_right_size_has_the_leads_swapped_and_condemns_nothing() -> None:
    bench = at_feed()
    said = bench.type("minus twelve point five volts")
    assert "your leads are the wrong way round" in said
    assert (bench.step, bench.state) == ("feed", State.MEASURE)
    assert "feed" not in bench.counting
    bench.type("twelve point five volts")
    assert bench.counting["feed"] == "12.5 V"


def test_a_minus_is_asked_about_once_more_when_the_leads_were_swapped() -> None:
    bench = at_feed()
    bench.type("minus twelve point five volts")
    assert "very unlikely" in bench.type("minus twelve point five volts")
    bench.type("affirm reading")
    assert bench.session.finding == "feed-side"


def test_a_drop_with_a_minus_over_its_limit_does_not_pass(typed: Bench) -> None:
    typed.to("earth-drop").say(volts("-12.4"))
    assert (typed.step, typed.state) == ("earth-drop", State.MEASURE)
    assert "wrong way round" in typed.texts()


def test_a_trace_of_minus_is_no_matter_of_the_leads(typed: Bench) -> None:
    assert typed.to("earth-drop").after(volts("-0.02")).step == "command-slow"


def test_a_clamp_the_wrong_way_round_is_told(typed: Bench) -> None:
    typed.to("motor-draw").say(amps("-7"))
    assert "the clamp" in typed.texts()


SIGNED = "charge: {measure: current into it, accept: -50 A to -5 A, fail: bad, then: good}"


def test_a_minus_that_is_wanted_passes() -> None:
    assert small(SIGNED).after(amps("-10")).session.finding == "good"


def test_over_range_where_volts_are_read_asks_for_a_higher_range() -> None:
    bench = at_feed()
    assert "Choose a higher range" in bench.type("over range")
    assert (bench.step, bench.session.finding) == ("feed", "")


def test_over_range_of_a_current_is_asked_about_before_it_condemns(typed: Bench) -> None:
    typed.to("motor-draw").say(OverRange())
    assert "highest range" in typed.texts()
    typed.after("affirm reading", "done")
    assert typed.step == "turns-freely"
    assert typed.after("negative").session.finding == "motor"


@pytest.mark.parametrize("said", ["twelve thousand volts", "one hundred twenty volts"])
def test_a_voltage_that_no_such_vehicle_has_is_questioned(said: str) -> None:
    bench = at_feed()
    assert "very unlikely" in bench.type(said)
    bench.type("twelve point five volts", "affirm reading")
    assert bench.counting["feed"] == "12.5 V"


def test_where_only_a_drop_is_judged_the_supply_itself_is_possible() -> None:
    bench = small("drop: {measure: voltage on it, accept: at most 0.1 V, fail: bad, then: good}")
    assert bench.after(volts("9.6")).session.finding == "bad"


def test_a_voltage_that_wanders_over_its_limit_is_a_loose_joint_and_no_matter_of_the_range() -> (
    None
):
    bench = Lines("heater-fan-module", meter=METER).walk("feed", battery="twelve point six zero")
    said = bench.type("between nine volts and thirteen volts")
    assert "loose joint" in said
    assert "range" not in said
    assert "Say skip" in bench.type("between nine volts and thirteen volts") or bench.step == "feed"


def test_a_current_that_wanders_or_is_close_never_has_the_range_turned() -> None:
    draw = "draw: {measure: current in it, accept: 2 mA to 50 mA, fail: bad, then: good}"
    bench = small(draw, meter=METER)
    bench.say(Spread(amps("0.03"), amps("0.06")))
    assert "Wait until it holds" in bench.texts()
    assert "range" not in small(draw, meter=METER).after(amps("0.0500")).texts()


POSTS = """
one: {measure: voltage across the battery posts, unit: V}
two: {measure: "voltage across the battery posts, load on", unit: V, then: good}
"""


@pytest.mark.parametrize("shown", ["0", "0.04"])
def test_a_battery_that_gave_its_voltage_does_not_read_nothing_unasked(shown: str) -> None:
    bench = small(POSTS).after(volts("12.6"), volts(shown))
    assert bench.state is State.CONFIRM
    assert "very unlikely here. Do both leads touch metal?" in bench.texts()
    assert bench.after(volts("12.2")).state is State.AFTER


def test_nothing_across_a_battery_as_the_first_reading_is_asked_about_once() -> None:
    bench = Lines("heater-fan-module").walk("battery")
    assert "Do both leads touch metal?" in bench.type("point zero two volts")
    assert bench.counting == {}
    assert "Too low" in bench.type("affirm reading")


FED = "feed: {measure: voltage on the feed, accept: 11 V to 13 V, fail: bad, then: good}"


def test_nothing_on_a_feed_is_asked_about_until_the_meter_has_shown_any_voltage() -> None:
    assert small(FED).after(volts("0.02")).state is State.CONFIRM
    earlier = f"one: {{measure: voltage on it, unit: V}}\n{FED}"
    assert small(earlier).after(volts("12.6"), volts("0.02")).session.finding == "bad"
    drop = FED.replace("11 V to 13 V", "at most 0.1 V")  # wants none
    assert small(drop).after(volts("0.02")).session.finding == "good"


def test_a_voltage_beyond_two_lorry_batteries_in_series_is_questioned() -> None:
    lorry = FED.replace("11 V to 13 V", "23 V to 29 V")
    assert small(lorry).after(volts("51")).state is State.CONFIRM
    assert small(lorry).after(volts("47")).session.finding == "bad"


def test_a_battery_that_is_pulled_down_by_its_load_is_believed() -> None:
    assert small(POSTS).after(volts("12.6"), volts("4")).state is State.AFTER

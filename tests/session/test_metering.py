"""The meter on the job: the range a step tells, and which range and socket when asked."""

from dataclasses import replace

import pytest
from bench import HOUSE, Bench, amps, small
from lines import Lines

from voiceassist.measure.meter import Meter
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.meter_file import read_meter

SHEET = (HOUSE / "procedures" / "meters" / "ordinary.yaml").read_text(encoding="utf-8")
ORDINARY = read_meter(SHEET, "ordinary.yaml")
#: The same without a fine range in the large socket: 10.00 A is all it shows there.
COARSE = replace(
    ORDINARY, ranges=tuple(r for r in ORDINARY.ranges if r.top != Quantity.parse("6 A"))
)
IN_LINE = """
one:
  measure: current in the cable
  meter: 10 A
  accept: 2 mA to 50 mA
  if-close: put the clamp back on its post first
  fail: bad
  then: good
"""


def at_draw(meter: Meter) -> Bench:
    return small(IN_LINE, meter=meter).after("done")


# --- a reading too small for the range that the step tells ---


@pytest.mark.parametrize("shown", ["0.02", "0.03", "0.04"])
def test_a_reading_within_the_doubt_of_the_large_range_is_no_verdict(shown: str) -> None:
    bench = at_draw(COARSE).after(amps(shown))
    assert bench.session.ledger == ()
    assert "On its 10 A range the meter may be" in bench.texts()
    assert "Put the clamp back on its post first." in bench.texts()


def test_a_reading_beyond_that_doubt_is_judged() -> None:
    assert at_draw(COARSE).after(amps("0.40")).session.finding == "bad"


def test_a_finer_range_in_the_same_socket_tells_a_good_draw() -> None:
    assert at_draw(ORDINARY).after(amps("0.023")).session.finding == "good"


def test_the_draw_of_a_sleeping_vehicle_is_not_called_good_by_two_digits() -> None:
    answers = {
        "hybrid": "no",
        "battery": "twelve point five volts",
        "minus_joint": "point zero five volts",
        "rough_draw": "point four amps",
    }
    bench = Lines("key-off-draw", meter=COARSE).walk("draw", **answers)
    bench.type("point zero four amps")
    assert bench.step == "draw"
    assert "minus clamp back on" in bench.texts().lower()


# --- asked which range, and which socket ---

ASKED = {
    "volts": "one: {measure: voltage of it, accept: at most 0.1 V, fail: bad, then: good}",
    "more": "one: {measure: voltage of it, accept: 12.0 V to 12.9 V, fail: bad, then: good}",
    "ohms": "one: {measure: resistance of it, accept: 54 Ω to 66 Ω, fail: bad, then: good}",
    "clamp": "one: {measure: 'current in it, by clamp', accept: 3 A to 12 A, fail: bad, "
    "then: good}",
    "none": "one: {ask: is it whole, answers: {yes: good, no: bad}}",
}


@pytest.mark.parametrize(
    ("step", "answer"),
    [
        ("volts", "Volts, direct current. The 600 mV range. "
         "Red lead in the volts and ohms socket."),
        ("more", "Volts, direct current. The 60 V range. Red lead in the volts and ohms socket."),
        ("ohms", "Ohms. The 600 Ω range. Red lead in the volts and ohms socket. "
         "Nothing may be live."),
        ("clamp", "The clamp, direct current. The 60 A range. "
         "Set it to zero before it goes round the wire."),
        ("none", "This step needs no meter."),
    ],
)  # fmt: skip
def test_the_range_is_that_of_the_own_meter_for_what_is_expected(step: str, answer: str) -> None:
    assert small(ASKED[step], meter=ORDINARY).after("range").texts() == answer


def test_the_socket_is_the_one_that_the_step_tells() -> None:
    bench = at_draw(ORDINARY).after("range")
    assert "The 6 A range. Red lead in the 10 A socket." in bench.texts()


def test_without_a_meter_on_file_the_range_is_told_in_general() -> None:
    bench = small(ASKED["more"]).after("range")
    assert "Choose a range above what you expect." in bench.texts()


@pytest.mark.parametrize("asked", ["which range", "which socket", "which hole for the red lead"])
def test_people_ask_for_range_and_socket_in_their_own_words(asked: str) -> None:
    bench = Lines("heater-fan-module", meter=ORDINARY)
    bench.type("affirm")
    assert "The 60 V range." in bench.type(asked)


# --- how long the rest takes ---


def test_the_time_of_the_rest_counts_steps_and_waits() -> None:
    """By hand: reading 60 s and work 300 s; a wait of 20 minutes and 10 s to begin it."""
    steps = """
    one: {measure: voltage of it, accept: at most 9 V, fail: bad, then: rest}
    rest: {wait: it to cool, for: 20 min, then: mend}
    mend: {do: mend it, then: good}
    """
    told = small(steps).after("how-far").texts()
    assert told == (
        "At most 3 more steps to a finding, about 27 minutes. 20 minutes of it is waiting."
    )

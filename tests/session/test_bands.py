"""Readings that fail by a little or by all of it: each band has a way of its own."""

import pytest
from bench import METER, Bench, small, volts

from voiceassist.language.meanings import Reading, Spread
from voiceassist.measure.meter import Meter

STEPS = """
battery: {measure: voltage of the battery, unit: V}
feed:
  measure: voltage on the feed
  accept: 11 V to 13 V
  bands: {at most 1 V: none, at least 2 * battery: double}
  low: weak
  high: much
  then: good
"""
MORE = """
findings:
  good: {cause: all is well, correction: nothing}
  none: {cause: nothing arrives, correction: look at the fuse}
  weak: {cause: too little arrives, correction: clean the joint}
  much: {cause: too much arrives, correction: test the charging}
  double: {cause: two batteries are in a row, correction: join them side by side}
"""


def found(reading: Reading | Spread, meter: Meter | None = None) -> Bench:
    return small(STEPS, more=MORE, meter=meter).after(volts("12.5"), reading)


@pytest.mark.parametrize(
    ("reading", "finding"),
    [
        ("0.3", "none"), ("1", "none"), ("1.1", "weak"), ("10.9", "weak"),
        ("13.1", "much"), ("24.9", "much"), ("25", "double"),
    ],
)  # fmt: skip
def test_a_reading_that_fails_goes_the_way_of_its_band(reading: str, finding: str) -> None:
    assert found(volts(reading)).session.finding == finding


def test_a_reading_that_passes_knows_no_band() -> None:
    assert found(volts("12")).session.finding == "good"


def test_what_is_told_of_the_reading_is_still_that_it_is_too_low() -> None:
    bench = found(volts("0.3"))
    assert bench.session.ledger[-1].outcome == "low"
    assert bench.texts().startswith("0.3 V. Too low")


def test_a_band_must_surely_hold_the_reading() -> None:
    """The meter's doubt at 1 V is ±(0.5 % + 2 counts of 1 mV), 7 mV: 0.999 V may be over it."""
    assert found(volts("0.999"), meter=METER).session.finding == "weak"
    assert found(volts("0.95"), meter=METER).session.finding == "none"


def test_of_a_reading_that_wanders_both_ends_are_in_the_band() -> None:
    assert found(Spread(volts("0.2"), volts("0.8"))).session.finding == "none"
    assert found(Spread(volts("0.2"), volts("1.8"))).session.finding == "weak"


def test_a_correction_leads_into_another_band() -> None:
    bench = found(volts("5"))
    bench.correct(volts("0.5"))
    bench.say("affirm reading")
    assert bench.session.finding == "none"


def test_it_is_explained_what_each_band_would_mean() -> None:
    bench = small(STEPS, more=MORE).after(volts("12.5"), "explain")
    assert bench.texts() == (
        "If at most 1 V: nothing arrives. If at least 25 V: two batteries are in a row. "
        "If too low: too little arrives. If too high: too much arrives."
    )

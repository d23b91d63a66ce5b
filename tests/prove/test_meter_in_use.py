"""A meter in use errs, but never more than its data sheet lets it."""

from decimal import Decimal

import numpy as np
from bench import METER
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.language.meanings import OverRange, Reading
from voiceassist.measure.quantity import Quantity
from voiceassist.prove.meter_in_use import MeterInUse


def read(value: str, seed: int = 1) -> Reading | OverRange:
    return MeterInUse(METER, np.random.default_rng(seed)).read(Quantity.parse(value))


@given(st.decimals("0.001", "59", places=5), st.integers(0, 1000))
def test_it_errs_within_percent_and_counts_and_half_a_digit(value: Decimal, seed: int) -> None:
    true = Quantity.parse(f"{value} V")
    shown = read(f"{value} V", seed)
    assert isinstance(shown, Reading)
    assert shown.unit is not None
    used = METER.range_for(true)
    assert used is not None
    got = Quantity(shown.value, shown.unit)
    over_the_top = METER.range_for(Quantity(true.value * Decimal("1.01"), true.unit))
    finest = max(r.resolution.in_base for r in (used, METER.range_for(got), over_the_top) if r)
    bound = true.in_base * Decimal("0.005") + Decimal("2.5") * finest
    assert abs(got.in_base - true.in_base) <= bound + true.in_base * Decimal("0.0001")


def test_it_shows_the_digits_of_the_range_it_picks() -> None:
    for value, digits in {"12.6 V": -2, "5.1 V": -3, "0.3 V": -1, "4700 Ω": -2}.items():
        shown = read(value)
        assert isinstance(shown, Reading)
        assert shown.value.as_tuple().exponent == digits


def test_what_no_range_holds_is_over_range() -> None:
    assert isinstance(read("70 V"), OverRange)
    assert isinstance(read("100 kΩ"), OverRange)


def test_all_readings_on_a_range_share_their_gain() -> None:
    hand = MeterInUse(METER, np.random.default_rng(4))
    shown = [hand.read(Quantity.parse(v)) for v in ("50 V", "50 V", "50 V", "50 V")]
    values = [one.value for one in shown if isinstance(one, Reading)]
    assert len(values) == 4
    assert max(values) - min(values) <= Decimal("0.04")  # the counts; the gain alone could be 0.5


def test_without_a_meter_a_reading_has_four_digits() -> None:
    shown = MeterInUse(None, np.random.default_rng(1)).read(Quantity.parse("12.34567 V"))
    assert shown == Reading(Decimal("12.35"), Quantity.parse("1 V").unit)
    tiny = MeterInUse(None, np.random.default_rng(1)).read(Quantity.parse("0 A"))
    assert isinstance(tiny, Reading)
    assert tiny.value == 0

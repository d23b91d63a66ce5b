from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.errors import MeasureError
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import unit, units_of

values = st.decimals(-999_999, 999_999, places=4)
volts = st.builds(Quantity, values, st.sampled_from(units_of("voltage")))


def q(text: str) -> Quantity:
    return Quantity.parse(text)


def test_a_reading_keeps_its_last_zero() -> None:
    assert str(q("12.60 V")) == "12.60 V"


def test_the_step_is_one_count_of_the_last_digit() -> None:
    assert q("12.60 V").step == Decimal("0.01")
    assert q("0.350 V").step == Decimal("0.001")
    assert q("60 Ω").step == Decimal(1)


@pytest.mark.parametrize(
    ("written", "value", "symbol"),
    [
        ("8.4V", "8.4", "V"),
        ("-20 mA", "-20", "mA"),
        ("−0.5 V", "-0.5", "V"),
        (".05 V", "0.05", "V"),
    ],
)
def test_written_quantities_are_read(written: str, value: str, symbol: str) -> None:
    assert q(written) == Quantity(Decimal(value), unit(symbol))


@pytest.mark.parametrize("wrong", ["", "V", "8.4", "8,4 V", "1e3 V", "NaN V", "8.4 V V", "8..4 V"])
def test_what_is_not_a_quantity_is_refused(wrong: str) -> None:
    with pytest.raises(MeasureError):
        q(wrong)


def test_a_float_never_becomes_a_reading() -> None:
    with pytest.raises(TypeError, match="Decimal"):
        Quantity(8.4, unit("V"))  # type: ignore[arg-type]


@pytest.mark.parametrize("value", ["NaN", "Infinity", "-Infinity"])
def test_only_finite_numbers_are_readings(value: str) -> None:
    with pytest.raises(MeasureError):
        Quantity(Decimal(value), unit("V"))


def test_units_of_another_kind_do_not_mix() -> None:
    with pytest.raises(MeasureError, match="current"):
        q("8 V") + q("2 A")
    with pytest.raises(MeasureError, match="current"):
        assert q("8 V") < q("2 A")


def test_a_thousand_times_off_is_not_the_same() -> None:
    assert q("84 mV").same_as(q("0.084 V"))
    assert not q("84 mV").same_as(q("84 V"))


@given(volts, st.sampled_from(units_of("voltage")))
def test_converting_there_and_back_changes_nothing(reading: Quantity, other: object) -> None:
    there = reading.to(other)  # type: ignore[arg-type]
    assert there.same_as(reading)
    assert there.to(reading.unit) == reading


@given(volts, volts)
def test_a_sum_less_one_part_is_the_other(one: Quantity, two: Quantity) -> None:
    assert (one + two - two).same_as(one)


@given(volts)
def test_what_is_shown_reads_back_the_same(reading: Quantity) -> None:
    assert q(str(reading)) == reading

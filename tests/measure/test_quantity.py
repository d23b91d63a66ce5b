from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.errors import MeasureError
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import unit, units_of

values = st.decimals(-999_999, 999_999, places=4)
volts = st.builds(Quantity, values, st.sampled_from(units_of("voltage")))
#: From microvolts to megavolts: their sums need fewer than the 28 digits that Decimal works with.
common_volts = st.builds(
    Quantity, values, st.sampled_from([u for u in units_of("voltage") if abs(u.exponent) <= 6])
)


def q(text: str) -> Quantity:
    return Quantity.parse(text)


def test_a_reading_keeps_its_last_zero() -> None:
    assert str(q("12.60 V")) == "12.60 V"


def test_the_step_is_one_count_of_the_last_digit() -> None:
    assert q("12.60 V").step == Decimal("0.01")
    assert q("0.350 V").step == Decimal("0.001")
    assert q("60 Ω").step == Decimal(1)


def test_the_step_stays_the_same_in_another_unit() -> None:
    assert q("12.60 V").to(unit("mV")).step == Decimal(10)
    assert q("84 mV").to(unit("V")).step == Decimal("0.001")


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


@given(common_volts, common_volts)
def test_a_sum_less_one_part_is_the_other(one: Quantity, two: Quantity) -> None:
    assert (one + two - two).same_as(one)


@given(volts)
def test_what_is_shown_reads_back_the_same(reading: Quantity) -> None:
    assert q(str(reading)) == reading


@pytest.mark.parametrize(
    ("one", "other", "product"),
    [
        # Ohm's law and P = U * I; arithmetic by hand.
        ("12.6 V", "5.00 A", "63 W"),
        ("20 mA", "250 Ω", "5 V"),
        ("12 V", "50 %", "6 V"),
        ("50 %", "50 %", "25 %"),
        ("3 kΩ", "2 mA", "6 V"),
    ],
)
def test_a_product_is_the_same_in_either_order(one: str, other: str, product: str) -> None:
    assert (q(one) * q(other)).same_as(q(product))
    assert (q(other) * q(one)).same_as(q(product))


@pytest.mark.parametrize(
    ("top", "bottom", "quotient"),
    [
        ("12 V", "4 A", "3 Ω"),
        ("12 V", "4 kΩ", "3 mA"),
        ("60 W", "12 V", "5 A"),
        ("60 W", "5 A", "12 V"),
        ("300 mV", "12 V", "2.5 %"),
        ("6 V", "50 %", "12 V"),
        ("3 times", "4 times", "75 %"),
    ],
)
def test_a_quotient_has_its_own_unit(top: str, bottom: str, quotient: str) -> None:
    assert (q(top) / q(bottom)).same_as(q(quotient))


@pytest.mark.parametrize(
    ("one", "other"),
    [("12 V", "12 V"), ("2 A", "2 A"), ("2 W", "3 Ω"), ("5 m", "5 m"), ("20 °C", "2 V")],
)
def test_a_product_without_a_meaning_is_refused_with_a_way_out(one: str, other: str) -> None:
    with pytest.raises(MeasureError, match="multiply V by A"):
        q(one) * q(other)


@pytest.mark.parametrize(
    ("one", "other"), [("2 A", "12 V"), ("2 W", "3 Ω"), ("20 °C", "10 °C"), ("50 %", "2 V")]
)
def test_a_quotient_without_a_meaning_is_refused_with_a_way_out(one: str, other: str) -> None:
    with pytest.raises(MeasureError, match="divide V by A"):
        q(one) / q(other)


@pytest.mark.parametrize("zero", ["0 A", "0.00 V", "0 %", "-0 Ω"])
def test_nothing_is_divided_by_zero(zero: str) -> None:
    with pytest.raises(MeasureError, match="divided by zero"):
        q("12 V") / q(zero)
    with pytest.raises(MeasureError, match="divided by zero"):
        q("12 V").over(Decimal(0))


def test_a_quotient_has_twelve_digits_at_most() -> None:
    assert str(q("1 V") / q("3 A")) == "0.333333333333 Ω"
    assert str(q("12.60 V").over(Decimal(2))) == "6.30 V"


@given(
    volts, st.builds(Quantity, st.decimals(1, 999, places=2), st.sampled_from(units_of("current")))
)
def test_ohms_law_there_and_back(voltage: Quantity, current: Quantity) -> None:
    back = voltage / current * current
    assert abs(back.in_base - voltage.in_base) <= abs(voltage.in_base) * Decimal("1E-11")

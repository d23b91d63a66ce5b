"""Units by symbol. SI prefixes and names: SI Brochure, 9th edition, from memory."""

from decimal import Context, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.errors import MeasureError
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import (
    QUANTITIES,
    WRITTEN_ONLY,
    a_thousand_apart,
    base_unit,
    unit,
    units_of,
)


@pytest.mark.parametrize(
    ("symbol", "quantity", "exponent"),
    [
        ("V", "voltage", 0),
        ("mV", "voltage", -3),
        ("µA", "current", -6),
        ("kΩ", "resistance", 3),
        ("MΩ", "resistance", 6),
        ("mΩ", "resistance", -3),
        ("GHz", "frequency", 9),
        ("nF", "capacitance", -9),
        ("pF", "capacitance", -12),
        ("kPa", "pressure", 3),
        ("ms", "time", -3),
        ("%", "ratio", 0),
        ("°C", "temperature", 0),
        ("rpm", "rotation", 0),
        ("N·m", "torque", 0),
        ("times", "count", 0),
        ("mm", "length", -3),
        ("m", "length", 0),
        ("km", "length", 3),
        ("mm²", "area", 0),
        ("mV AC", "ac-voltage", -3),
        ("A·h", "charge", 0),
        ("mA·h", "charge", -3),
        ("bar", "pressure", 5),
        ("mbar", "pressure", 2),
        (":1", "ratio", 2),
    ],
)
def test_a_symbol_tells_quantity_and_power_of_ten(
    symbol: str, quantity: str, exponent: int
) -> None:
    found = unit(symbol)
    assert (found.symbol, found.quantity, found.exponent) == (symbol, quantity, exponent)


def test_milli_and_mega_differ_by_a_thousand_million() -> None:
    assert unit("MΩ").factor / unit("mΩ").factor == Decimal(10) ** 9


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("uA", "µA"),
        ("kohm", "kΩ"),
        ("ohms", "Ω"),
        ("Nm", "N·m"),
        ("C", "°C"),
        (" mV ", "mV"),
        ("μV", "µV"),
        ("mm2", "mm²"),
        ("VAC", "V AC"),
        ("mVAC", "mV AC"),
        ("Ah", "A·h"),
        ("mAh", "mA·h"),
        ("degF", "°F"),
    ],
)
def test_keyboard_spellings_are_taken(typed: str, meant: str) -> None:
    assert unit(typed) == unit(meant)


@pytest.mark.parametrize("wrong", ["", "v", "Volt", "mmV", "k%", "KV", "8", "ktimes", "cm", "kmm²"])
def test_an_unknown_symbol_is_refused_with_a_way_out(wrong: str) -> None:
    with pytest.raises(MeasureError, match="use one of V, V AC, A"):
        unit(wrong)


@pytest.mark.parametrize("quantity", [*QUANTITIES, *WRITTEN_ONLY])
def test_every_quantity_has_a_base_unit_among_its_units(quantity: str) -> None:
    base = base_unit(quantity)
    assert base.exponent == 0
    assert base in units_of(quantity)
    assert base.is_decimal
    assert {u.base for u in units_of(quantity)} == {base.symbol}


def test_lengths_and_areas_are_written_but_never_spoken_as_a_reading() -> None:
    assert {"length", "area"} == set(WRITTEN_ONLY)
    assert not set(WRITTEN_ONLY) & set(QUANTITIES)


def test_an_unknown_quantity_is_refused() -> None:
    with pytest.raises(MeasureError, match="'colour'"):
        base_unit("colour")


# NIST SP 811 (2008), appendix B.8: psi 6.894 757 E+03 Pa, bar 1.0 E+05 Pa, minute 6.0 E+01 s,
# hour 3.6 E+03 s, ampere hour; degrees Fahrenheit by (F - 32)/1.8. From memory.
@pytest.mark.parametrize(
    ("given", "symbol", "expected"),
    [
        ("1 psi", "Pa", "6894.757"),
        ("1 bar", "psi", "14.50377"),
        ("2.5 bar", "kPa", "250"),
        ("32 psi", "bar", "2.206322"),
        ("1013.25 mbar", "kPa", "101.325"),
        ("212 °F", "°C", "100"),
        ("32 °F", "°C", "0"),
        ("-40 °F", "°C", "-40"),
        ("37 °C", "°F", "98.6"),
        ("1.5 h", "min", "90"),
        ("2 min", "s", "120"),
        ("14.7:1", "%", "1470"),
        ("1200 mA·h", "A·h", "1.2"),
        ("14.1 V AC", "mV AC", "14100"),
    ],
)
def test_a_value_in_another_unit_agrees_with_the_published_factor(
    given: str, symbol: str, expected: str
) -> None:
    found = Quantity.parse(given).to(unit(symbol)).value
    digits = len(Decimal(expected).as_tuple().digits)
    assert Context(prec=max(digits, 7)).plus(found) == Decimal(expected)


@given(st.decimals(-5000, 5000, places=3), st.data())
def test_a_value_comes_back_from_any_unit_of_its_kind(value: Decimal, data: st.DataObject) -> None:
    quantity = data.draw(st.sampled_from(sorted(QUANTITIES)))
    here, there = (data.draw(st.sampled_from(units_of(quantity))) for _ in range(2))
    back = Quantity(value, here).to(there).to(here).value
    assert abs(back - value) <= abs(value) * Decimal("1e-24") + Decimal("1e-22")


@given(st.decimals(-5000, 5000, places=3), st.decimals(-5000, 5000, places=3), st.data())
def test_the_order_of_two_values_is_that_of_their_base_units(
    one: Decimal, other: Decimal, data: st.DataObject
) -> None:
    here = data.draw(st.sampled_from([u for q in QUANTITIES for u in units_of(q)]))
    assert (Quantity(one, here) < Quantity(other, here)) == (one < other)


def test_degrees_of_two_zeros_are_not_added() -> None:
    warm, rise = Quantity.parse("70 °F"), Quantity.parse("5 °C")
    assert str(warm + Quantity.parse("9 °F")) == "79 °F"
    with pytest.raises(MeasureError, match="write both in °C"):
        warm + rise
    with pytest.raises(MeasureError, match="write both in °C"):
        rise - warm


def test_a_difference_of_degrees_has_no_zero() -> None:
    assert Quantity.parse("9 °F").size_in_base == 5


def test_a_value_is_read_in_another_unit_as_fine_as_it_was_given() -> None:
    assert str(Quantity.parse("70 °F").as_read(unit("°C"))) == "21.1 °C"
    assert str(Quantity.parse("70.25 °F").as_read(unit("°C"))) == "21.250 °C"


def test_only_prefixes_make_units_a_thousand_apart() -> None:
    near = [(a.symbol, b.symbol) for q in ("pressure", "time") for a in units_of(q)
            for b in units_of(q) if a_thousand_apart(a, b) and a.factor < b.factor]  # fmt: skip
    assert ("mbar", "bar") in near
    assert ("Pa", "kPa") in near
    assert not [pair for pair in near if {"psi", "min", "h"} & set(pair)]

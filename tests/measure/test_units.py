"""Units by symbol. SI prefixes and names: SI Brochure, 9th edition, from memory."""

from decimal import Decimal

import pytest

from voiceassist.errors import MeasureError
from voiceassist.measure.units import QUANTITIES, WRITTEN_ONLY, base_unit, unit, units_of


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
    ],
)
def test_keyboard_spellings_are_taken(typed: str, meant: str) -> None:
    assert unit(typed) == unit(meant)


@pytest.mark.parametrize("wrong", ["", "v", "Volt", "mmV", "k%", "KV", "8", "ktimes", "cm", "kmm²"])
def test_an_unknown_symbol_is_refused_with_a_way_out(wrong: str) -> None:
    with pytest.raises(MeasureError, match="use one of V, A"):
        unit(wrong)


@pytest.mark.parametrize("quantity", [*QUANTITIES, *WRITTEN_ONLY])
def test_every_quantity_has_a_base_unit_among_its_units(quantity: str) -> None:
    base = base_unit(quantity)
    assert base.exponent == 0
    assert base in units_of(quantity)
    assert {u.base for u in units_of(quantity)} == {base.symbol}


def test_lengths_and_areas_are_written_but_never_spoken_as_a_reading() -> None:
    assert {"length", "area"} == set(WRITTEN_ONLY)
    assert not set(WRITTEN_ONLY) & set(QUANTITIES)


def test_an_unknown_quantity_is_refused() -> None:
    with pytest.raises(MeasureError, match="'colour'"):
        base_unit("colour")

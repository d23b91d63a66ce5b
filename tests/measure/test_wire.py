"""Copper wire against the printed tables of its standards."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.errors import MeasureError
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.wire import (
    CLASS_5,
    COPPER,
    copper_resistance,
    gauge_diameter,
    voltage_drop,
)

q = Quantity.parse
KILOMETRE = q("1 km")
KILOFOOT = q("304.8 m")


def rounded(found: Quantity, symbol: str, like: str) -> Decimal:
    """``found`` in ``symbol`` with as many decimals as ``like``."""
    its_unit = q(f"1 {symbol}").unit
    return found.to(its_unit).value.quantize(Decimal(like))


def as_printed(found: Quantity, printed: str) -> bool:
    """True when they agree to half the last printed digit and 0.1 %.

    Printed tables round the resistivity differently.
    """
    table = Decimal(printed)
    half_digit = Decimal(5).scaleb(len(printed.partition(".")[2]) * -1 - 1)
    return abs(found.value - table) <= half_digit + table / 1000


@pytest.mark.parametrize(
    ("gauge", "inches"),
    # ASTM B258, as public tables print it.
    [(36, "0.0050"), (18, "0.0403"), (14, "0.06408"), (12, "0.08081"), (10, "0.1019")],
)
def test_a_gauge_has_its_diameter(gauge: int, inches: str) -> None:
    found = gauge_diameter(gauge).value / Decimal("25.4")
    assert found.quantize(Decimal(inches)) == Decimal(inches)


@pytest.mark.parametrize(
    ("gauge", "per_kilofoot", "per_kilometre"),
    # Public tables of solid copper at 20 °C.
    [
        (22, "16.14", "52.94"),
        (20, "10.15", "33.29"),
        (18, "6.39", "20.94"),
        (16, "4.02", "13.17"),
        (14, "2.53", "8.28"),
        (12, "1.59", "5.21"),
        (10, "1.00", "3.28"),
        (8, "0.63", "2.06"),
        (4, "0.25", "0.82"),
    ],
)
def test_solid_wire_has_the_resistance_of_the_tables(
    gauge: int, per_kilofoot: str, per_kilometre: str
) -> None:
    assert as_printed(copper_resistance(gauge, KILOFOOT), per_kilofoot)
    assert as_printed(copper_resistance(gauge, KILOMETRE), per_kilometre)


@pytest.mark.parametrize(
    ("gauge", "ohms"),
    # NEC chapter 9 table 8, solid uncoated copper at 75 °C, Ω per 1000 ft; from memory.
    [(18, "7.77"), (16, "4.89"), (14, "3.07"), (12, "1.93"), (10, "1.21"), (8, "0.764")],
)
def test_warm_solid_wire_has_the_resistance_of_the_tables(gauge: int, ohms: str) -> None:
    assert as_printed(copper_resistance(gauge, KILOFOOT, q("75 °C")), ohms)


@pytest.mark.parametrize(
    ("area", "ohms"),
    # IEC 60228 table 3, class 5, plain copper, at most Ω per km at 20 °C.
    [
        ("0.5", "39.0"),
        ("0.75", "26.0"),
        ("1", "19.5"),
        ("1.5", "13.3"),
        ("2.5", "7.98"),
        ("4", "4.95"),
        ("6", "3.30"),
        ("10", "1.91"),
        ("16", "1.21"),
        ("25", "0.780"),
        ("35", "0.554"),
        ("50", "0.386"),
    ],
)
def test_flexible_wire_has_the_resistance_of_its_class(area: str, ohms: str) -> None:
    assert copper_resistance(q(f"{area} mm²"), KILOMETRE).same_as(q(f"{ohms} Ω"))


@pytest.mark.parametrize("area", CLASS_5)
def test_flexible_wire_is_worse_than_solid_copper_of_its_area(area: Decimal) -> None:
    # 10.8 to 15.7 % above resistivity over area (IEC 60028 and IEC 60228, worked out).
    solid = COPPER * 1000 / area
    assert Decimal("1.107") < CLASS_5[area] / solid < Decimal("1.158")


@pytest.mark.parametrize(
    ("celsius", "factor"),
    # 1 + 0.00393 (T - 20), IEC 60028; (234.5 + T) / 254.5 gives the same to three decimals.
    [
        ("-40", "0.764"),
        ("0", "0.921"),
        ("20", "1.000"),
        ("50", "1.118"),
        ("75", "1.216"),
        ("85", "1.255"),
        ("105", "1.334"),
    ],
)
def test_warm_copper_resists_more(celsius: str, factor: str) -> None:
    cold = copper_resistance(q("1 mm²"), KILOMETRE)
    warm = copper_resistance(q("1 mm²"), KILOMETRE, q(f"{celsius} °C"))
    assert (warm.value / cold.value).quantize(Decimal(factor)) == Decimal(factor)
    other = (Decimal("234.5") + Decimal(celsius)) / Decimal("254.5")
    assert warm.value / cold.value == pytest.approx(other, abs=Decimal("0.0005"))


@pytest.mark.parametrize(
    ("size", "length", "celsius", "volts"),
    # Worked out from IEC 60228, IEC 60028 and ASTM B258 for 10 A; 20 ft is 6.096 m.
    [
        ("1.5 mm²", "6 m", "20", "0.798"),
        ("1.5 mm²", "12 m", "20", "1.596"),
        ("1.5 mm²", "6 m", "85", "1.002"),
        ("2.5 mm²", "6 m", "20", "0.479"),
        (14, "6.096 m", "20", "0.505"),
    ],
)
def test_current_drops_voltage_along_a_wire(
    size: str | int, length: str, celsius: str, volts: str
) -> None:
    made = size if isinstance(size, int) else q(size)
    found = voltage_drop(made, q(length), q("10 A"), q(f"{celsius} °C"))
    assert rounded(found, "V", volts) == Decimal(volts)


@given(st.sampled_from(sorted(CLASS_5)), st.integers(0, 100), st.integers(0, 100))
def test_a_wire_in_two_pieces_is_as_good_as_one(area: Decimal, one: int, two: int) -> None:
    def resistance(metres: int) -> Decimal:
        return copper_resistance(q(f"{area} mm²"), q(f"{metres} m")).value

    assert resistance(one) + resistance(two) == resistance(one + two)


@pytest.mark.parametrize(
    ("size", "length", "celsius", "fault"),
    [
        ("1.4 mm²", "6 m", "20", "use one of 0.5, 0.75"),
        ("1.5 mm", "6 m", "20", "area"),
        ("1.5 mm²", "-6 m", "20", "zero or more"),
        ("1.5 mm²", "6 V", "20", "length"),
        ("1.5 mm²", "6 m", "900", "no wire is used at"),
        ("1.5 mm²", "6 m", "-300", "no wire is used at"),
        (41, "6 m", "20", "no gauge 41"),
        (-4, "6 m", "20", "no gauge -4"),
    ],
)
def test_a_wire_that_cannot_be_is_refused(
    size: str | int, length: str, celsius: str, fault: str
) -> None:
    made = size if isinstance(size, int) else q(size)
    with pytest.raises(MeasureError, match=fault):
        copper_resistance(made, q(length), q(f"{celsius} °C"))


def test_only_a_current_drops_voltage() -> None:
    with pytest.raises(MeasureError, match="current"):
        voltage_drop(q("1.5 mm²"), q("6 m"), q("10 V"))


def test_a_resistance_has_no_more_digits_than_its_source_can_stand_for() -> None:
    for size in (18, q("1.5 mm²")):
        found = copper_resistance(size, q("7 m"), q("33 °C")).value
        assert len(found.as_tuple().digits) <= 12
    assert len(gauge_diameter(7).value.as_tuple().digits) <= 12

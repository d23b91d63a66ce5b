"""A meter's doubt, by its data sheet. Formulas: JCGM 100:2008 (GUM) 4.3.7 and F.2.2.1."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.errors import MeasureError
from voiceassist.measure.accuracy import Accuracy
from voiceassist.measure.meter import Meter, MeterRange, bound
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.uncertainty import Estimate, difference
from voiceassist.measure.units import unit, units_of

q = Quantity.parse
D = Decimal


def volts(top: str, resolution: str, percent: str = "0.5", counts: int = 2) -> MeterRange:
    return MeterRange("voltage", q(top), q(resolution), Accuracy(D(percent), counts))


#: Its 4 V and 40 V ranges show three and two decimals.
METER = Meter(
    "bench",
    (
        volts("40 V", "0.01 V"),
        volts("4 V", "0.001 V"),
        volts("400 mV", "0.1 mV"),
        MeterRange("resistance", q("400 Ω"), q("0.1 Ω"), Accuracy(D("0.8"), 3)),
    ),
    q("10 MΩ"),
)


def plain(percent: str, counts: int, top: str, resolution: str) -> Meter:
    return Meter("plain", (volts(top, resolution, percent, counts),))


@pytest.mark.parametrize(
    ("meter", "reading", "half_width", "doubt"),
    [
        # Half-width a by the data-sheet form ±(percent of reading + counts), then a/√3; by hand.
        (plain("0.5", 2, "40 V", "0.01 V"), "12.60 V", "0.083", "0.0479"),
        (plain("0.5", 2, "40 V", "0.01 V"), "-12.60 V", "0.083", "0.0479"),
        (plain("0.5", 2, "40 V", "0.01 V"), "8.40 V", "0.062", "0.0358"),
        (plain("0.5", 3, "4 V", "0.001 V"), "0.350 V", "0.00475", "0.00274"),
        (plain("0.09", 2, "6 V", "0.001 V"), "5.000 V", "0.0065", "0.00375"),
        (plain("0.5", 2, "40 V", "0.01 V"), "0.00 V", "0.02", "0.0115"),
        # JCGM 100 4.3.7, example 2: ±(14e-6 of reading + 2e-6 of the 1 V range), 15 µV and 8.7 µV.
        (plain("0.0014", 2, "1 V", "0.000001 V"), "0.928571 V", "0.0000150", "0.0000087"),
    ],
)
def test_a_reading_is_in_doubt_by_the_data_sheet(
    meter: Meter, reading: str, half_width: str, doubt: str
) -> None:
    found = meter.estimate("feed", q(reading)).standard
    assert (found * D(3).sqrt()).quantize(D(half_width)) == D(half_width)
    assert found.quantize(D(doubt)) == D(doubt)


def test_half_the_width_of_the_data_sheet_over_the_root_of_three_is_the_doubt() -> None:
    found = METER.estimate("battery", q("12.60 V")).standard
    assert found.quantize(D("0.0001")) == D("0.0479")  # 0.083/√3, by hand


def test_doubt_from_repeats_joins_that_of_the_data_sheet() -> None:
    # JCGM 100 5.1.5: 8.7 µV by data sheet and 12 µV from repeats make 15 µV, 16e-6 of the value.
    reading = q("0.928571 V")
    sheet = plain("0.0014", 2, "1 V", "0.000001 V").estimate("v", reading)
    both = Estimate(reading, (*sheet.parts, ("repeats", D("0.000012"))))
    assert both.standard.quantize(D("0.000001")) == D("0.000015")
    assert (both.standard / reading.value).quantize(D("0.000001")) == D("0.000016")


@pytest.mark.parametrize(
    ("reading", "top"),
    [
        ("0.350 V", "400 mV"),
        ("400 mV", "400 mV"),
        ("0.401 V", "4 V"),
        ("-12.60 V", "40 V"),
        ("40.01 V", None),
        ("120 Ω", "400 Ω"),
        ("2 A", None),
    ],
)
def test_the_smallest_range_that_holds_a_reading_is_used(reading: str, top: str | None) -> None:
    used = METER.range_for(q(reading))
    assert (str(used.top) if used else None) == top


# --- what readings share ---


def test_readings_on_one_range_share_the_error_of_its_gain() -> None:
    """Their difference is in doubt by little more than the counts: 0.02/√3 each, by hand."""
    one = METER.estimate("battery", q("12.60 V"))
    two = METER.estimate("at-motor", q("12.60 V"))
    assert difference(one, two).standard.quantize(D("0.0001")) == D("0.0163")


def test_two_meters_share_nothing() -> None:
    other = Meter("second", METER.ranges)
    one, two = METER.estimate("a", q("12.60 V")), other.estimate("b", q("12.10 V"))
    # 0.083/√3 and 0.0805/√3 as the sides of a right angle, by hand.
    assert difference(one, two).standard.quantize(D("0.0001")) == D("0.0668")


def test_two_ranges_of_a_meter_share_nothing() -> None:
    one, two = METER.estimate("a", q("12.60 V")), METER.estimate("b", q("3.100 V"))
    apart = difference(one, two).standard
    assert abs(apart - (one.standard**2 + two.standard**2).sqrt()) < D("1E-20")


def test_a_gain_error_pulls_readings_of_opposite_sign_apart() -> None:
    up, down = METER.estimate("a", q("12.60 V")), METER.estimate("b", q("-12.60 V"))
    same = METER.estimate("b", q("12.60 V"))
    assert difference(up, down).standard > difference(up, same).standard


@given(st.integers(401, 4000), st.integers(401, 4000))
def test_one_meter_tells_a_difference_better_than_two(one: int, two: int) -> None:
    a, b = (Quantity(D(n).scaleb(-2), unit("V")) for n in (one, two))
    first, other = METER.estimate("a", a), Meter("second", METER.ranges).estimate("b", b)
    assert difference(first, METER.estimate("b", b)).standard < difference(first, other).standard


# --- digits and wander ---


def test_digits_left_unsaid_bring_their_own_doubt() -> None:
    # 12.6 V on a range that shows 12.60 V: 0.1/√12 beside 0.083/√3, by hand.
    found = METER.estimate("battery", q("12.6 V")).standard
    assert found.quantize(D("0.0001")) == D("0.0559")


def test_all_digits_said_bring_no_more_doubt() -> None:
    names = {name for name, _ in METER.estimate("battery", q("12.60 V")).parts}
    assert names == {"gain bench voltage 40 V", "counts battery"}


@pytest.mark.parametrize("reading", ["120.0 V", "5.0 A"])
def test_without_a_range_only_the_last_digit_is_in_doubt(reading: str) -> None:
    # JCGM 100 F.2.2.1: a step of 0.1 has u = 0.29 of a step.
    assert METER.estimate("x", q(reading)).standard.quantize(D("0.0001")) == D("0.0289")


def test_a_count_is_exact() -> None:
    assert METER.estimate("flashes", q("4 times")) == Estimate.exact(q("4 times"))


def test_a_wandering_reading_is_in_doubt_by_half_its_span() -> None:
    # JCGM 100 4.3.7, example 1: half-width 0.40e-6, u = 0.23e-6, u² = 53.3e-15.
    still = Estimate(q("0 A"), ())
    parts = dict(METER.estimate("x", q("0.000000 A"), q("0.80 µA")).parts)
    assert still.standard == 0
    assert parts["wander x"].quantize(D("1E-8")) == D("0.23E-6")
    assert (parts["wander x"] ** 2).quantize(D("1E-16")) == D("53.3E-15")


def test_a_wander_is_a_span_of_the_same_kind() -> None:
    with pytest.raises(MeasureError, match="zero or more"):
        METER.estimate("x", q("12.60 V"), q("-0.1 V"))
    with pytest.raises(MeasureError, match="current"):
        METER.estimate("x", q("12.60 V"), q("0.1 A"))


@given(st.integers(-4000, 4000), st.sampled_from(units_of("voltage")))
def test_doubt_is_the_same_in_any_unit(counts: int, other: object) -> None:
    reading = Quantity(D(counts).scaleb(-2), unit("V"))
    moved = METER.estimate("x", reading.to(other))  # type: ignore[arg-type]
    assert moved.parts == METER.estimate("x", reading).parts


@pytest.mark.parametrize(
    ("said", "top"),
    [
        ("12.6 V", "40 V"),
        ("12.60 V", None),
        ("0.35 V", "400 mV"),
        ("3.1 V", "4 V"),
        ("3.100 V", None),
        ("50 V", None),
        ("2 A", None),
    ],
)
def test_a_range_that_shows_more_digits_is_offered(said: str, top: str | None) -> None:
    finer = METER.finer_range(q(said))
    assert (str(finer.top) if finer else None) == top


# --- loading ---


@pytest.mark.parametrize(
    ("read", "source", "unloaded"),
    # 12.6 V behind a resistance, read by 10 MΩ: node voltages computed with ngspice.
    [
        ("11.45455 V", "1 MΩ", "12.600"),
        ("12.47525 V", "100 kΩ", "12.600"),
        # A line pulled up inside a module, 4.7 kΩ and 9.4 kΩ, so 3133 Ω to the meter: 8.4 V.
        ("8.39737 V", "3133 Ω", "8.400"),
    ],
)
def test_the_load_of_the_meter_is_taken_out(read: str, source: str, unloaded: str) -> None:
    found = METER.unloaded(q(read), q(source)).value
    assert found.quantize(D(unloaded)) == D(unloaded)


@pytest.mark.parametrize("reading", ["100 Ω", "2 A"])
def test_only_voltages_are_unloaded(reading: str) -> None:
    assert METER.unloaded(q(reading), q("1 MΩ")) == q(reading)


def test_a_meter_of_unknown_input_resistance_leaves_readings_as_they_are() -> None:
    assert Meter("m", METER.ranges).unloaded(q("11.45 V"), q("1 MΩ")) == q("11.45 V")


@pytest.mark.parametrize("source", ["-1 Ω", "5 V"])
def test_a_source_has_a_resistance(source: str) -> None:
    with pytest.raises(MeasureError, match="is not a resistance"):
        METER.unloaded(q("11.45 V"), q(source))


# --- what no meter is ---


@pytest.mark.parametrize(
    ("top", "resolution", "fault"),
    [
        ("40 A", "0.01 A", "a range for voltage"),
        ("40 V", "0.00 V", "resolution above zero"),
        ("40 V", "40 V", "resolution above zero"),
        ("40 V", "0.01 A", "current"),
    ],
)
def test_a_range_that_cannot_be_is_refused(top: str, resolution: str, fault: str) -> None:
    with pytest.raises(MeasureError, match=fault):
        volts(top, resolution)


def test_a_meter_that_cannot_be_is_refused() -> None:
    with pytest.raises(MeasureError, match="a name and a range"):
        Meter("", METER.ranges)
    with pytest.raises(MeasureError, match="a name and a range"):
        Meter("m", ())
    with pytest.raises(MeasureError, match="same top"):
        Meter("m", (volts("4 V", "0.001 V"), volts("4000 mV", "0.01 V")))
    with pytest.raises(MeasureError, match="input resistance of zero"):
        Meter("m", METER.ranges, q("0 MΩ"))
    with pytest.raises(MeasureError, match="is not a resistance"):
        Meter("m", METER.ranges, q("10 V"))


# --- a range that the meter was set to ---

#: Of the kind in data sheets of hand meters of 6000 counts: two ranges share the large socket.
AMPS = Meter(
    "amps",
    tuple(
        MeterRange("current", q(top), q(step), Accuracy(D("1.5"), 3), q(socket) if socket else None)
        for top, step, socket in [
            ("60 mA", "0.01 mA", ""),
            ("6 A", "0.001 A", "10 A"),
            ("10 A", "0.01 A", "10 A"),
        ]
    ),
)
COARSE = Meter("coarse", (AMPS.ranges[0], AMPS.ranges[2]))


@pytest.mark.parametrize(
    ("meter", "reading", "on", "top"),
    [
        (AMPS, "40 mA", None, "60 mA"),
        (AMPS, "0.040 A", "10 A", "6 A"),
        (AMPS, "7.50 A", "10 A", "10 A"),
        (COARSE, "0.04 A", "10 A", "10 A"),
        (COARSE, "40 mA", "10 A", "10 A"),  # "forty milliamps" may be its 0.04 A
        (COARSE, "23.19 mA", "10 A", "60 mA"),  # that range has no such digits
        (AMPS, "0.04 A", "600 mA", "60 mA"),  # it has no such range
    ],
)
def test_a_reading_is_taken_on_the_range_that_the_meter_was_set_to(
    meter: Meter, reading: str, on: str | None, top: str
) -> None:
    used = meter.range_for(q(reading), q(on) if on else None)
    assert used is not None
    assert used.top == q(top)


def test_a_small_current_on_a_large_range_is_in_doubt_by_the_counts_of_that_range() -> None:
    """By hand: 1.5 % of 0.04 A and 3 counts of 0.01 A are 0.0306 A, told as 0.04 A."""
    on = COARSE.estimate("draw", q("0.04 A"), on=q("10 A")).standard
    assert (on * D(3).sqrt()).quantize(D("0.0001")) == D("0.0306")
    assert bound(COARSE.ranges[1], q("0.04 A")) == q("0.04 A")
    assert COARSE.estimate("draw", q("0.04 A")).standard < on / 5


@pytest.mark.parametrize("socket", ["5 A", "10 V"])
def test_a_range_lies_within_its_socket(socket: str) -> None:
    with pytest.raises(MeasureError, match="cannot be in a socket"):
        MeterRange("current", q("6 A"), q("0.001 A"), Accuracy(D("1.5"), 3), q(socket))


@pytest.mark.parametrize(
    ("used", "reading", "most"),
    [
        (volts("40 V", "0.01 V"), "12.6 V", "0.09 V"),  # 0.063 V and two counts of 0.01 V
        (volts("400 mV", "0.1 mV"), "84.0 mV", "0.7 mV"),  # 0.42 mV and two counts of 0.1 mV
        (volts("400 mV", "0.1 mV"), "-0.0840 V", "0.7 mV"),
    ],
)
def test_the_most_that_a_range_may_be_off_is_told_in_its_own_unit_and_steps(
    used: MeterRange, reading: str, most: str
) -> None:
    assert str(bound(used, q(reading))) == most

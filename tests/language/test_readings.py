"""Units, spreads, series, lamp states and over range, as people say them."""

from decimal import Decimal

import pytest

from voiceassist.language.expectation import Expectation
from voiceassist.language.language import Language
from voiceassist.language.meanings import Lamp, Meaning, OverRange, Reading, Series, Spread
from voiceassist.language.step import StepGrammar
from voiceassist.measure.units import unit


def reading(value: str, symbol: str = "", label: str = "") -> Reading:
    return Reading(Decimal(value), unit(symbol) if symbol else None, label)


@pytest.mark.parametrize(
    ("words", "meaning"),
    [
        ("eight point four volts", reading("8.4", "V")),
        ("one volt", reading("1", "V")),
        ("three fifty millivolts", None),
        ("three hundred and fifty millivolts", reading("350", "mV")),
        ("two and a half volts", reading("2.5", "V")),
        ("half a volt", reading("0.5", "V")),
        ("a volt and a half", reading("1.5", "V")),
        ("point two of a volt", reading("0.2", "V")),
        ("three quarters of an ohm", reading("0.75", "Ω")),
        ("four point seven kilohms", reading("4.7", "kΩ")),
        ("four point seven k ohms", reading("4.7", "kΩ")),
        ("two megohms", reading("2", "MΩ")),
        ("two meg ohms", reading("2", "MΩ")),
        ("one point two million ohms", reading("1200000", "Ω")),
        ("fifteen amps", reading("15", "A")),
        ("fifteen milliamps", reading("15", "mA")),
        ("twenty microamps", reading("20", "µA")),
        ("twenty one watts", reading("21", "W")),
        ("fifty hertz", reading("50", "Hz")),
        ("two kilohertz", reading("2", "kHz")),
        ("ten microfarads", reading("10", "µF")),
        ("twenty five percent", reading("25", "%")),
        ("minus five degrees", reading("-5", "°C")),
        ("eighty degrees celsius", reading("80", "°C")),
        ("two seconds", reading("2", "s")),
        ("forty milliseconds", reading("40", "ms")),
        ("eight hundred r p m", reading("800", "rpm")),
        ("eight hundred revs", reading("800", "rpm")),
        ("one point five newton metres", reading("1.5", "N·m")),
        ("one point five newton meters", reading("1.5", "N·m")),
        ("three hundred kilopascals", reading("300", "kPa")),
        ("three times", reading("3", "times")),
        ("one time", reading("1", "times")),
        ("twelve flashes", reading("12", "times")),
        ("one flash", reading("1", "times")),
        ("four blinks", reading("4", "times")),
        ("it reads zero", reading("0")),
        ("it reads twelve point six volts", reading("12.6", "V")),
        ("i've got twelve point six", reading("12.6")),
        ("I’ve got twelve point six", reading("12.6")),
        ("i have eight point four volts", reading("8.4", "V")),
        ("plus twelve point six", reading("12.6")),
        ("okay, twelve point six volts", reading("12.6", "V")),
        ("low eight point four", reading("8.4", "", "low")),
    ],
)
def test_a_unit_is_understood_as_spoken(
    anything: StepGrammar, words: str, meaning: Reading | None
) -> None:
    found = anything.parse(words).meanings
    if meaning is None:
        assert found == (reading("350", "mV"), reading("3.50", "mV"))
    else:
        assert found == (meaning,)


@pytest.mark.parametrize(
    ("words", "quantity", "symbol", "meaning"),
    [
        ("five mils", "voltage", "V", reading("5", "mV")),
        ("five mils", "current", "A", reading("5", "mA")),
        ("five mils", "current", "mA", reading("5", "mA")),
        ("two megs", "resistance", "Ω", reading("2", "MΩ")),
        ("four point seven k", "resistance", "Ω", reading("4.7", "kΩ")),
        ("four point seven k", "resistance", "kΩ", reading("4.7", "kΩ")),
        ("five mils", "resistance", "Ω", None),
        ("two megs", "current", "A", None),
    ],
)
def test_a_prefix_alone_is_taken_only_where_the_step_tells_its_unit(
    english: Language, words: str, quantity: str, symbol: str, meaning: Reading | None
) -> None:
    grammar = english.compose(Expectation((quantity,), unit(symbol)))
    assert grammar.parse(words).meanings == (() if meaning is None else (meaning,))


@pytest.mark.parametrize(
    ("words", "low", "high", "symbol"),
    [
        ("it jumps around between twelve one and twelve four", "12.1", "12.4", ""),
        ("between twelve point one and twelve point four volts", "12.1", "12.4", "V"),
        ("between twelve volts and twelve point four", "12", "12.4", "V"),
        ("it wanders from eight to nine point five", "8", "9.5", ""),
        ("between minus one and one", "-1", "1", ""),
    ],
)
def test_a_wandering_value_is_a_spread(
    voltage: StepGrammar, words: str, low: str, high: str, symbol: str
) -> None:
    assert voltage.parse(words).meanings == (Spread(reading(low, symbol), reading(high, symbol)),)


def test_a_spread_said_from_high_to_low_is_refused(anything: StepGrammar) -> None:
    assert anything.parse("between twelve point four and twelve point one").meanings == ()


@pytest.mark.parametrize(
    ("words", "readings"),
    [
        (
            "low eight point four, high two point five",
            (reading("8.4", "", "low"), reading("2.5", "", "high")),
        ),
        (
            "low eight point four high two point five",
            (reading("8.4", "", "low"), reading("2.5", "", "high")),
        ),
        (
            "two point one, three point three, four point eight",
            (reading("2.1"), reading("3.3"), reading("4.8")),
        ),
        (
            "two point one three point three four point eight",
            (reading("2.1"), reading("3.3"), reading("4.8")),
        ),
        (
            "two point one then three point three volts",
            (reading("2.1", "V"), reading("3.3", "V")),
        ),
        ("twelve volts five amps", (reading("12", "V"), reading("5", "A"))),
    ],
)
def test_several_readings_in_one_breath_are_a_series(
    anything: StepGrammar, words: str, readings: tuple[Reading, ...]
) -> None:
    assert anything.parse(words).meanings == (Series(readings),)


def test_a_series_that_can_be_cut_in_two_ways_has_both_meanings(anything: StepGrammar) -> None:
    assert set(anything.parse("one point two three point four").meanings) == {
        Series((reading("1.2"), reading("3.4")))
    }
    found = anything.parse("one point two five six point four").meanings
    assert set(found) == {
        Series((reading("1.2"), reading("56.4"))),
        Series((reading("1.25"), reading("6.4"))),
    }


@pytest.mark.parametrize(
    "words",
    ["over limit", "over range", "o l", "OL", "open line", "out of range", "it reads o l"],
)
def test_over_range_is_not_a_number(anything: StepGrammar, words: str) -> None:
    assert anything.parse(words).meanings == (OverRange(),)


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("bright", "bright"),
        ("the lamp is bright", "bright"),
        ("it is dim", "dim"),
        ("flickering", "flickering"),
        ("off", "off"),
        ("no light", "off"),
        ("the light is off", "off"),
    ],
)
def test_a_lamp_state_is_understood_at_a_lamp_step(
    english: Language, words: str, name: str
) -> None:
    grammar = english.compose(Expectation(lamp=True))
    assert grammar.parse(words).meanings == (Lamp(name),)


def test_a_lamp_state_means_nothing_where_a_voltage_is_wanted(voltage: StepGrammar) -> None:
    assert voltage.parse("bright").meanings == ()


def test_a_reading_means_nothing_where_none_is_wanted(english: Language) -> None:
    grammar = english.compose(Expectation())
    assert grammar.parse("twelve point six volts").meanings == ()


def test_a_reading_in_another_unit_is_still_understood(voltage: StepGrammar) -> None:
    expected: Meaning = reading("50", "mA")
    assert voltage.parse("fifty milliamps").meanings == (expected,)

"""Typed figures: units stuck to them, decimal commas; a sign or gap inside never vanishes."""

from decimal import Decimal

import pytest

from voiceassist.language.expectation import Expectation
from voiceassist.language.language import Language
from voiceassist.language.meanings import Correction, Reading, Series
from voiceassist.language.step import StepGrammar
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import unit


@pytest.mark.parametrize(
    "text",
    [
        "- 12.5 V", "–12.5", "—5 V", "− 5 V", "--5 V", "-+5", "3-5 V", "3–5 V", "1/2 V", "3/4 V",
        "5 ± 0.2 V", "1 000 V", "2 000 ohm", "1 05 V", "8. 4", "8;4", "8+4", "8*4", "5×3", "<5 V",
        ">5", "12-13 V", "12+1", "+5", "correction 12-13 V",
    ],
)  # fmt: skip
def test_figures_that_are_no_plain_number_are_refused(anything: StepGrammar, text: str) -> None:
    understood = anything.parse(text)
    assert understood.meanings == ()
    assert understood.reason


@pytest.mark.parametrize("text", ["-5 V", "−0.5 V", "12.60 V", "8.4V", "2.1, 3.3, 4.8 V"])
def test_plain_figures_are_read(anything: StepGrammar, text: str) -> None:
    assert len(anything.parse(text).meanings) == 1


@pytest.mark.parametrize("text", ["note changed on 2026-01-12", "repair order 10-42"])
def test_notes_and_job_numbers_keep_their_signs(anything: StepGrammar, text: str) -> None:
    assert anything.parse(text).meanings


#: By hand. A letter in place of the point as IEC 60062 marks resistors, from memory: 4K7, 470R.
STUCK = [
    ("12.5v", "12.5", "V"), ("12.5V", "12.5", "V"), ("12.5 V", "12.5", "V"), ("-.5v", "-0.5", "V"),
    ("12,5", "12.5", ""), ("12,5 volts", "12.5", "V"), ("12,50V", "12.50", "V"), (".5", "0.5", ""),
    ("12v5", "12.5", "V"), ("14.2vdc", "14.2", "V"), ("14,2 VDC", "14.2", "V"),
    ("40mv", "40", "mV"),
    ("350mA", "350", "mA"), ("350ma", "350", "mA"), ("0.04A", "0.04", "A"), ("0,04a", "0.04", "A"),
    ("5ua", "5", "µA"), ("60ohm", "60", "Ω"), ("60Ohm", "60", "Ω"), ("60 Ω", "60", "Ω"),
    ("60ohms", "60", "Ω"), ("470R", "470", "Ω"), ("50hz", "50", "Hz"), ("20°c", "20", "°C"),
    ("12.5volts", "12.5", "V"), ("2degrees", "2", "°C"), ("it reads 12,5v now", "12.5", "V"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "value", "symbol"), STUCK)
def test_a_unit_may_be_stuck_to_its_figure(
    anything: StepGrammar, text: str, value: str, symbol: str
) -> None:
    understood = anything.parse(text)
    assert understood.meanings == (Reading(Decimal(value), unit(symbol) if symbol else None),)
    assert understood.text == text


@pytest.mark.parametrize("text", ["1.2k", "1.2K", "1,2k", "1k2", "1K2", "1.2kΩ", "1.2kohm"])
def test_thousands_of_ohms_in_a_letter(english: Language, text: str) -> None:
    ohms = english.compose(Expectation(("resistance",), unit("Ω")))
    assert ohms.parse(text).meanings == (Reading(Decimal("1.2"), unit("kΩ")),)
    assert ohms.parse("2M2").meanings == (Reading(Decimal("2.2"), unit("MΩ")),)


def test_commas_in_several_values_and_in_a_correction(anything: StepGrammar) -> None:
    (several,) = anything.parse("low 12,5 high 13,1").meanings
    assert isinstance(several, Series)
    assert [reading.value for reading in several.readings] == [Decimal("12.5"), Decimal("13.1")]
    value = Reading(Decimal("12.5"), unit("V"))
    assert anything.parse("correction 12,5v").meanings == (Correction(value),)


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("1,200", ["1200", "1.200"]),
        ("1,200 ohms", ["1200", "1.200"]),
        ("12,456", ["12456", "12.456"]),
        ("0,350", ["0.350"]),
        ("1,200.5", ["1200.5"]),
        ("1.200,5", ["1200.5"]),
        ("1.200", ["1.200"]),
    ],
)
def test_a_comma_before_three_digits_is_thousands_or_decimals_as_it_can_be(
    anything: StepGrammar, text: str, values: list[str]
) -> None:
    meanings = anything.parse(text).meanings
    assert [m.value for m in meanings if isinstance(m, Reading)] == list(map(Decimal, values))
    amid_words = anything.numbers.told_in(f"{text} or so")
    assert {r.value for r in amid_words} == set(map(Decimal, values))


def test_what_is_plausible_tells_thousands_from_decimals(
    english: Language, voltage: StepGrammar
) -> None:
    assert voltage.parse("12,456").meanings == (Reading(Decimal("12.456"), None),)
    ends = Quantity.parse("500 Ω"), Quantity.parse("5000 Ω")
    sensor = english.compose(Expectation(("resistance",), unit("Ω"), *ends))
    assert sensor.parse("1,200").meanings == (Reading(Decimal(1200), None),)


@pytest.mark.parametrize("text", ["the 2nd", "4x4", "12,5,11", "87a", "h4", "1,20,5"])
def test_what_only_begins_with_a_figure_is_no_reading(anything: StepGrammar, text: str) -> None:
    assert not [m for m in anything.parse(text).meanings if isinstance(m, Reading)]

"""What is likely before anything is heard."""

from dataclasses import replace
from decimal import Decimal

import pytest
from doubt.made import VOLTAGE, volts

from voiceassist.doubt.evidence import Key
from voiceassist.doubt.prior import log_prior, plausible, too_fine
from voiceassist.language.expectation import Choice, Expectation
from voiceassist.language.meanings import (
    Answer,
    Command,
    Correction,
    Identifier,
    Lamp,
    Meaning,
    Note,
    Reading,
)
from voiceassist.measure.units import unit

LAMP = Expectation(lamp=True)
ORDER = Expectation(identifier="repair-order")
QUESTION = Expectation(choices=(Choice("drags", ("it drags",)),))
ASKED = replace(QUESTION, at="ask")
OPEN = replace(ASKED, awaited=("done",))
CAUTION = Expectation(("voltage",), unit("V"), awaited=("affirm", "repeat"))
TO_CONFIRM = Expectation(("voltage",), unit("V"), awaited=("affirm-reading",))
VIN = Expectation(identifier="vin")
#: Its check digit is right, as that of an often published example is (49 CFR 565, from memory).
GOOD_VIN, BAD_VIN = "1M8GDM9AXKP042788", "1M8GDM9A5KP042788"
MILLIVOLTS = (Reading(Decimal("60000"), unit("mV")),)


@pytest.mark.parametrize(
    ("step", "likelier", "less_likely"),
    [
        (VOLTAGE, volts("13.5"), volts("30.5")),
        (VOLTAGE, volts("13.5"), volts("-1")),
        (VOLTAGE, volts("13.5"), MILLIVOLTS),
        (VOLTAGE, volts("13.5"), (Command("repeat"),)),
        (VOLTAGE, volts("13.5"), (Reading(Decimal("13.5"), unit("A")),)),
        (VOLTAGE, volts("13.5"), volts("13.50625")),
        (VOLTAGE, volts("13.50"), volts("13.506")),
        (VOLTAGE, volts("4.60"), (Reading(Decimal("4.60"), unit("mV")),)),
        (VOLTAGE, (Reading(Decimal("4.6"), unit("mV")),), (Reading(Decimal("4.60"), unit("mV")),)),
        (VOLTAGE, volts("13.5"), (Correction(Reading(Decimal("13.5"))),)),
        (VOLTAGE, (Correction(Reading(Decimal(13))),), (Correction(Reading(Decimal(40))),)),
        (VOLTAGE, (Command("repeat"),), (Note("blue rag"),)),
        (LAMP, (Lamp("dim"),), (Command("repeat"),)),
        (LAMP, (Lamp("dim"),), volts("13.5")),
        (ORDER, (Identifier("repair-order", "4305"),), (Identifier("odometer", "4305"),)),
        (QUESTION, (Answer("drags"),), (Command("repeat"),)),
        (VOLTAGE, volts("13.5"), (Answer("drags"),)),
        (VOLTAGE, volts("13.5"), (Lamp("dim"),)),
        (CAUTION, (Command("repeat"),), (Command("skip"),)),
        (CAUTION, (Answer("affirm"),), (Answer("negative"),)),
        (CAUTION, (Answer("affirm"),), (Command("skip"),)),
        (CAUTION, (Answer("affirm"),), volts("13.5")),
        (CAUTION, volts("13.5"), (Reading(Decimal("13.5")),)),
        (ASKED, (Answer("drags"),), (Answer("affirm"),)),
        (ASKED, (Answer("drags"),), (Command("repeat"),)),
        (TO_CONFIRM, volts("13.5"), (Answer("affirm"),)),
        (VIN, (Identifier("vin", GOOD_VIN),), (Identifier("vin", BAD_VIN),)),
    ],
)
def test_what_the_step_asks_for_is_likelier(
    step: Expectation, likelier: Key, less_likely: Key
) -> None:
    assert log_prior(likelier, step) > log_prior(less_likely, step)


@pytest.mark.parametrize(
    ("expected", "step"),
    [
        ((Answer("drags"),), QUESTION),
        ((Answer("affirm"),), QUESTION),
        ((Answer("drags"),), OPEN),
        ((Answer("done"),), OPEN),
        ((Answer("drags"),), replace(VOLTAGE, choices=QUESTION.choices)),
        ((Answer("affirm"),), CAUTION),
        ((Command("repeat"),), CAUTION),
        (volts("13.5"), TO_CONFIRM),
        ((Identifier("vin", GOOD_VIN),), VIN),
        ((Identifier("repair-order", "4305"),), ORDER),
    ],
)
def test_what_is_asked_for_is_as_likely_as_the_value_at_a_measuring_step(
    expected: Key, step: Expectation
) -> None:
    assert log_prior(expected, step) == log_prior(volts("13.5"), VOLTAGE)


@pytest.mark.parametrize("other", [Command("skip"), Answer("negative")])
def test_where_a_plain_answer_is_awaited_all_else_is_rarer(other: Meaning) -> None:
    assert log_prior((other,), CAUTION) < log_prior((other,), VOLTAGE)


def test_a_bare_number_is_as_likely_as_one_with_the_unit_of_the_step() -> None:
    assert log_prior((Reading(Decimal("13.5")),), VOLTAGE) == log_prior(volts("13.5"), VOLTAGE)


def test_the_best_of_several_meanings_counts() -> None:
    (odd,), (likely,) = volts("99"), volts("13.5")
    assert log_prior((odd, likely), VOLTAGE) == log_prior((likely,), VOLTAGE)


@pytest.mark.parametrize(
    ("value", "symbol", "is_plausible"),
    [
        ("0", "V", True),
        ("30", "V", True),
        ("30.01", "V", False),
        ("-0.1", "V", False),
        ("500", "mV", True),
        ("500", None, False),
        ("12", "A", False),
    ],
)
def test_a_reading_is_plausible_within_the_range_of_its_step_ends_included(
    value: str, symbol: str | None, is_plausible: bool
) -> None:
    reading = Reading(Decimal(value), None if symbol is None else unit(symbol))
    assert plausible(reading, VOLTAGE) is is_plausible


def test_a_step_without_a_range_takes_any_value_of_its_kind() -> None:
    step = Expectation(("voltage",), unit("V"))
    assert plausible(Reading(Decimal(5000)), step)


def test_where_it_is_known_what_the_meter_shows_any_other_reading_is_far_less_likely() -> None:
    shown = replace(VOLTAGE, shown=volts("8.1"))
    (read,), (other,) = volts("8.1"), volts("8.7")
    bare = Reading(Decimal("8.1"))
    milli = Reading(Decimal(8100), unit("mV"))
    assert log_prior((read,), shown) == log_prior((read,), VOLTAGE)
    assert log_prior((bare,), shown) == log_prior((bare,), VOLTAGE)
    assert log_prior((milli,), shown) == log_prior((milli,), VOLTAGE)
    assert log_prior((other,), shown) < log_prior((other,), VOLTAGE) - 5
    assert log_prior((Lamp("dim"),), shown) < log_prior((Lamp("dim"),), VOLTAGE) - 5
    assert log_prior((Command("repeat"),), shown) == log_prior((Command("repeat"),), VOLTAGE)
    unread = replace(VOLTAGE, shown=())
    assert log_prior((read,), unread) < log_prior((read,), VOLTAGE) - 5


@pytest.mark.parametrize(
    ("value", "symbol", "finer"),
    [
        ("460.1", "mV", False),
        ("4.60", "mV", True),
        ("12.605", "V", False),
        ("12.6051", "V", True),
        ("39.95", "mA", False),
        ("0.045", "A", False),
        ("0.62", "Ω", False),
        ("0.628", "Ω", True),
        ("4.703", "kΩ", False),
        ("4600", None, False),
    ],
)
def test_a_meter_shows_so_many_digits_behind_the_point_and_no_more(
    value: str, symbol: str | None, finer: bool
) -> None:
    reading = Reading(Decimal(value), None if symbol is None else unit(symbol))
    assert too_fine(reading) is finer
    assert too_fine(Correction(reading)) is finer


def test_what_is_no_reading_has_no_digits() -> None:
    assert not too_fine(Lamp("dim"))

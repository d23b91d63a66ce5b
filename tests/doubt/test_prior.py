"""What is likely before anything is heard."""

from decimal import Decimal

import pytest
from doubt.made import VOLTAGE, volts

from voiceassist.doubt.evidence import Key
from voiceassist.doubt.prior import log_prior, plausible
from voiceassist.language.expectation import Choice, Expectation
from voiceassist.language.meanings import (
    Answer,
    Command,
    Correction,
    Identifier,
    Lamp,
    Note,
    Reading,
)
from voiceassist.measure.units import unit

LAMP = Expectation(lamp=True)
ORDER = Expectation(identifier="repair-order")
QUESTION = Expectation(choices=(Choice("drags", ("it drags",)),))
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
        (VOLTAGE, volts("13.5"), (Correction(Reading(Decimal("13.5"))),)),
        (VOLTAGE, (Correction(Reading(Decimal(13))),), (Correction(Reading(Decimal(40))),)),
        (VOLTAGE, (Command("repeat"),), (Note("blue rag"),)),
        (LAMP, (Lamp("dim"),), (Command("repeat"),)),
        (LAMP, (Lamp("dim"),), volts("13.5")),
        (ORDER, (Identifier("repair-order", "4305"),), (Identifier("odometer", "4305"),)),
        (QUESTION, (Answer("drags"),), (Command("repeat"),)),
    ],
)
def test_what_the_step_asks_for_is_likelier(
    step: Expectation, likelier: Key, less_likely: Key
) -> None:
    assert log_prior(likelier, step) > log_prior(less_likely, step)


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

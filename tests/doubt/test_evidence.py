"""What listeners heard, and which understandings come to the same."""

from decimal import Decimal

import pytest
from doubt.made import VOLTAGE, volts

from voiceassist.doubt.evidence import Guess
from voiceassist.doubt.same import settled
from voiceassist.language.expectation import Expectation
from voiceassist.language.meanings import Command, Correction, Meaning, Reading, Series, Spread
from voiceassist.measure.units import unit

BARE, MILLI = Reading(Decimal("8.4")), Reading(Decimal("8.4"), unit("mV"))
(FULL,) = volts("8.4")
assert isinstance(FULL, Reading)


def test_a_guess_without_meaning_is_refused() -> None:
    with pytest.raises(ValueError, match=r"^a guess that means nothing is no guess$"):
        Guess("the blue rag", (), -1.0)


@pytest.mark.parametrize(
    ("heard", "comes_to"),
    [
        (BARE, FULL),
        (FULL, FULL),
        (MILLI, MILLI),
        (Correction(BARE), Correction(FULL)),
        (Spread(BARE, MILLI), Spread(MILLI, MILLI)),
        (Spread(BARE, BARE), Spread(FULL, FULL)),
        (Spread(MILLI, FULL), Spread(MILLI, FULL)),
        (Correction(BARE, of="battery"), Correction(FULL, of="battery")),
        (Series((BARE, MILLI)), Series((FULL, MILLI))),
        (Command("repeat"), Command("repeat")),
    ],
)
def test_a_bare_number_takes_the_unit_of_its_step(heard: Meaning, comes_to: Meaning) -> None:
    assert settled((heard,), VOLTAGE) == (comes_to,)


def test_a_bare_number_stays_bare_where_the_step_has_no_unit() -> None:
    assert settled((BARE,), Expectation()) == (BARE,)

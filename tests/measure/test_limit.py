from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.errors import MeasureError
from voiceassist.measure.accuracy import Accuracy
from voiceassist.measure.limit import Limit, Verdict, check
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import unit

q = Quantity.parse
RANGE = Limit(q("11.8 V"), q("12.9 V"))
volts = st.builds(Quantity, st.decimals(-100, 100, places=3), st.just(unit("V")))


@pytest.mark.parametrize(
    ("reading", "verdict"),
    [
        ("11.8 V", Verdict.PASS),
        ("12.9 V", Verdict.PASS),
        ("11.79 V", Verdict.LOW),
        ("12.91 V", Verdict.HIGH),
        ("11800 mV", Verdict.PASS),
        ("11799 mV", Verdict.LOW),
    ],
)
def test_the_ends_of_a_limit_pass(reading: str, verdict: Verdict) -> None:
    assert check(q(reading), RANGE) is verdict


def test_a_limit_with_one_end_fails_on_one_side_only() -> None:
    assert check(q("900 V"), Limit(q("5 V"), None)) is Verdict.PASS
    assert check(q("0.2 V"), Limit(None, q("0.1 V"))) is Verdict.HIGH


def test_a_limit_needs_an_end_and_the_right_order() -> None:
    with pytest.raises(MeasureError, match="neither end"):
        Limit(None, None)
    with pytest.raises(MeasureError, match="swap"):
        Limit(q("12 V"), q("11 V"))


@pytest.mark.parametrize(
    ("reading", "verdict"),
    [
        ("11.70 V", Verdict.LOW),
        ("11.72 V", Verdict.TOO_CLOSE),
        ("11.88 V", Verdict.TOO_CLOSE),
        ("11.89 V", Verdict.PASS),
        ("12.85 V", Verdict.TOO_CLOSE),
    ],
)
def test_a_reading_within_its_doubt_of_an_end_is_too_close(reading: str, verdict: Verdict) -> None:
    assert check(q(reading), RANGE, q("0.083 V")) is verdict


@given(volts, volts, st.decimals(0, 5, places=3))
def test_doubt_never_turns_low_into_high_or_pass_into_fail(
    reading: Quantity, end: Quantity, doubt: Decimal
) -> None:
    limit = Limit(end, None)
    exact = check(reading, limit)
    doubted = check(reading, limit, Quantity(doubt, unit("V")))
    assert doubted in {exact, Verdict.TOO_CLOSE}


@pytest.mark.parametrize(
    ("reading", "percent", "counts", "half_width"),
    [
        # Arithmetic of the data-sheet form ±(% of reading + counts), worked by hand.
        ("12.60 V", "0.5", 2, "0.083"),
        ("8.40 V", "0.5", 2, "0.062"),
        ("0.350 V", "0.5", 3, "0.00475"),
        ("5.000 V", "0.09", 2, "0.0065"),
        ("-12.60 V", "0.5", 2, "0.083"),
    ],
)
def test_a_meter_can_be_wrong_by_its_data_sheet(
    reading: str, percent: str, counts: int, half_width: str
) -> None:
    found = Accuracy(Decimal(percent), counts).half_width(q(reading))
    assert found.same_as(Quantity(Decimal(half_width), unit("V")))


def test_an_accuracy_below_zero_is_refused() -> None:
    with pytest.raises(MeasureError, match="zero or more"):
        Accuracy(Decimal("-0.5"), 2)

"""The bar of a reading: where it lies against its limit and the meter's doubt."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.page.bar import Bar, bar_of
from voiceassist.record.lines import VerdictLine

LIMIT = {"low": "3 V", "high": "6 V", "guard_low": "3.1 V", "guard_high": "5.9 V"}


def bar(shown: str, **limit: str) -> Bar:
    found = bar_of(VerdictLine(limit or LIMIT), shown)
    assert found is not None
    return found


def test_a_reading_within_the_limit_lies_between_its_ends_and_guards() -> None:
    found = bar("4.50 V")
    assert found.low is not None
    assert found.high is not None
    assert found.guard_low is not None
    assert found.guard_high is not None
    assert 0 < found.low < found.guard_low < found.value < found.guard_high < found.high < 1
    assert found.value == Decimal("0.5")


@pytest.mark.parametrize(
    ("shown", "where"),
    [("2.9 V", "below"), ("3.05 V", "doubt low"), ("5.95 V", "doubt high"), ("7 V", "above")],
)
def test_a_reading_lies_on_the_side_of_each_end_where_it_belongs(shown: str, where: str) -> None:
    found = bar(shown)
    assert found.low is not None
    assert found.high is not None
    assert found.guard_low is not None
    assert found.guard_high is not None
    places = {
        "below": found.value < found.low,
        "doubt low": found.low < found.value < found.guard_low,
        "doubt high": found.guard_high < found.value < found.high,
        "above": found.high < found.value < 1,
    }
    assert places[where]


def test_the_prefix_of_a_unit_is_counted() -> None:
    assert bar("4500 mV").value == bar("4.5 V").value


@pytest.mark.parametrize("shown", ["over range", "out of limit"])
def test_a_meter_over_its_range_lies_beyond_the_right_end(shown: str) -> None:
    found = bar(shown)
    assert found.value == 1
    assert found.beyond == "right"


@pytest.mark.parametrize(("shown", "side"), [("400 V", "right"), ("-400 V", "left")])
def test_a_reading_far_outside_is_shown_beyond_and_leaves_the_limit_to_be_seen(
    shown: str, side: str
) -> None:
    found = bar(shown)
    assert found.beyond == side
    assert found.low is not None
    assert found.high is not None
    assert found.high - found.low > Decimal("0.2")


def test_a_limit_with_one_end_is_open_at_the_other() -> None:
    most, least = bar("0.05 V", high="0.1 V"), bar("12.5 V", low="12.1 V")
    assert (most.low, least.high) == (None, None)
    assert most.high is not None
    assert least.low is not None
    assert most.value < most.high
    assert least.value > least.low


def test_a_reading_that_wanders_has_two_places() -> None:
    found = bar("4.1 V to 4.9 V")
    assert found.value < Decimal("0.5") < found.until


@pytest.mark.parametrize("limit", [{}, {"low": "", "high": ""}, {"low": "bright"}])
def test_without_a_limit_in_numbers_there_is_nothing_to_draw(limit: dict[str, str]) -> None:
    assert bar_of(VerdictLine({"verdict": "pass", **limit}), "bright") is None


NUMBERS = st.decimals("-1e6", "1e6", places=3).map(lambda value: f"{value:f} V")


@given(NUMBERS, NUMBERS, NUMBERS)
def test_any_reading_has_a_place_and_the_order_is_kept(one: str, other: str, shown: str) -> None:
    low, high = sorted((one, other), key=lambda text: Decimal(text[:-2]))
    found = bar(shown, low=low, high=high)
    assert found.low is not None
    assert found.high is not None
    value = Decimal(shown[:-2])
    assert found.low <= found.high
    if value < Decimal(low[:-2]):
        assert found.value <= found.low
    if value > Decimal(high[:-2]):
        assert found.value >= found.high

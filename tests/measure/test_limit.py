import pytest

from voiceassist.errors import MeasureError
from voiceassist.measure.limit import Limit
from voiceassist.measure.quantity import Quantity

q = Quantity.parse
RANGE = Limit(q("11.8 V"), q("12.9 V"))


@pytest.mark.parametrize(
    ("reading", "held"),
    [
        ("11.8 V", True),
        ("12.9 V", True),
        ("11.79 V", False),
        ("12.91 V", False),
        ("11800 mV", True),
        ("11799 mV", False),
    ],
)
def test_a_limit_holds_its_ends_and_what_is_between(reading: str, held: bool) -> None:
    assert RANGE.holds(q(reading)) is held


def test_a_limit_with_one_end_is_open_on_the_other_side() -> None:
    assert Limit(q("5 V"), None).holds(q("900 V"))
    assert not Limit(None, q("0.1 V")).holds(q("0.2 V"))


def test_a_limit_needs_an_end_and_the_right_order() -> None:
    with pytest.raises(MeasureError, match="neither end"):
        Limit(None, None)
    with pytest.raises(MeasureError, match="swap"):
        Limit(q("12 V"), q("11 V"))


def test_a_limit_in_volts_holds_no_amperes() -> None:
    with pytest.raises(MeasureError, match="current"):
        RANGE.holds(q("12 A"))

import pytest

from voiceassist.errors import MeasureError
from voiceassist.measure.expression import LimitExpression
from voiceassist.measure.quantity import Quantity

q = Quantity.parse
VALUES = {"battery": q("12.60 V"), "at-motor": q("11.9 V"), "share": q("50 %")}


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("11.8 V to 12.9 V", "11.8 V", "12.9 V"),
        ("at least 5 V", "5 V", None),
        ("at most 0.1 V", None, "0.1 V"),
        ("about 5 V ± 0.25 V", "4.75 V", "5.25 V"),
        ("about 5 V +- 0.25 V", "4.75 V", "5.25 V"),
        ("about battery ± 10 %", "11.340 V", "13.860 V"),
        ("about share ± 2 %", "48 %", "52 %"),
        ("battery - 0.5 V to battery + 0.2 V", "12.10 V", "12.80 V"),
        ("battery-0.5 V to battery", "12.10 V", "12.60 V"),
        ("battery − 500 mV to battery", "12.100 V", "12.60 V"),
        ("at most 2 % of battery", None, "0.2520 V"),
        ("at most battery - at-motor", None, "0.70 V"),
        ("at least 0.5 * (battery - 0.6 V)", "6.000 V", None),
        ("-5 °C to 40 °C", "-5 °C", "40 °C"),
        ("at least 95 %", "95 %", None),
        ("54 ohm to 66 Ω", "54 Ω", "66 Ω"),
    ],
)
def test_limits_read_as_a_technician_writes_them(
    text: str, low: str | None, high: str | None
) -> None:
    found = LimitExpression.parse(text).fill(VALUES)
    for end, wanted in ((found.low, low), (found.high, high)):
        assert (end is None) == (wanted is None)
        if end is not None and wanted is not None:
            assert end.same_as(q(wanted))


def test_a_limit_tells_the_readings_it_needs() -> None:
    limit = LimitExpression.parse("at most battery - at-motor")
    assert limit.names == {"battery", "at-motor"}


def test_a_missing_reading_is_named() -> None:
    with pytest.raises(MeasureError, match="'supply'"):
        LimitExpression.parse("at least supply").fill(VALUES)


@pytest.mark.parametrize(
    ("text", "stopped"),
    [
        ("", "its end"),
        ("12 V", "column"),
        ("at least", "at least"),
        ("11 V to", "to"),
        ("12 V to 11 X", "'X'"),
        ("between 11 V and 12 V", "between"),
        ("battery - to 12 V", "to 12 V"),
    ],
)
def test_a_limit_that_cannot_be_read_says_where(text: str, stopped: str) -> None:
    with pytest.raises(MeasureError, match="write it like") as caught:
        LimitExpression.parse(text)
    assert stopped in str(caught.value)


def test_volts_and_amperes_do_not_add_up_in_a_limit() -> None:
    with pytest.raises(MeasureError, match="current"):
        LimitExpression.parse("battery - 2 A to battery").fill(VALUES)

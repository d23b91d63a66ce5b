"""Where a reading lies on its limit."""

from decimal import Decimal

import pytest

from voiceassist.record.lines import VerdictLine
from voiceassist.record.scale import Scale, scale_of

D = Decimal


def line(reading: str, low: str = "", high: str = "", **more: str) -> VerdictLine:
    return VerdictLine({"event": "verdict", "reading": reading, "low": low, "high": high, **more})


def test_values_in_other_prefixes_come_to_one_unit() -> None:
    scale = scale_of(line("350 mV", "0.1 V", "0.5 V", guard_low="0.12 V", guard_high="480 mV"))
    assert scale == Scale(
        (D("0.350"),), D("0.1"), D("0.5"), D("0.12"), D("0.480"), "0.1 V", "0.5 V"
    )


def test_a_reading_that_wanders_has_both_its_ends() -> None:
    scale = scale_of(line("12.4 V to 12.1 V", "12 V", "13 V"))
    assert scale is not None
    assert scale.values == (D("12.1"), D("12.4"))


def test_a_meter_over_its_range_has_a_scale_without_a_value() -> None:
    scale = scale_of(line("over range", high="10 Ω"))
    assert scale is not None
    assert (scale.values, scale.low, scale.high) == ((), None, D(10))


@pytest.mark.parametrize(
    "of",
    [
        line("bright"),
        line("12 V"),
        line("12 V", "1 A", "2 A"),
        line("2.1 V, 3.3 V, 4.8 V", "1 V", "2 V"),
        line("12 V, one two", "1 V"),
        line("1 V to 2 V to 3 V", "1 V", "2 V"),
        VerdictLine({"event": "verdict"}),
    ],
)
def test_where_there_is_nothing_to_measure_out_there_is_no_scale(of: VerdictLine) -> None:
    assert scale_of(of) is None


@pytest.mark.parametrize(
    ("low", "high", "ends"),
    [
        ("12", "13", ("11.5", "13.5")),
        (None, "0.1", ("0.05", "0.15")),
        ("10", None, ("5", "15")),
        ("5", "5", ("2.5", "7.5")),
        (None, "0", ("-3", "3")),
        ("-14", "-12", ("-15", "-11")),
    ],
)
def test_the_bar_runs_beyond_the_limit_on_both_sides(
    low: str | None, high: str | None, ends: tuple[str, str]
) -> None:
    scale = Scale((D(3),), D(low) if low else None, D(high) if high else None)
    assert scale.ends == tuple(map(D, ends))


@pytest.mark.parametrize(("low", "high"), [(None, None), (D(2), D(1))])
def test_a_limit_that_is_none_makes_no_scale(low: Decimal | None, high: Decimal | None) -> None:
    with pytest.raises(ValueError, match="limit"):
        Scale((), low, high)


def test_a_limit_that_runs_down_is_none_that_a_session_wrote() -> None:
    assert scale_of(line("12 V", "13 V", "12 V")) is None
    alike = scale_of(line("12 V", "12 V", "12 V"))
    assert alike is not None
    assert (alike.low, alike.high) == (D(12), D(12))
    assert scale_of(line("12 V", "many", "13 V")) == Scale((D(12),), None, D(13), high_text="13 V")

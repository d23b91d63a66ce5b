from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.errors import MeasureError
from voiceassist.measure.accuracy import Accuracy
from voiceassist.measure.expression import LimitExpression
from voiceassist.measure.limit import Verdict
from voiceassist.measure.meter import Meter, MeterRange
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.sweep import SweepFault, SweepLimit, SweepVerdict, judge_sweep
from voiceassist.measure.uncertainty import Estimate
from voiceassist.measure.units import unit

q = Quantity.parse
parse = LimitExpression.parse
METER = Meter("m", (MeterRange("voltage", q("40 V"), q("0.01 V"), Accuracy(Decimal("0.5"), 2)),))
VALUES = {"battery": Estimate.exact(q("12.60 V"))}
FALLING = SweepLimit(
    rising=False,
    start=parse("battery - 1 V to battery"),
    end=parse("at most 2 V"),
    largest_step=q("5 V"),
    smallest_step=q("200 mV"),
)
RISING = SweepLimit(rising=True, least=2)


def exact(*volts: str) -> list[Estimate]:
    return [Estimate.exact(q(f"{each} V")) for each in volts]


def read(*volts: str) -> list[Estimate]:
    return [METER.estimate(f"r{i}", q(f"{each} V")) for i, each in enumerate(volts)]


@pytest.mark.parametrize(
    ("readings", "verdict", "reason", "at"),
    [
        (("12.00", "8.40", "5.00", "1.50"), Verdict.PASS, None, 3),
        (("12.00", "1.50"), Verdict.NOT_VALID, SweepFault.TOO_FEW, 2),
        ((), Verdict.NOT_VALID, SweepFault.TOO_FEW, 0),
        (("12.00", "8.40", "9.00", "5.00", "1.50"), Verdict.LOW, SweepFault.WRONG_WAY, 2),
        (("12.00", "8.40", "8.40", "5.00", "1.50"), Verdict.LOW, SweepFault.STANDS_STILL, 2),
        (("12.00", "8.40", "8.30", "5.00", "1.50"), Verdict.LOW, SweepFault.STANDS_STILL, 2),
        (("12.00", "6.99", "5.00", "1.50"), Verdict.HIGH, SweepFault.JUMPS, 1),
        (("12.00", "7.00", "5.00", "1.50"), Verdict.PASS, None, 3),
        (("11.00", "8.40", "5.00", "1.50"), Verdict.LOW, SweepFault.START, 0),
        (("12.70", "8.40", "5.00", "1.50"), Verdict.HIGH, SweepFault.START, 0),
        (("12.00", "8.40", "5.00", "2.01"), Verdict.HIGH, SweepFault.END, 3),
        # the first fault counts
        (("12.70", "12.90", "5.00"), Verdict.HIGH, SweepFault.START, 0),
    ],
)
def test_a_sweep_passes_or_tells_its_first_fault(
    readings: tuple[str, ...], verdict: Verdict, reason: SweepFault | None, at: int
) -> None:
    assert judge_sweep(FALLING, exact(*readings), VALUES) == SweepVerdict(verdict, reason, at)


def test_a_rising_sweep_goes_the_other_way() -> None:
    assert judge_sweep(RISING, exact("1", "2", "3"), {}).verdict is Verdict.PASS
    assert judge_sweep(RISING, exact("3", "2", "1"), {}).reason is SweepFault.WRONG_WAY


def test_readings_that_are_the_same_stand_still_even_without_doubt() -> None:
    found = judge_sweep(RISING, exact("1", "1.0"), {})
    assert found == SweepVerdict(Verdict.LOW, SweepFault.STANDS_STILL, 1)


def test_a_step_within_its_doubt_stands_still() -> None:
    """The counts alone bring 0.0163 V to a difference, so 1.645 of it is 0.027 V; by hand."""
    assert judge_sweep(RISING, read("12.00", "12.02"), {}).reason is SweepFault.STANDS_STILL
    assert judge_sweep(RISING, read("12.02", "12.00"), {}).reason is SweepFault.STANDS_STILL
    assert judge_sweep(RISING, read("12.00", "12.03"), {}).verdict is Verdict.PASS
    assert judge_sweep(RISING, read("12.03", "12.00"), {}).reason is SweepFault.WRONG_WAY


def test_a_step_that_two_meters_cannot_tell_is_told_by_one() -> None:
    other = Meter("other", METER.ranges)
    mixed = [METER.estimate("a", q("12.00 V")), other.estimate("b", q("12.06 V"))]
    assert judge_sweep(RISING, mixed, {}).reason is SweepFault.STANDS_STILL
    assert judge_sweep(RISING, read("12.00", "12.06"), {}).verdict is Verdict.PASS


def test_a_smaller_risk_demands_larger_steps() -> None:
    readings = read("12.00", "12.03")
    assert judge_sweep(RISING, readings, {}, Decimal("0.05")).verdict is Verdict.PASS
    assert judge_sweep(RISING, readings, {}, Decimal("0.01")).verdict is not Verdict.PASS


@pytest.mark.parametrize(
    ("readings", "reason", "at"),
    [
        # A step of 5.01 V where 5 V is the most, and a last reading of 2.00 V where 2 V is.
        (("12.00", "6.99", "5.00", "1.50"), SweepFault.JUMPS, 1),
        (("12.00", "8.40", "5.00", "2.00"), SweepFault.END, 3),
    ],
)
def test_what_doubt_hides_is_too_close_to_call(
    readings: tuple[str, ...], reason: SweepFault, at: int
) -> None:
    assert judge_sweep(FALLING, read(*readings), VALUES) == SweepVerdict(
        Verdict.TOO_CLOSE, reason, at
    )


def test_a_certain_fault_counts_before_a_doubtful_one() -> None:
    found = judge_sweep(FALLING, read("12.60", "8.40", "9.40", "1.50"), VALUES)
    assert (found.verdict, found.reason, found.at) == (Verdict.LOW, SweepFault.WRONG_WAY, 2)


@given(st.lists(st.integers(-2000, 2000), min_size=2, max_size=8, unique=True))
def test_sorted_readings_pass_and_any_other_order_does_not(counts: list[int]) -> None:
    def verdict(order: list[int]) -> Verdict:
        readings = [Quantity(Decimal(n).scaleb(-2), unit("V")) for n in order]
        return judge_sweep(RISING, [Estimate.exact(r) for r in readings], {}).verdict

    assert verdict(sorted(counts)) is Verdict.PASS
    assert (verdict(counts) is Verdict.PASS) == (counts == sorted(counts))


def test_of_two_that_are_too_close_to_call_the_first_is_told() -> None:
    found = judge_sweep(FALLING, read("12.62", "8.40", "5.00", "2.01"), VALUES)
    assert (found.verdict, found.at) == (Verdict.TOO_CLOSE, 0)


def test_a_sweep_tells_the_readings_it_needs_and_takes_other_names() -> None:
    assert FALLING.names == {"battery"}
    assert RISING.names == set()
    renamed = FALLING.renamed({"battery": "cab-battery"})
    assert renamed.names == {"cab-battery"}
    good = exact("12.00", "8.40", "5.00", "1.50")
    assert judge_sweep(renamed, good, {"cab-battery": VALUES["battery"]}).verdict is Verdict.PASS
    with pytest.raises(MeasureError, match="'cab-battery'"):
        judge_sweep(renamed, good, VALUES)


@pytest.mark.parametrize(
    ("least", "smallest", "largest", "fault"),
    [
        (1, None, None, "2 or more"),
        (3, "0 V", None, "above zero"),
        (3, None, "-1 V", "above zero"),
        (3, "2 V", "1 V", "swap them"),
        (3, "2 V", "3 A", "current"),
    ],
)
def test_a_sweep_that_cannot_be_is_refused(
    least: int, smallest: str | None, largest: str | None, fault: str
) -> None:
    with pytest.raises(MeasureError, match=fault):
        SweepLimit(
            rising=True,
            least=least,
            smallest_step=q(smallest) if smallest else None,
            largest_step=q(largest) if largest else None,
        )


def test_volts_and_amperes_make_no_sweep() -> None:
    with pytest.raises(MeasureError, match="current"):
        judge_sweep(RISING, [*exact("1"), Estimate.exact(q("2 A"))], {})

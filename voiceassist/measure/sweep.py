"""Readings that should rise or fall steadily while something is turned or pressed."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum
from itertools import pairwise

from voiceassist.errors import MeasureError
from voiceassist.measure.decision import RISK, decide
from voiceassist.measure.expression import LimitExpression
from voiceassist.measure.limit import Verdict
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.uncertainty import Estimate, difference


class SweepFault(StrEnum):
    """What is wrong with a row of readings."""

    TOO_FEW = "too few"
    WRONG_WAY = "wrong way"
    STANDS_STILL = "stands still"
    JUMPS = "jumps"
    START = "start"
    END = "end"


@dataclass(frozen=True, slots=True)
class SweepLimit:
    """What a row of readings must do.

    Parts:
        rising: True when each reading must lie above the one before, False when below.
        start, end: limits of the first and the last; None when they may be anything.
        least: how many readings it takes, 2 or more.
        largest_step, smallest_step: from one reading to the next, both above zero; None when
            any step will do.
    """

    rising: bool
    start: LimitExpression | None = None
    end: LimitExpression | None = None
    least: int = 3
    largest_step: Quantity | None = None
    smallest_step: Quantity | None = None

    def __post_init__(self) -> None:
        if self.least < 2:
            raise MeasureError(
                f"{self.least} readings neither rise nor fall", remedy="ask for 2 or more"
            )
        small, large = self.smallest_step, self.largest_step
        for step in (small, large):
            if step is not None and step.value <= 0:
                raise MeasureError(
                    f"a sweep cannot go in steps of {step}", remedy="give a step above zero"
                )
        if small is not None and large is not None and large < small:
            raise MeasureError(
                f"the largest step, {large}, is below the smallest, {small}", remedy="swap them"
            )

    @property
    def names(self) -> frozenset[str]:
        """Earlier readings and facts it needs."""
        return frozenset().union(*(end.names for end in (self.start, self.end) if end))

    def renamed(self, names: Mapping[str, str]) -> "SweepLimit":
        """The same with the readings of its ends called otherwise, old name to new."""
        return replace(
            self,
            start=self.start.renamed(names) if self.start else None,
            end=self.end.renamed(names) if self.end else None,
        )


@dataclass(frozen=True, slots=True)
class SweepVerdict:
    """What a row of readings means.

    Parts:
        verdict: PASS; LOW or HIGH by the end that is outside its limit, HIGH for a jump, LOW
            for any other fault; TOO_CLOSE when doubt hides whether there is one; NOT_VALID
            when the readings are too few.
        reason: the fault; None for a pass.
        at: index of the reading that shows it, the later of two; of the last one for a pass,
            and of the first one missing when they are too few.
    """

    verdict: Verdict
    reason: SweepFault | None
    at: int


def judge_sweep(
    sweep: SweepLimit,
    readings: Sequence[Estimate],
    values: Mapping[str, Estimate],
    risk: Decimal = RISK,
) -> SweepVerdict:
    """Judge ``readings``, in the order they were taken, against ``sweep``.

    Steady is what moves the right way by more than the doubt of the difference, guarded as
    ``decide`` does; what two readings of one meter share cancels. A step within its doubt
    stands still. The first certain fault counts, else the first that is too close to tell.

    Args:
        sweep: what they must do.
        readings: of one kind.
        values: earlier readings and facts by name, for the limits of start and end.
        risk: as in ``decide``.

    Raises:
        MeasureError: a name has no value, units do not go together, or another risk.
    """
    if len(readings) < sweep.least:
        return SweepVerdict(Verdict.NOT_VALID, SweepFault.TOO_FEW, len(readings))
    faults = list(_faults(sweep, readings, values, risk))
    certain = (fault for fault in faults if fault.verdict is not Verdict.TOO_CLOSE)
    passed = SweepVerdict(Verdict.PASS, None, len(readings) - 1)
    return next(certain, faults[0] if faults else passed)


def _faults(
    sweep: SweepLimit, readings: Sequence[Estimate], values: Mapping[str, Estimate], risk: Decimal
) -> Iterator[SweepVerdict]:
    """Every fault, in the order of the readings."""
    yield from _end_fault(sweep.start, readings, 0, SweepFault.START, values, risk)
    for at, (before, after) in enumerate(pairwise(readings), start=1):
        step = difference(after, before) if sweep.rising else difference(before, after)
        yield from (SweepVerdict(v, reason, at) for v, reason in _step_faults(sweep, step, risk))
    last = len(readings) - 1
    yield from _end_fault(sweep.end, readings, last, SweepFault.END, values, risk)


def _end_fault(
    limit: LimitExpression | None,
    readings: Sequence[Estimate],
    at: int,
    reason: SweepFault,
    values: Mapping[str, Estimate],
    risk: Decimal,
) -> Iterator[SweepVerdict]:
    if limit is not None:
        verdict = decide(readings[at], *limit.estimate(values), risk).verdict
        if verdict is not Verdict.PASS:
            yield SweepVerdict(verdict, reason, at)


def _step_faults(
    sweep: SweepLimit, step: Estimate, risk: Decimal
) -> Iterator[tuple[Verdict, SweepFault]]:
    """Faults of one step, which is positive when it goes the right way."""
    nothing = Estimate.exact(Quantity(Decimal(0), step.quantity.unit))
    way = decide(step, nothing, None, risk).verdict
    if way is Verdict.LOW:
        yield Verdict.LOW, SweepFault.WRONG_WAY
    elif way is Verdict.TOO_CLOSE or not step.quantity.value:
        yield Verdict.LOW, SweepFault.STANDS_STILL
    else:
        yield from _size_faults(sweep, step, risk)


def _size_faults(
    sweep: SweepLimit, step: Estimate, risk: Decimal
) -> Iterator[tuple[Verdict, SweepFault]]:
    """Faults of one step that goes the right way, but too far or not far enough."""
    if sweep.smallest_step is not None:
        verdict = decide(step, Estimate.exact(sweep.smallest_step), None, risk).verdict
        if verdict is not Verdict.PASS:
            yield verdict, SweepFault.STANDS_STILL
    if sweep.largest_step is not None:
        verdict = decide(step, None, Estimate.exact(sweep.largest_step), risk).verdict
        if verdict is not Verdict.PASS:
            yield verdict, SweepFault.JUMPS

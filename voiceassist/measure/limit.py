"""A limit with its numbers filled in, and the verdict on a reading."""

from dataclasses import dataclass
from enum import StrEnum

from voiceassist.errors import MeasureError
from voiceassist.measure.quantity import Quantity


class Verdict(StrEnum):
    """What a reading means against its limit."""

    PASS = "pass"
    LOW = "low"
    HIGH = "high"
    TOO_CLOSE = "too close to call"
    NOT_VALID = "not valid"


@dataclass(frozen=True, slots=True)
class Limit:
    """An interval, its ends included.

    Parts:
        low: smallest value that passes; None when there is no lower end.
        high: largest value that passes; None when there is no upper end.
    """

    low: Quantity | None
    high: Quantity | None

    def __post_init__(self) -> None:
        if self.low is None and self.high is None:
            raise MeasureError("a limit with neither end limits nothing")
        if self.low is not None and self.high is not None and self.high < self.low:
            raise MeasureError(
                f"the limit runs from {self.low} down to {self.high}", remedy="swap its ends"
            )


def check(reading: Quantity, limit: Limit, doubt: Quantity | None = None) -> Verdict:
    """Judge ``reading`` against ``limit``.

    Args:
        reading: what was measured.
        limit: what it is compared with, in units of the same kind.
        doubt: half-width of the interval that holds the true value; None counts as zero.

    Returns:
        LOW or HIGH when the whole interval is outside, PASS when the whole interval is
        inside, TOO_CLOSE when an end of the limit lies within it.

    Raises:
        MeasureError: reading, limit and doubt are not of one kind.
    """
    margin = doubt if doubt is not None else reading - reading
    least, most = reading - margin, reading + margin
    if limit.low is not None and most < limit.low:
        return Verdict.LOW
    if limit.high is not None and limit.high < least:
        return Verdict.HIGH
    crosses_low = limit.low is not None and least < limit.low
    crosses_high = limit.high is not None and limit.high < most
    return Verdict.TOO_CLOSE if crosses_low or crosses_high else Verdict.PASS

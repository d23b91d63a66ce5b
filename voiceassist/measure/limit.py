"""A limit with its numbers filled in, and the verdicts there are."""

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

    def holds(self, reading: Quantity) -> bool:
        """True when ``reading`` is within it.

        Raises:
            MeasureError: another kind of unit.
        """
        above = self.low is None or self.low <= reading
        return above and (self.high is None or reading <= self.high)

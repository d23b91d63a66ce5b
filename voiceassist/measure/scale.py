"""A limit, and a reading beside it, as a picture of them needs it."""

from dataclasses import dataclass
from decimal import Decimal

_HALF = Decimal("0.5")


@dataclass(frozen=True, slots=True)
class Scale:
    """A limit, and a reading beside it; every value in the base unit of the kind measured.

    Parts:
        values: the reading; two when it wanders between them, none when it was over range.
        low, high: ends of the limit; None for an open one.
        guard_low, guard_high: between them a reading passes, between guard and end it is too
            close to call; None when that is not known.
        low_text, high_text: the ends as they are shown; empty for an open one.
    """

    values: tuple[Decimal, ...]
    low: Decimal | None
    high: Decimal | None
    guard_low: Decimal | None = None
    guard_high: Decimal | None = None
    low_text: str = ""
    high_text: str = ""

    def __post_init__(self) -> None:
        if self.low is None and self.high is None:
            raise ValueError("a limit with neither end limits nothing")
        if self.low is not None and self.high is not None and self.high < self.low:
            raise ValueError(f"the limit runs from {self.low} down to {self.high}")

    @property
    def ends(self) -> tuple[Decimal, Decimal]:
        """What a bar shows: the limit with half its width on each side.

        Where one end is open, the bar runs from half the other end to one and a half of it.
        """
        if self.low is not None and self.high is not None:
            margin = (self.high - self.low) * _HALF or abs(self.high) * _HALF or Decimal(1)
            return self.low - margin, self.high + margin
        known = self.low if self.low is not None else self.high
        assert known is not None
        margin = abs(known) * _HALF or max(map(abs, self.values), default=Decimal(0)) or Decimal(1)
        return known - margin, known + margin

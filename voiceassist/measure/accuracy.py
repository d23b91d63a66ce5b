"""How far a meter can be wrong, by its data sheet."""

from dataclasses import dataclass
from decimal import Decimal

from voiceassist.errors import MeasureError

#: Percent by which a reading may be wrong when it tells nothing.
_ALL = 100


@dataclass(frozen=True, slots=True)
class Accuracy:
    """The usual data-sheet form, ±(percent of reading + counts of the last digit).

    Parts:
        percent: percent of the reading, 0 or more.
        counts: counts of the last digit that the range shows, 0 or more.
    """

    percent: Decimal
    counts: int

    def __post_init__(self) -> None:
        if self.percent < 0 or self.counts < 0:
            raise MeasureError(
                f"an accuracy of ±({self.percent} % + {self.counts}) cannot be",
                remedy="give both as zero or more",
            )
        if self.percent >= _ALL:
            raise MeasureError(
                f"an accuracy of {self.percent} % leaves nothing of a reading",
                remedy="give the percent as the data sheet of the meter has it, such as 0.5 %",
            )

"""A session as stays at its steps, one after the other. Pure: journal lines in, values out."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from voiceassist.record.lines import AskLine, CautionLine, Condition, Line, ReadingLine, Skipped
from voiceassist.record.pauses import away_s, between_s


@dataclass(frozen=True, slots=True)
class Stay:
    """Time at one step without a break.

    Parts:
        step: its name; empty before the first step.
        lines: all that was kept meanwhile, at least one.
        ended: when the next stay began, or the journal ended; RFC 3339.
    """

    step: str
    lines: tuple[Line, ...]
    ended: str

    @property
    def began(self) -> str:
        """When, RFC 3339."""
        return self.lines[0].at

    @property
    def seconds(self) -> float:
        """How long, without the time the session was cut off."""
        return max(0.0, between_s(self.began, self.ended) - sum(map(away_s, self.lines)))


def stays(lines: Sequence[Line]) -> Iterator[Stay]:
    """Every stay in order; lines that belong to no step are part of the stay they fall into."""
    starts: list[tuple[int, str]] = []
    for i, line in enumerate(lines):
        if not starts or (line.step and line.step != starts[-1][1] and _leads(line)):
            starts.append((i, line.step))
    ends = [start for start, _ in starts[1:]]
    for (start, step), end in zip(starts, [*ends, len(lines)], strict=False):
        yield Stay(step, tuple(lines[start:end]), lines[min(end, len(lines) - 1)].at)


def _leads(line: Line) -> bool:
    """It tells which step is under way; others may speak of an earlier step."""
    computed = isinstance(line, ReadingLine) and not line.corrects
    return isinstance(line, AskLine | CautionLine | Condition | Skipped) or computed

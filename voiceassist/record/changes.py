"""What was taken back in a session, with what had stood. Pure: journal lines in, values out."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from voiceassist.record.lines import (
    FindingWithdrawnLine,
    Heard,
    Line,
    ReadingLine,
    RejudgedLine,
    VerdictLine,
    WithdrawnLine,
)

#: Commands that take something back.
_TURNS = frozenset({"go-back", "revise", "disregard"})


@dataclass(frozen=True, slots=True)
class TakenBack:
    """A line that takes something back.

    Parts:
        line: it.
        value, verdict: of its step as they stood before; empty where there was none.
    """

    line: Line
    value: str = ""
    verdict: str = ""


def changes(lines: Sequence[Line]) -> Iterator[TakenBack]:
    """Every one in order."""
    stood: dict[str, TakenBack] = {}
    for line in lines:
        before = stood.get(line.step, TakenBack(line))
        if _takes_back(line):
            yield TakenBack(line, before.value, before.verdict)
        stood[line.step] = _after(line, before)


def _takes_back(line: Line) -> bool:
    match line:
        case Heard():
            return line.command in _TURNS
        case ReadingLine():
            return line.corrects
        case _:
            return isinstance(line, RejudgedLine | WithdrawnLine | FindingWithdrawnLine)


def _after(line: Line, before: TakenBack) -> TakenBack:
    """What stands after this line; a refused value changes neither value nor verdict."""
    match line:
        case ReadingLine():
            return TakenBack(line, line.shown or line.text)
        case RejudgedLine():
            return TakenBack(line, before.value, line.verdict)
        case VerdictLine() if not before.verdict:
            return TakenBack(line, before.value, line.verdict)
        case _:
            return before

"""The readings of a session with their limits and verdicts. Pure: journal lines in, values out."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from voiceassist.record.lines import (
    FindingLine,
    Line,
    ReadingLine,
    RejudgedLine,
    Skipped,
    VerdictLine,
    WithdrawnLine,
)

#: Behind a verdict that was given again since a correction.
JUDGED_AGAIN = ", judged again"


@dataclass(frozen=True, slots=True)
class KeptReading:
    """A reading, or a step without one, as the journal has it.

    Parts:
        index: place among the lines, from 0 on.
        time: hours, minutes and seconds of the clock on the wall.
        step: the step it was taken at.
        shown: the reading as figures, with its unit.
        limit, verdict: what it was compared with, and what came of it; may be empty.
        remark: why it does not count; empty when it does.
        origin: the session of the same job that it was taken in; empty for its own.
    """

    index: int
    time: str
    step: str
    shown: str
    limit: str = ""
    verdict: str = ""
    remark: str = ""
    origin: str = ""

    @property
    def counts(self) -> bool:
        """It was taken, and not corrected since."""
        return not self.remark

    @property
    def named(self) -> str:
        """As a finding quotes it: "feed lamp: bright"."""
        return f"{self.step.replace('-', ' ')}: {self.shown}"


def readings(lines: Sequence[Line]) -> tuple[KeptReading, ...]:
    """All readings in order, with those that were corrected, taken back or refused, and skips.

    A step measured again before a finding replaces its earlier reading; after a finding it
    proves the repair, and both stand.
    """
    found: list[KeptReading] = []
    stage = 0
    for index, line in enumerate(lines):
        match line:
            case ReadingLine():
                remark = ", corrected since" if line.corrects else ", taken again since"
                found = _marked(found, 0 if line.corrects else stage, line.step, remark)
                found.append(_kept(index, line, line.figures, line.origin))
            case WithdrawnLine():
                found = _marked(found, 0, line.step, ", taken back")
            case FindingLine():
                stage = len(found)
            case VerdictLine() if found and _belongs(found[-1], line, index):
                found[-1] = _with_verdict(found[-1], line)
            case VerdictLine():
                refused = _kept(index, line, line.reading)
                found.append(replace(_with_verdict(refused, line), remark=", did not count"))
            case RejudgedLine():
                found = _judged_again(found, line)
            case Skipped():
                reason = line.reason or "no reason"
                found.append(
                    replace(_kept(index, line, f"skipped ({reason})"), remark=", not taken")
                )
            case _:
                pass
    return tuple(found)


def _kept(index: int, line: Line, shown: str, origin: str = "") -> KeptReading:
    return KeptReading(index, line.at[11:19], line.step, shown, origin=origin)


def _belongs(last: KeptReading, verdict: VerdictLine, index: int) -> bool:
    """A verdict stands right behind its reading."""
    return last.index == index - 1 and last.step == verdict.step and last.counts


def _with_verdict(kept: KeptReading, line: VerdictLine) -> KeptReading:
    shown = line.reading or kept.shown
    return replace(kept, shown=shown, limit=line.limit, verdict=line.verdict)


def _judged_again(found: list[KeptReading], line: RejudgedLine) -> list[KeptReading]:
    """The last reading of the step with the limit and verdict it has since a correction."""
    for i in range(len(found) - 1, -1, -1):
        if found[i].step == line.step and found[i].counts:
            verdict = line.verdict + JUDGED_AGAIN
            again = replace(found[i], limit=line.limit, verdict=verdict)
            return [*found[:i], again, *found[i + 1 :]]
    return found


def _marked(found: list[KeptReading], since: int, step: str, remark: str) -> list[KeptReading]:
    """``found`` with ``remark`` on the last reading of ``step`` that counts, if there is one."""
    for i in range(len(found) - 1, since - 1, -1):
        if found[i].step == step and found[i].counts:
            return [*found[:i], replace(found[i], remark=remark), *found[i + 1 :]]
    return found

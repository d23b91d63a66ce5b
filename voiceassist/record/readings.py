"""The readings of a session with their limits and verdicts. Pure: journal lines in, values out."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

Line = Mapping[str, object]

#: Behind a verdict that was given again since a correction.
JUDGED_AGAIN = ", judged again"


@dataclass(frozen=True, slots=True)
class Kept:
    """A reading, or a step without one, as the journal has it.

    Parts:
        index: place among the lines, from 0 on.
        time: hours, minutes and seconds of the clock on the wall.
        step: the step it was taken at.
        shown: the reading as figures, with its unit.
        limit, verdict: what it was compared with, and what came of it; may be empty.
        remark: why it does not count; empty when it does.
    """

    index: int
    time: str
    step: str
    shown: str
    limit: str = ""
    verdict: str = ""
    remark: str = ""

    @property
    def counts(self) -> bool:
        """It was taken, and not corrected since."""
        return not self.remark

    @property
    def named(self) -> str:
        """As a finding quotes it: "feed lamp: bright"."""
        return f"{self.step.replace('-', ' ')}: {self.shown}"


def readings(lines: Sequence[Line]) -> tuple[Kept, ...]:
    """All readings in order, with those that were corrected, taken back or refused, and skips.

    A step measured again before a finding replaces its earlier reading; after a finding it
    proves the repair, and both stand.
    """
    found: list[Kept] = []
    stage = 0
    for index, line in enumerate(lines):
        match line["event"]:
            case "reading":
                corrects = bool(line.get("corrects"))
                remark = ", corrected since" if corrects else ", taken again since"
                found = _marked(found, 0 if corrects else stage, str(line.get("step")), remark)
                found.append(_kept(index, line, _figures(line)))
            case "withdrawn":
                found = _marked(found, 0, str(line.get("step")), ", taken back")
            case "finding":
                stage = len(found)
            case "verdict" if found and _belongs(found[-1], line, index):
                found[-1] = _with_verdict(found[-1], line)
            case "verdict":
                refused = _kept(index, line, str(line.get("reading") or ""))
                found.append(replace(_with_verdict(refused, line), remark=", did not count"))
            case "rejudged":
                found = _judged_again(found, line)
            case "skipped":
                reason = str(line.get("reason") or "no reason")
                found.append(
                    replace(_kept(index, line, f"skipped ({reason})"), remark=", not taken")
                )
            case _:
                pass
    return tuple(found)


def _kept(index: int, line: Line, shown: str) -> Kept:
    return Kept(index, str(line["at"])[11:19], str(line.get("step") or ""), shown)


def _figures(line: Line) -> str:
    if line.get("shown"):
        return str(line["shown"])
    if line.get("value") is not None:
        return f"{line['value']} {line.get('unit') or ''}".strip()
    return str(line.get("name") or line.get("text") or "").rstrip(".")


def _belongs(last: Kept, verdict: Line, index: int) -> bool:
    """A verdict stands right behind its reading."""
    return last.index == index - 1 and last.step == verdict.get("step") and last.counts


def _with_verdict(kept: Kept, line: Line) -> Kept:
    shown = str(line.get("reading") or "") or kept.shown
    limit, verdict = str(line.get("limit") or ""), str(line.get("verdict") or "")
    return replace(kept, shown=shown, limit=limit, verdict=verdict)


def _judged_again(found: list[Kept], line: Line) -> list[Kept]:
    """The last reading of the step with the limit and verdict it has since a correction."""
    for i in range(len(found) - 1, -1, -1):
        if found[i].step == line.get("step") and found[i].counts:
            limit, verdict = str(line.get("limit") or ""), str(line.get("verdict") or "")
            again = replace(found[i], limit=limit, verdict=verdict + JUDGED_AGAIN)
            return [*found[:i], again, *found[i + 1 :]]
    return found


def _marked(found: list[Kept], since: int, step: str, remark: str) -> list[Kept]:
    """``found`` with ``remark`` on the last reading of ``step`` that counts, if there is one."""
    for i in range(len(found) - 1, since - 1, -1):
        if found[i].step == step and found[i].counts:
            return [*found[:i], replace(found[i], remark=remark), *found[i + 1 :]]
    return found

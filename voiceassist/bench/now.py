"""A session as its page shows it: a fold over its lines. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from voiceassist.record import lines
from voiceassist.record.facts import fact
from voiceassist.record.outcomes import OUTCOMES
from voiceassist.record.present import shown
from voiceassist.record.readings import KeptReading, readings
from voiceassist.record.shown import Present
from voiceassist.record.times import parsed

#: What tells of the vehicle.
_ON_THE_WAY = (
    lines.ReadingLine
    | lines.VerdictLine
    | lines.WithdrawnLine
    | lines.RejudgedLine
    | lines.Skipped
    | lines.FindingLine
    | lines.FindingWithdrawnLine
    | lines.Done
)
#: In place of a line that does not belong to the way, so that the places of the others stay.
_BLANK = lines.Line({})


@dataclass(frozen=True, slots=True)
class WayMark:
    """One thing on the way so far.

    Parts:
        time: hours, minutes and seconds of the clock on the wall.
        what: the step, or of what kind it is.
        shown: the reading, finding or work.
        verdict, limit: of a reading; may be empty.
        remark: why it does not count; empty when it does.
    """

    time: str
    what: str
    shown: str
    verdict: str = ""
    limit: str = ""
    remark: str = ""


@dataclass(frozen=True, slots=True)
class SessionNow:
    """A session at this moment.

    Parts:
        present: what a screen shows too.
        head: the line that opened it.
        facts: of the job, as opened and as said since.
        way: the lines of the way so far, blanks between.
        looked_at: how many lines tell of the vehicle; what is likely changes with them.
        zero_s: when the session's clock would have been at 0, in seconds since 1970.
        verdict: the last one.
    """

    present: Present = field(default_factory=Present)
    head: lines.SessionLine = field(default_factory=lambda: lines.SessionLine({}))
    facts: tuple[tuple[str, str], ...] = ()
    way: tuple[lines.Line, ...] = ()
    looked_at: int = 0
    zero_s: float | None = None
    verdict: lines.VerdictLine | None = None

    @property
    def begun(self) -> bool:
        """Its first line was read."""
        return bool(self.head)

    @property
    def rehearsal(self) -> bool:
        """No vehicle is at hand, and its fault is hidden."""
        return bool(self.head.rehearsal)

    @property
    def complaint(self) -> str:
        """As told when the job was opened, or since; else the title."""
        return fact(dict(self.facts), "complaint") or self.head.title

    def fact(self, name: str) -> str:
        """A fact of the job; empty when it is not known."""
        return fact(dict(self.facts), name)

    @property
    def ended(self) -> bool:
        """The job is closed."""
        return bool(self.present.end)

    @property
    def outcome(self) -> str:
        """How it ended, in words."""
        return OUTCOMES.get(self.present.end, self.present.end)

    @property
    def marks(self) -> tuple[WayMark, ...]:
        """The way so far, the latest first."""
        found = {kept.index: _of_reading(kept) for kept in readings(self.way)}
        for index, line in enumerate(self.way):
            if (mark := _of_work(line)) is not None:
                found[index] = mark
        return tuple(found[index] for index in sorted(found, reverse=True))


def after(now: SessionNow, line: lines.Line) -> SessionNow:
    """``now`` after one more line of the journal."""
    on_the_way = isinstance(line, _ON_THE_WAY)
    is_shown = on_the_way or isinstance(line, lines.InstructorNote)
    now = replace(
        now,
        present=shown(now.present, line),
        way=(*now.way, line if is_shown else _BLANK),
        looked_at=now.looked_at + on_the_way,
        zero_s=_zero(now, line),
    )
    match line:
        case lines.SessionLine():
            facts = tuple((str(name), str(value)) for name, value in line.facts.items())
            return replace(now, head=line, facts=facts)
        case lines.FactLine():
            kept = tuple(pair for pair in now.facts if pair[0] != line.name)
            return replace(now, facts=(*kept, (line.name, line.value)))
        case lines.VerdictLine():
            return replace(now, verdict=line)
        case _:
            return now


def after_all(now: SessionNow, new: Sequence[lines.Line]) -> SessionNow:
    """``now`` after several lines."""
    for line in new:
        now = after(now, line)
    return now


def _zero(now: SessionNow, line: lines.Line) -> float | None:
    """The clock never goes back; what was away does not count."""
    told = line.end_s if isinstance(line, lines.Heard) else line.at_s
    told = line.start_s if told is None else told
    try:
        at_s = parsed(line.at).timestamp()
    except ValueError:
        return now.zero_s
    if isinstance(line, lines.SessionLine):
        return at_s
    if told is None:
        return now.zero_s
    zero_s = at_s - told
    if now.zero_s is None or isinstance(line, lines.ReturnedLine | lines.ResumedLine):
        return zero_s
    return min(now.zero_s, zero_s)


def _of_reading(kept: KeptReading) -> WayMark:
    what = kept.step.replace("-", " ")
    remark = kept.remark.removeprefix(", ")
    return WayMark(kept.time, what, kept.shown, kept.verdict, kept.limit, remark)


def _of_work(line: lines.Line) -> WayMark | None:
    time = line.at[11:19]
    match line:
        case lines.FindingLine():
            return WayMark(time, "finding", line.cause)
        case lines.FindingWithdrawnLine():
            return WayMark(time, "finding withdrawn", line.name.replace("-", " "))
        case lines.InstructorNote():
            return WayMark(time, f"note of {line.by}", line.words)
        case lines.Done() if line.task:
            return WayMark(time, "done", line.task)
        case _:
            return None

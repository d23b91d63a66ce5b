"""A journal, read once, for whoever tells of its session. Pure: journal lines in, values out."""

from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from typing import TypeVar, cast

from voiceassist.record import times
from voiceassist.record.changes import TakenBack, changes
from voiceassist.record.exchanges import Exchange, exchanges
from voiceassist.record.facts import fact
from voiceassist.record.lines import (
    AccountLine,
    Acknowledged,
    Addendum,
    CautionLine,
    Done,
    End,
    FactLine,
    FindingLine,
    FindingWithdrawnLine,
    Line,
    NoteLine,
    ParkedLine,
    ReturnedLine,
    SessionLine,
    VerdictLine,
    place_of,
    typed,
)
from voiceassist.record.pauses import paused_s, to_the_end, worked_s
from voiceassist.record.readings import KeptReading, readings
from voiceassist.record.stays import Stay, stays
from voiceassist.record.warned import Warned
from voiceassist.record.webvtt import one_line

_L = TypeVar("_L", bound=Line)


class ReadSession:
    """A session as its journal has it. Every answer is worked out when it is first asked for.

    Args:
        journal: its lines, from the first on.
    """

    def __init__(self, journal: Iterable[Mapping[str, object]]) -> None:
        self.lines = typed(journal)

    def every(self, kind: type[_L]) -> tuple[_L, ...]:
        """The lines of one kind, in order."""
        return cast(tuple[_L, ...], tuple(self._by_kind.get(kind, ())))

    @cached_property
    def _by_kind(self) -> Mapping[type[Line], list[Line]]:
        found: dict[type[Line], list[Line]] = {}
        for line in self.lines:
            found.setdefault(type(line), []).append(line)
        return found

    # --- the job ---

    @property
    def head(self) -> SessionLine:
        """The line that opened the session; an empty one where there is none."""
        first = self.lines[0] if self.lines else None
        return first if isinstance(first, SessionLine) else SessionLine({})

    @property
    def is_free(self) -> bool:
        """A rehearsal that no procedure led: its own has one question alone."""
        return self.head.rehearsal.get("mode") == "free"

    @cached_property
    def facts(self) -> Mapping[str, str]:
        """What is known of the job: as opened, and as said since."""
        given = {str(name): str(value) for name, value in self.head.facts.items()}
        return given | {line.name: line.value for line in self.every(FactLine)}

    @property
    def complaint(self) -> str:
        """As summary up, else as told when the job was opened, else the title."""
        summary = self.summed_up("complaint")
        return summary or fact(self.facts, "complaint") or self.head.title

    def summed_up(self, name: str) -> str:
        """A sentence of the closing summary; empty before the job is closed."""
        sums = self.every(AccountLine)
        return one_line(str(sums[-1].get(name) or "")) if sums else ""

    @property
    def ended(self) -> bool:
        """It has ended; else it can go on."""
        return bool(self.every(End))

    @property
    def parked(self) -> str:
        """What it is parked for; empty when it is not, or was gone on with since."""
        if not self.every(ParkedLine) or self.ended:
            return ""
        last = next(
            line for line in reversed(self.lines) if isinstance(line, ParkedLine | ReturnedLine)
        )
        return (last.reason or "other") if isinstance(last, ParkedLine) else ""

    @cached_property
    def outcome(self) -> str:
        """As the engine names it; empty when the session has not ended.

        Journals of earlier versions say "found" where nothing wrong was found.
        """
        outcome = next((line.outcome for line in self.every(End)), "")
        return "no-fault" if outcome == "found" and self.finding.blames_nothing else outcome

    @property
    def addenda(self) -> tuple[Addendum, ...]:
        """What was added after the job."""
        return self.every(Addendum)

    # --- what was found ---

    @cached_property
    def findings(self) -> tuple[FindingLine, ...]:
        """Those that were not withdrawn."""
        found: list[FindingLine] = []
        for line in self.lines if self.every(FindingLine) else ():
            if isinstance(line, FindingLine):
                found.append(line)
            elif isinstance(line, FindingWithdrawnLine):
                found = [each for each in found if each.name != line.name]
        return tuple(found)

    @property
    def finding(self) -> FindingLine:
        """The last one; an empty one where there is none."""
        return self.findings[-1] if self.findings else FindingLine({})

    @cached_property
    def last_finding(self) -> FindingLine | None:
        """The line where it was first told, as a correction may have had it told again."""
        found = list(self.findings)
        while len(found) > 1 and found[-1].cause == found[-2].cause:
            del found[-1]
        return found[-1] if found else None

    @cached_property
    def finding_place(self) -> int:
        """Where that line stands, from 0 on; -1 where there is none."""
        return place_of(self.lines, self.last_finding) if self.last_finding is not None else -1

    @cached_property
    def done(self) -> tuple[Done, ...]:
        """The work that was done since."""
        if self.last_finding is None:
            return ()
        return tuple(line for line in self.lines[self.finding_place :] if isinstance(line, Done))

    @cached_property
    def work_told(self) -> tuple[NoteLine, ...]:
        """What the technician told of that work in his own words."""
        since = self.lines[self.finding_place :] if self.last_finding is not None else ()
        return tuple(line for line in since if isinstance(line, NoteLine) and line.of_work)

    @cached_property
    def done_before(self) -> tuple[Done, ...]:
        """The work that was said to be done for a finding that fell later: it stays done."""
        place = self.finding_place
        found: list[Done] = []
        stands = False
        for line in self.lines[: place if place >= 0 else None]:
            match line:
                case FindingLine() | FindingWithdrawnLine():
                    stands = isinstance(line, FindingLine)
                case Done() if stands:
                    found.append(line)
                case _:
                    pass
        return tuple(found)

    # --- steps, readings, words ---

    @cached_property
    def readings(self) -> tuple[KeptReading, ...]:
        """All of them in order, those that do not count too."""
        return readings(self.lines)

    @cached_property
    def verdicts(self) -> Mapping[int, VerdictLine]:
        """Every verdict by the number of its line."""
        return {line.seq: line for line in self.every(VerdictLine)}

    @cached_property
    def stays(self) -> tuple[Stay, ...]:
        """The whole of it, step by step."""
        return tuple(stays(self.lines))

    @property
    def places(self) -> Iterator[str]:
        """The step or finding that each line belongs to, in order; empty for none."""
        return (line.name if isinstance(line, FindingLine) else line.step for line in self.lines)

    @cached_property
    def exchanges(self) -> tuple[Exchange, ...]:
        """What the technician said, each time with what came of it."""
        return tuple(exchanges(self.lines))

    @cached_property
    def changes(self) -> tuple[TakenBack, ...]:
        """What was taken back."""
        return tuple(changes(self.lines))

    @cached_property
    def warned(self) -> tuple[Warned, ...]:
        """Every time that a caution was acknowledged."""
        spoken: dict[str, CautionLine] = {}
        found = []
        for line in self.lines if self.every(Acknowledged) else ():
            if isinstance(line, CautionLine):
                spoken[line.name] = line
            elif isinstance(line, Acknowledged):
                found += [Warned(n, spoken.get(n, CautionLine({})), line.at) for n in line.names]
        return tuple(found)

    # --- times ---

    @cached_property
    def job_lines(self) -> tuple[Line, ...]:
        """The lines up to the end, without what was added after that."""
        return tuple(to_the_end(self.lines))

    @cached_property
    def worked_s(self) -> float:
        """Seconds from the first line to the end, without pauses."""
        return worked_s(self.lines)

    @cached_property
    def paused_s(self) -> float:
        """Seconds the session was cut off or standing by."""
        return paused_s(self.lines)

    @cached_property
    def set_back_s(self) -> int:
        """The most that the clock was set back during it, in seconds; 0 when it was not."""
        return max((seconds for _, seconds in times.steps_back(self.lines)), default=0)


def read_session(journal: ReadSession | Iterable[Mapping[str, object]]) -> ReadSession:
    """The session in these lines; one that was read already is given back as it is."""
    return journal if isinstance(journal, ReadSession) else ReadSession(journal)

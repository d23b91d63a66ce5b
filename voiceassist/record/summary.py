"""What a session came to, folded from its lines. Pure: journal lines in, frozen values out."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal, InvalidOperation
from types import MappingProxyType

from voiceassist.errors import MeasureError
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import unit
from voiceassist.record.facts import fact
from voiceassist.record.lines import (
    Addendum,
    FindingWithdrawnLine,
    Heard,
    InstructorNote,
    Line,
    NoteLine,
    ReadingLine,
    Repaired,
    VerdictLine,
    WithdrawnLine,
)
from voiceassist.record.outcomes import DEMO, PARKED, REHEARSED
from voiceassist.record.read_session import ReadSession, read_session
from voiceassist.record.readings import JUDGED_AGAIN, KeptReading
from voiceassist.record.said import understood

#: Of a reading, before or behind the point.
_MOST_FIGURES = 50


@dataclass(frozen=True, slots=True)
class Measured:
    """A reading, lamp state or answer, or a step without one.

    Parts:
        seq: number of its line in the journal.
        at: when it was kept, RFC 3339.
        step: the step it was taken at.
        shown: as figures with unit, or the state or answer in words.
        quantity: the number with its unit, digits as spoken; None for all else.
        limit, verdict: what it was compared with, and what came of it; may be empty.
        rejudged: the verdict was given again, since an earlier reading was corrected.
        remark: why it does not count, such as "corrected since"; empty when it does.
        origin: the session of the same job that it was read in; empty for its own.
    """

    seq: int
    at: str
    step: str
    shown: str
    quantity: Quantity | None = None
    limit: str = ""
    verdict: str = ""
    rejudged: bool = False
    remark: str = ""
    origin: str = ""

    @property
    def counts(self) -> bool:
        """It was taken, and neither corrected nor taken back since."""
        return not self.remark


@dataclass(frozen=True, slots=True)
class Moment:
    """Something that an honest account does not leave out.

    Parts:
        seq, at: number and time of its line in the journal.
        kind: "question", "not understood", "correction", "taken back", "note", "break" or
            "finding withdrawn".
        step: where the session was.
        text: one line for people.
    """

    seq: int
    at: str
    kind: str
    step: str
    text: str


@dataclass(frozen=True, slots=True)
class SessionSummary:
    """What a session came to; all texts are empty where the journal has none.

    Parts:
        began, last_at: times of the first and the last line, RFC 3339; what was added after the
            end does not count.
        ended: it has ended; else it can go on.
        procedure, title, procedure_sha256, version: as the journal's head names them.
        facts: of the job, by name.
        complaint: as told, or as summed up at the end.
        outcome: as the engine names it; of a job that is parked what it is parked for.
        finding, because, correction: of the last finding that holds.
        cause: of that finding; empty when it blames nothing.
        good: what answers as it should, where nothing wrong was found.
        addenda: what was added after the job.
        readings: all of them in order, those that do not count too.
        moments: questions asked in doubt, corrections, notes and breaks, in order.
        said: words heard from the technician, in order.
        worked_s: seconds it lasted, without its pauses.
    """

    began: str = ""
    last_at: str = ""
    ended: bool = False
    procedure: str = ""
    title: str = ""
    procedure_sha256: str = ""
    version: str = ""
    facts: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    complaint: str = ""
    outcome: str = ""
    finding: str = ""
    cause: str = ""
    because: tuple[str, ...] = ()
    correction: str = ""
    readings: tuple[Measured, ...] = ()
    moments: tuple[Moment, ...] = ()
    said: tuple[str, ...] = ()
    good: str = ""
    addenda: tuple[Addendum, ...] = ()
    worked_s: float = 0.0

    @property
    def questions(self) -> int:
        """How often the assistant was not sure and had to ask."""
        return sum(moment.kind == "question" for moment in self.moments)

    def fact(self, name: str) -> str:
        """A fact of the job, such as "repair order"; empty when it is not known."""
        return fact(self.facts, name)


def summary(journal: ReadSession | Iterable[Mapping[str, object]]) -> SessionSummary:
    """What the session in these lines came to so far; an empty summary for no lines."""
    read = read_session(journal)
    lines = read.lines
    if not lines:
        return SessionSummary()
    head, finding = read.head, read.finding
    good = finding.blames_nothing
    return SessionSummary(
        began=lines[0].at,
        last_at=read.job_lines[-1].at,
        ended=read.ended,
        procedure=head.procedure,
        title=head.title,
        procedure_sha256=head.procedure_sha256,
        version=head.version,
        facts=MappingProxyType(dict(read.facts)),
        complaint=read.complaint,
        outcome=_outcome(read),
        finding=finding.name,
        cause="" if good else finding.cause,
        good=finding.cause if good else "",
        addenda=read.addenda,
        because=finding.because,
        correction=read.summed_up("correction") or finding.correction,
        readings=tuple(_measured(kept, lines[kept.index]) for kept in read.readings),
        moments=tuple(_moments(lines)),
        # Those of a note come in its "heard" line already.
        said=tuple(line.words for line in read.every(Heard) if line.words),
        worked_s=read.worked_s,
    )


def _outcome(read: ReadSession) -> str:
    if read.parked:
        return f"{PARKED}-{read.parked}"
    if read.head.demo:
        return DEMO
    return REHEARSED if read.head.rehearsal else read.outcome


def _measured(kept: KeptReading, line: Line) -> Measured:
    return Measured(
        seq=line.seq,
        at=line.at,
        step=kept.step,
        shown=kept.shown,
        quantity=_quantity(line, kept.shown),
        limit=kept.limit,
        verdict=kept.verdict.removesuffix(JUDGED_AGAIN),
        rejudged=kept.verdict.endswith(JUDGED_AGAIN),
        remark=kept.remark.removeprefix(", "),
        origin=kept.origin,
    )


def _quantity(line: Line, shown: str) -> Quantity | None:
    """The number of a reading; of one that did not count, as the verdict shows it."""
    try:
        match line:
            case VerdictLine():
                found = Quantity.parse(shown)
            case ReadingLine() if line.value is not None:
                found = Quantity(Decimal(str(line.value)), unit(line.unit))
            case _:
                return None
    except (MeasureError, InvalidOperation):
        return None
    return found if _can_be(found.value) else None


def _can_be(value: Decimal) -> bool:
    """No meter shows it otherwise, and writing it out without a power of ten takes for ever."""
    return abs(value.adjusted()) < _MOST_FIGURES and len(value.as_tuple().digits) < _MOST_FIGURES


def _moments(lines: Sequence[Line]) -> Iterator[Moment]:
    for line in lines:
        moment = _told(line)
        if moment is not None:
            yield Moment(line.seq, line.at, moment[0], line.step, moment[1])


def _told(line: Line) -> tuple[str, str] | None:
    """Kind and text of what an account must not leave out; None for all else."""
    moment: tuple[str, str] | None = None
    match line:
        case Heard():
            moment = _heard(line)
        case ReadingLine(corrects=True):
            moment = "correction", line.shown or line.text
        case WithdrawnLine():
            moment = "taken back", "the last result of this step"
        case FindingWithdrawnLine():
            moment = "finding withdrawn", line.name
        case NoteLine():
            moment = "note", line.words + ("" if line.verified else " (as heard, not verified)")
        case InstructorNote():
            moment = "instructor's note", f"{line.by}: {line.words}"
        case Repaired():
            moment = "break", f"the record broke off; {line.bytes} bytes were not whole"
        case _:
            pass
    return moment


def _heard(line: Heard) -> tuple[str, str] | None:
    """Words that the assistant had to ask about, or could not take."""
    words = line.words or "(no words)"
    if len(line.meanings) > 1 or line.doubtful:
        return "question", f"{words}: {understood(line)}"
    return None if line.meanings else ("not understood", f"{words}: {understood(line)}")

"""All that a session's pages tell, as frozen values. Pure."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from voiceassist.page.checked import UNCHECKED, Checked
from voiceassist.page.lesson import Lesson, lesson
from voiceassist.page.practice import Practice, practice
from voiceassist.page.reader import Takes
from voiceassist.page.reading_rows import (
    ReadingRow,
    capital,
    proofs,
    proving,
    proving_repair,
    without_readings,
)
from voiceassist.page.taken import how_taken
from voiceassist.page.times import length
from voiceassist.page.visits import Visit, visits
from voiceassist.record.facts import plain_name
from voiceassist.record.lines import MarkGiven, of_kind
from voiceassist.record.outcomes import PARKED, in_words
from voiceassist.record.pauses import between_s
from voiceassist.record.read_session import ReadSession, read_session
from voiceassist.record.report import NOTICE
from voiceassist.record.summary import SessionSummary, summary
from voiceassist.record.webvtt import one_line

#: Facts that every job has, in the order people look for them.
_FACTS = ("repair order", "vehicle", "odometer", "technician")
_TEACHING = "teaching"


NO_TAKES = Takes()


@dataclass(frozen=True, slots=True)
class Guarded:
    """A caution that was acknowledged.

    Parts:
        signal: its signal word, such as WARNING; empty when the record does not have it.
        hazard: what it warns of, with what avoids it.
        at: when it was acknowledged, RFC 3339, each time.
    """

    signal: str
    hazard: str
    at: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SessionReport:
    """A session as its pages tell it; texts are empty where the journal has nothing.

    Parts:
        summary: what the session came to.
        cause, correction: one or two sentences, without the readings that prove them.
        done: the work of the repair, as it was said to be done.
        parts: what the procedure fits in that work.
        proving, repaired: readings that prove the cause, and those after the repair.
        rows: all readings in order, those that do not count too.
        cautions: that were acknowledged.
        visits: the whole session, step by step.
        lesson: what can be learnt from it.
        teaching: it was a lesson from the beginning.
        paused_s: how much of the time it was cut off or standing by, in seconds.
        meter, source: the meter, and where limits come from.
        taken: how many readings were spoken, and how many typed.
        lines, last_hash: of the journal.
        checked: what looking through the record gave.
        practice: of a rehearsal, what it came to; None for a job.
        set_back: where the clock ran backwards, in a clause; empty when it did not.
    """

    summary: SessionSummary
    cause: str
    correction: str
    done: tuple[str, ...]
    parts: tuple[str, ...]
    proving: tuple[ReadingRow, ...]
    repaired: tuple[ReadingRow, ...]
    rows: tuple[ReadingRow, ...]
    cautions: tuple[Guarded, ...]
    visits: tuple[Visit, ...]
    lesson: Lesson
    teaching: bool
    paused_s: float
    meter: str
    source: str
    lines: int
    last_hash: str
    checked: Checked = UNCHECKED
    set_back: str = ""
    notice: str = NOTICE
    taken: str = ""
    practice: Practice | None = None

    @property
    def outcome(self) -> str:
        """In words; says so when the session has not ended."""
        summed = self.summary
        if not summed.ended:
            parked = summed.outcome.startswith(PARKED)
            return in_words(summed.outcome) if parked else "the session has not ended"
        return in_words(summed.outcome)

    @property
    def proved(self) -> bool:
        """The repair was."""
        return self.summary.outcome == "repaired"

    @property
    def no_fault(self) -> bool:
        """Nothing wrong was found."""
        return bool(self.summary.good)

    @property
    def passed_s(self) -> float:
        """Seconds from the first to the last line."""
        return between_s(self.summary.began, self.summary.last_at)

    @property
    def facts(self) -> tuple[tuple[str, str], ...]:
        """Of the job, name and value, the usual ones first."""
        return tuple(_facts(self.summary))


def session_report(
    journal: ReadSession | Iterable[Mapping[str, object]],
    names: Mapping[str, str] | None = None,
    checked: Checked = UNCHECKED,
    takes: Takes = NO_TAKES,
) -> SessionReport:
    """What a session has to tell.

    Args:
        journal: lines of one journal, the good ones from the first on; or the session read.
        names: step to what is done there, where the procedure is known.
        checked: what looking through the record behind these lines gave.
        takes: what the steps of the procedure take.

    Raises:
        ValueError: there is no line.
    """
    read = read_session(journal)
    if not read.lines:
        raise ValueError("a journal without a line has nothing to tell")
    summed, known = summary(read), names or {}
    rows = () if read.is_free else proofs(read, summed.readings, known)
    stays = tuple(visits(read, rows, known, takes.lines))
    repaired = proving_repair(read, rows)
    return SessionReport(
        summary=summed,
        cause=_cause(summed, read),
        correction=_correction(summed, read, without_readings(summed.correction, repaired)),
        done=(
            *(capital(line.task) for line in read.done),
            *(f"{capital(line.task)} (for an earlier finding)" for line in read.done_before),
        ),
        parts=_parts(read, takes),
        proving=proving(read, rows),
        repaired=repaired,
        rows=rows,
        cautions=_cautions(read),
        visits=stays,
        lesson=lesson(read, rows, stays),
        teaching=read.head.detail == _TEACHING,
        paused_s=read.paused_s,
        meter=read.head.meter,
        source=read.head.source,
        lines=len(read.lines),
        last_hash=read.lines[-1].hash,
        checked=checked,
        set_back=_set_back(read.set_back_s),
        taken=how_taken(read, summed.readings),
        practice=_practice(read),
    )


def _practice(read: ReadSession) -> Practice | None:
    marks = list(of_kind(read.lines, MarkGiven))
    return practice(marks[-1]) if marks else None


def _parts(read: ReadSession, takes: Takes) -> tuple[str, ...]:
    """What was fitted in the work that was said to be done, each once."""
    worked = (*read.done, *read.done_before)
    fitted = (part for line in worked for part in takes.parts.get(line.step, ()))
    return tuple(capital(part) for part in dict.fromkeys(fitted))


def _cause(summed: SessionSummary, read: ReadSession) -> str:
    """The finding as a sentence; never surer than it was, and why when there is none."""
    if summed.good:
        return f"{capital(summed.good)}."
    if not summed.cause:
        return read.summed_up("cause") or "No cause was reached."
    if summed.outcome == "unproved":
        return f"Suspected, not proved: {summed.cause}."
    return f"{capital(summed.cause)}."


def _correction(summed: SessionSummary, read: ReadSession, sentences: str) -> str:
    """What was done; before the job is closed, what is to be done, and never as if it were done."""
    if not sentences or (read.summed_up("correction") and not summed.good):
        return sentences
    if summed.good:
        return f"None was needed. Advice: {read.finding.correction}."
    begun = (
        "Begun, not recorded as finished" if any(line.task for line in read.done) else "To be done"
    )
    return f"{begun}: {sentences.removesuffix('.')}."


def _set_back(seconds: int) -> str:
    if not seconds:
        return ""
    return f"set back during the job, by up to {length(seconds)}: times are not to be relied on"


def _facts(summed: SessionSummary) -> Iterator[tuple[str, str]]:
    """The usual ones first, then the rest; the complaint has a place of its own."""
    for name in _FACTS:
        yield capital(name), summed.fact(name)
    known = {*_FACTS, "complaint"}
    for name, value in summed.facts.items():
        if plain_name(name) not in known:
            yield capital(plain_name(name)), one_line(value)


def _cautions(read: ReadSession) -> tuple[Guarded, ...]:
    """Each acknowledged caution once, with the times of all its acknowledgments."""
    found: dict[tuple[str, str], list[str]] = {}
    for one in read.warned:
        signal = one.caution.signal
        hazard = one.caution.text.removeprefix(f"{signal}: ") or one.name
        found.setdefault((signal, hazard), []).append(one.at)
    return tuple(
        Guarded(signal, capital(hazard), tuple(at)) for (signal, hazard), at in found.items()
    )

"""All that a session's pages tell, as frozen values. Pure: journal lines in, values out."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from voiceassist.page.checked import UNCHECKED, Checked
from voiceassist.page.lesson import Lesson, lesson
from voiceassist.page.proofs import (
    Proof,
    capital,
    proofs,
    proving,
    proving_repair,
    without_readings,
)
from voiceassist.page.taken import how_taken
from voiceassist.page.times import length
from voiceassist.page.visits import Visit, visits
from voiceassist.record import job, times
from voiceassist.record.lines import (
    Acknowledged,
    Caution,
    Done,
    Line,
    Session,
    of_kind,
    place_of,
    typed,
)
from voiceassist.record.outcomes import OUTCOMES
from voiceassist.record.pauses import between_s, paused_s
from voiceassist.record.report import NOTICE, last_finding
from voiceassist.record.summary import SessionSummary, summary

#: Facts that every job has, in the order people look for them.
_FACTS = ("repair order", "vehicle", "odometer", "technician")
_TEACHING = "teaching"


class Reader(StrEnum):
    """For whom pages are made."""

    SHOP = "shop"
    CUSTOMER = "customer"
    INSTRUCTOR = "instructor"


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
class Account:
    """A session as its pages tell it; texts are empty where the journal has nothing.

    Parts:
        told: what the session came to.
        cause, correction: one or two sentences, without the readings that prove them.
        done: the work of the repair, as it was said to be done.
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
        set_back: where the clock ran backwards, in a clause; empty when it did not.
    """

    told: SessionSummary
    cause: str
    correction: str
    done: tuple[str, ...]
    proving: tuple[Proof, ...]
    repaired: tuple[Proof, ...]
    rows: tuple[Proof, ...]
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

    @property
    def outcome(self) -> str:
        """In words; says so when the session has not ended."""
        told = self.told
        if not told.ended:
            return "the session has not ended"
        return OUTCOMES.get(told.outcome, told.outcome)

    @property
    def proved(self) -> bool:
        """The repair was."""
        return self.told.outcome == "repaired"

    @property
    def no_fault(self) -> bool:
        """Nothing wrong was found."""
        return bool(self.told.good)

    @property
    def passed_s(self) -> float:
        """Seconds from the first to the last line."""
        return between_s(self.told.began, self.told.last_at)

    @property
    def facts(self) -> tuple[tuple[str, str], ...]:
        """Of the job, name and value, the usual ones first."""
        return tuple(_facts(self.told))


def account(
    journal: Iterable[Mapping[str, object]],
    names: Mapping[str, str] | None = None,
    checked: Checked = UNCHECKED,
) -> Account:
    """What a session has to tell.

    Args:
        journal: lines of one journal, the good ones from the first on.
        names: step to what is done there, where the procedure is known.
        checked: what looking through the record behind these lines gave.

    Raises:
        ValueError: there is no line.
    """
    lines = typed(journal)
    if not lines:
        raise ValueError("a journal without a line has nothing to tell")
    told, known = summary(lines), names or {}
    head = next(of_kind(lines[:1], Session), Session({}))
    rows = proofs(lines, told.readings, known)
    stays = visits(lines, rows, known)
    shown, repaired = proving(lines, rows), proving_repair(lines, rows)
    return Account(
        told=told,
        cause=_cause(told, lines),
        correction=_correction(told, lines, without_readings(told.correction, repaired)),
        done=tuple(_done(lines)),
        proving=shown,
        repaired=repaired,
        rows=rows,
        cautions=_cautions(lines),
        visits=stays,
        lesson=lesson(lines, rows, stays),
        teaching=head.detail == _TEACHING,
        paused_s=paused_s(lines),
        meter=head.meter,
        source=head.source,
        lines=len(lines),
        last_hash=lines[-1].hash,
        checked=checked,
        set_back=_set_back(lines),
        taken=how_taken(lines, told.readings),
    )


def _cause(told: SessionSummary, lines: Sequence[Line]) -> str:
    """The finding as a sentence; never surer than it was, and why when there is none."""
    if told.good:
        return f"{capital(told.good)}."
    if not told.cause:
        return job.summed_up(lines, "cause") or "No cause was reached."
    if told.outcome == "unproved":
        return f"Suspected, not proved: {told.cause}."
    return f"{capital(told.cause)}."


def _correction(told: SessionSummary, lines: Sequence[Line], sentences: str) -> str:
    """What was done; before the job is closed, what is to be done, and never as if it were done."""
    if not sentences or (job.summed_up(lines, "correction") and not told.good):
        return sentences
    if told.good:
        return f"None was needed. Advice: {job.findings(lines)[-1].correction}."
    begun = "Begun, not recorded as finished" if any(_done(lines)) else "To be done"
    return f"{begun}: {sentences.removesuffix('.')}."


def _done(lines: Sequence[Line]) -> Iterator[str]:
    found = last_finding(lines)
    since = lines[place_of(lines, found) :] if found is not None else ()
    yield from (capital(line.task) for line in of_kind(since, Done))


def _set_back(lines: Sequence[Line]) -> str:
    back = times.steps_back(lines)
    if not back:
        return ""
    most = length(max(seconds for _, seconds in back))
    return f"set back during the job, by up to {most}: times are not to be relied on"


def _facts(told: SessionSummary) -> Iterator[tuple[str, str]]:
    """The usual ones first, then the rest; the complaint has a place of its own."""
    for name in _FACTS:
        yield capital(name), told.fact(name)
    known = {*_FACTS, "complaint"}
    for name, value in told.facts.items():
        if job.fact({name: "x"}, _plain(name)) and _plain(name) not in known:
            yield capital(_plain(name)), job.text({"value": value}, "value")


def _plain(name: str) -> str:
    return " ".join(name.casefold().replace("-", " ").replace("_", " ").split())


def _cautions(lines: Sequence[Line]) -> tuple[Guarded, ...]:
    """Each acknowledged caution once, with the times of all its acknowledgments."""
    spoken: dict[str, Caution] = {}
    found: dict[tuple[str, str], list[str]] = {}
    for line in lines:
        match line:
            case Caution():
                spoken[line.name] = line
            case Acknowledged():
                for name in line.names:
                    caution = spoken.get(name, Caution({}))
                    hazard = caution.text.removeprefix(f"{caution.signal}: ") or name
                    found.setdefault((caution.signal, hazard), []).append(line.at)
            case _:
                pass
    return tuple(
        Guarded(signal, capital(hazard), tuple(at)) for (signal, hazard), at in found.items()
    )

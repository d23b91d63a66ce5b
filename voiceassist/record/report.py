"""The report of a session in plain text: complaint, cause, correction, and what proves them.

Pure: journal lines in, text out. Kinds of line and fields it does not know are passed over.
"""

from collections.abc import Iterable, Iterator, Sequence

from voiceassist.record import job
from voiceassist.record.chain import Entry
from voiceassist.record.job import findings as _findings
from voiceassist.record.lines import (
    Acknowledged,
    Caution,
    Done,
    Finding,
    Line,
    Note,
    Repaired,
    Session,
    of_kind,
    place_of,
    typed,
)
from voiceassist.record.outcomes import OUTCOMES
from voiceassist.record.readings import Kept, readings
from voiceassist.record.webvtt import one_line

NOTICE = (
    "The vehicle maker's instructions, local rules and licensed practice come first. "
    "The limits used here are not service data unless their source says so."
)


def report(entries: Sequence[Entry]) -> str:
    """The report; it says so when the session has not ended. Empty for an empty journal."""
    if not entries:
        return ""
    lines = typed(entry.typed for entry in entries)
    parts = [
        _head(lines),
        _section("Complaint", [job.complaint(lines)]),
        _section("Cause", _cause(lines)),
        _section("Correction", _correction(lines)),
        _section("Readings", _readings(lines)),
        _section("Cautions acknowledged", _acknowledged(lines)),
        _section("Notes", _notes(lines)),
        *([_section("Added later", added)] if (added := list(_added(lines))) else []),
        _section("Record", _record(entries, lines)),
    ]
    return "".join(f"{line}\n" for part in parts for line in part)


def _head(lines: Sequence[Line]) -> Iterator[str]:
    first = _first(lines)
    title = first.title or first.procedure or "Session"
    yield from (title, "=" * len(title), NOTICE, "", f"Outcome: {_outcome(lines)}")
    yield from (one_line(f"{name}: {value}") for name, value in job.facts(lines).items())


def _first(lines: Sequence[Line]) -> Session:
    """The line that opened the session; an empty one where there is none."""
    return next(of_kind(lines[:1], Session), Session({}))


def _section(heading: str, body: Iterable[str]) -> Iterator[str]:
    yield from ("", heading)
    yield from (f"  {line}" for line in list(body) or ["none"])


def _outcome(lines: Sequence[Line]) -> str:
    outcome = job.outcome(lines)
    return OUTCOMES.get(outcome, outcome) if outcome else "the session has not ended"


def _cause(lines: Sequence[Line]) -> Iterator[str]:
    """The last finding with what proves it; earlier ones are told, not dropped."""
    findings = _findings(lines)
    summed = job.summed_up(lines, "cause")
    if summed and findings and job.is_no_fault(findings[-1]) and "no_fault" not in findings[-1]:
        summed = f"No fault found: {summed}"  # earlier versions summed it up like a cause
    if summed:
        yield summed
    for line in findings[-1:] if not summed else ():
        yield ("no fault found: " if job.is_no_fault(line) else "") + line.cause
        yield from (f"because {reason}" for reason in line.because)
    last = findings[-1].cause if findings else ""
    before = (line.cause for line in findings[:-1])
    yield from (f"found before that: {cause}" for cause in before if cause != last)


def _correction(lines: Sequence[Line]) -> Iterator[str]:
    """What the finding says to do, and the repair steps that were done."""
    if summed := job.summed_up(lines, "correction"):
        yield summed
    found = last_finding(lines)
    if found is not None and not job.is_no_fault(found):
        done = list(of_kind(lines[place_of(lines, found) :], Done))
        if not summed:
            told = "" if done else "recommended, not recorded as done: "
            yield told + found.correction
        yield from (f"done: {line.task}" for line in done)
        yield _outcome(lines)


def last_finding(lines: Sequence[Line]) -> Finding | None:
    """The line where the last finding was first told, as a correction may have had it told again.

    None when there is none.
    """
    found = _findings(lines)
    while len(found) > 1 and found[-1].cause == found[-2].cause:
        del found[-1]
    return found[-1] if found else None


def _readings(lines: Sequence[Line]) -> Iterator[str]:
    """All of them in order, those that did not count or were corrected too."""
    found = last_finding(lines)
    proving = set(found.because) if found is not None else set()
    place = place_of(lines, found) if found is not None else -1
    told = False
    for kept in readings(lines):
        if kept.index > place >= 0 and not told:
            told = True
            yield "after the finding:"
        mark = "*" if kept.counts and kept.index < place and kept.named in proving else " "
        yield f"{mark} {_shown(kept)}"
    if proving:
        good = found is not None and job.is_no_fault(found)
        yield "* speaks for it that nothing is wrong" if good else "* proves the cause"


def _shown(kept: Kept) -> str:
    limit = f", limit {kept.limit}" if kept.limit else ""
    verdict = f": {kept.verdict}" if kept.verdict else ""
    return one_line(f"{kept.time} {kept.step}: {kept.shown}{limit}{verdict}{kept.remark}")


def _acknowledged(lines: Sequence[Line]) -> Iterator[str]:
    spoken = {line.name: line.text for line in of_kind(lines, Caution)}
    for line in of_kind(lines, Acknowledged):
        yield from (f"{line.at}  {spoken.get(name) or name}" for name in line.names)


def _notes(lines: Sequence[Line]) -> Iterator[str]:
    for line in lines:
        match line:
            case Note():
                yield line.words + ("" if line.verified else " (as heard, not verified)")
            case Repaired():
                yield f"the record broke off at {line.at} and goes on after that"
            case _:
                pass


def _added(lines: Sequence[Line]) -> Iterator[str]:
    """What was added after the job, each with its day and who added it."""
    for one in job.addenda(lines):
        yield f"{one.at}, {one.by}: {one.words}"


def _record(entries: Sequence[Entry], lines: Sequence[Line]) -> Iterator[str]:
    first = _first(lines)
    yield f"begun: {lines[0].at}"
    yield f"last line: {lines[-1].at}"
    yield f"procedure: {first.procedure}, SHA-256 {first.procedure_sha256}"
    yield f"meter: {first.meter or 'not named'}"
    yield f"source of limits: {first.source or 'not named'}"
    yield f"program: voiceassist {first.version}"
    yield f"journal: {len(entries)} lines, last SHA-256 {entries[-1].hash}"

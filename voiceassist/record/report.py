"""The report of a session in plain text: complaint, cause, correction, and what proves them.

Pure: journal lines in, text out. Kinds of line and fields it does not know are passed over.
"""

from collections.abc import Iterable, Iterator, Sequence

from voiceassist.record.entry import Entry, lines_of
from voiceassist.record.lines import Acknowledged, CautionLine, NoteLine, Repaired
from voiceassist.record.outcomes import PARKED, in_words
from voiceassist.record.read_session import ReadSession
from voiceassist.record.readings import KeptReading
from voiceassist.record.webvtt import one_line

NOTICE = (
    "The vehicle maker's instructions, local rules and licensed practice come first. "
    "The limits used here are not service data unless their source says so."
)


def report(entries: Sequence[Entry], read: ReadSession | None = None) -> str:
    """The report; it says so when the session has not ended. Empty for an empty journal.

    Args:
        entries: the lines of the journal.
        read: the session in them, where it was read already.
    """
    if not entries:
        return ""
    session = read or ReadSession(lines_of(entries))
    parts = [
        _head(session),
        _section("Complaint", [session.complaint]),
        _section("Cause", _cause(session)),
        _section("Correction", _correction(session)),
        _section("Readings", _readings(session)),
        _section("Cautions acknowledged", _acknowledged(session)),
        _section("Notes", _notes(session)),
        *([_section("Added later", added)] if (added := list(_added(session))) else []),
        _section("Record", _record(session)),
    ]
    return "".join(f"{line}\n" for part in parts for line in part)


def _head(session: ReadSession) -> Iterator[str]:
    first = session.head
    title = first.title or first.procedure or "Session"
    yield from (title, "=" * len(title), NOTICE, "", f"Outcome: {_outcome(session)}")
    yield from (one_line(f"{name}: {value}") for name, value in session.facts.items())


def _section(heading: str, body: Iterable[str]) -> Iterator[str]:
    yield from ("", heading)
    yield from (f"  {line}" for line in list(body) or ["none"])


def _outcome(session: ReadSession) -> str:
    parked = f"{PARKED}-{session.parked}" if session.parked else ""
    return in_words(parked or session.outcome, "the session has not ended")


def _cause(session: ReadSession) -> Iterator[str]:
    """The last finding with what proves it; earlier ones are told, not dropped."""
    last = session.finding
    summary = session.summed_up("cause")
    if summary and last.blames_nothing and "no_fault" not in last:
        summary = f"No fault found: {summary}"  # earlier versions summary it up like a cause
    if summary:
        yield summary
    elif session.findings:
        yield ("no fault found: " if last.blames_nothing else "") + last.cause
        yield from (f"because {reason}" for reason in last.because)
    before = (line.cause for line in session.findings[:-1])
    yield from (f"found before that: {cause}" for cause in before if cause != last.cause)


def _correction(session: ReadSession) -> Iterator[str]:
    """What the finding says to do, and the repair steps that were done."""
    if summary := session.summed_up("correction"):
        yield summary
    found = session.last_finding
    if found is not None and not found.blames_nothing:
        if not summary:
            not_done = "" if session.done else "recommended, not recorded as done: "
            yield not_done + found.correction
        done = "to be done, and told as done" if session.work_told else "done"
        yield from (f"{done}: {line.task}" for line in session.done)
        yield from (f"as told by the technician: {line.words}" for line in session.work_told)
        yield _outcome(session)
    yield from (f"said to be done for an earlier finding: {d.task}" for d in session.done_before)


def _readings(session: ReadSession) -> Iterator[str]:
    """All of them in order, those that did not count or were corrected too."""
    found, place = session.last_finding, session.finding_place
    proving = set(found.because) if found is not None else set()
    any_reading = False
    for kept in session.readings:
        if kept.index > place >= 0 and not any_reading:
            any_reading = True
            yield "after the finding:"
        mark = "*" if kept.counts and kept.index < place and kept.named in proving else " "
        yield f"{mark} {_shown(kept)}"
    if proving:
        good = found is not None and found.blames_nothing
        yield "* speaks for it that nothing is wrong" if good else "* proves the cause"


def _shown(kept: KeptReading) -> str:
    limit = f", limit {kept.limit}" if kept.limit else ""
    verdict = f": {kept.verdict}" if kept.verdict else ""
    origin = f", read in {kept.origin}" if kept.origin else ""
    told = f"{kept.time} {kept.step}: {kept.shown}{limit}{verdict}{origin}{kept.remark}"
    return one_line(told)


def _acknowledged(session: ReadSession) -> Iterator[str]:
    spoken = {line.name: line.text for line in session.every(CautionLine)}
    for line in session.every(Acknowledged):
        yield from (f"{line.at}  {spoken.get(name) or name}" for name in line.names)


def _notes(session: ReadSession) -> Iterator[str]:
    for line in session.lines:
        match line:
            case NoteLine():
                yield line.words + ("" if line.verified else " (as heard, not verified)")
            case Repaired():
                yield f"the record broke off at {line.at} and goes on after that"
            case _:
                pass


def _added(session: ReadSession) -> Iterator[str]:
    """What was added after the job, each with its day and who added it."""
    for one in session.addenda:
        yield f"{one.at}, {one.author}: {one.words}"


def _record(session: ReadSession) -> Iterator[str]:
    first, last = session.head, session.lines[-1]
    yield f"begun: {session.lines[0].at}"
    yield f"last line: {last.at}"
    yield f"procedure: {first.procedure}, SHA-256 {first.procedure_sha256}"
    yield f"meter: {first.meter or 'not named'}"
    yield f"source of limits: {first.source or 'not named'}"
    yield f"program: voiceassist {first.version}"
    yield f"journal: {len(session.lines)} lines, last SHA-256 {last.hash}"

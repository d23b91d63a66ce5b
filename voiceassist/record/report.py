"""The report of a session in plain text: complaint, cause, correction, and what proves them.

Pure: journal lines in, text out. Kinds of line and fields it does not know are passed over.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from voiceassist.record import job
from voiceassist.record.chain import Entry
from voiceassist.record.job import because as _because
from voiceassist.record.job import findings as _findings
from voiceassist.record.job import text as _text
from voiceassist.record.outcomes import OUTCOMES
from voiceassist.record.readings import Kept, readings
from voiceassist.record.webvtt import one_line

Line = Mapping[str, object]

NOTICE = (
    "The vehicle maker's instructions, local rules and licensed practice come first. "
    "The limits used here are not service data unless their source says so."
)
_MEASURED = frozenset({"reading", "verdict", "skipped"})


def report(entries: Sequence[Entry]) -> str:
    """The report; it says so when the session has not ended. Empty for an empty journal."""
    if not entries:
        return ""
    lines = [entry.fields for entry in entries]
    parts = [
        _head(lines),
        _section("Complaint", [job.complaint(lines)]),
        _section("Cause", _cause(lines)),
        _section("Correction", _correction(lines)),
        _section("Readings", _readings(lines)),
        _section("Cautions acknowledged", _acknowledged(lines)),
        _section("Notes", _notes(lines)),
        *([_section("Added later", added)] if (added := list(_added(lines))) else []),
        _section("Record", _record(entries)),
    ]
    return "".join(f"{line}\n" for part in parts for line in part)


def _head(lines: Sequence[Line]) -> Iterator[str]:
    first = lines[0]
    title = _text(first, "title") or _text(first, "procedure") or "Session"
    yield from (title, "=" * len(title), NOTICE, "", f"Outcome: {_outcome(lines)}")
    yield from (one_line(f"{name}: {value}") for name, value in job.facts(lines).items())


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
        yield ("no fault found: " if job.is_no_fault(line) else "") + _text(line, "cause")
        yield from (f"because {reason}" for reason in _because(line))
    last = _text(findings[-1], "cause") if findings else ""
    yield from (
        f"found before that: {_text(line, 'cause')}"
        for line in findings[:-1]
        if _text(line, "cause") != last
    )


def _correction(lines: Sequence[Line]) -> Iterator[str]:
    """What the finding says to do, and the repair steps that were done."""
    if summed := job.summed_up(lines, "correction"):
        yield summed
    found = last_finding(lines)
    if found >= 0:
        done = [line for line in lines[found:] if line["event"] == "done"]
        correction = _text(lines[found], "correction")
        if job.is_no_fault(lines[found]):
            return
        if not summed:
            yield correction if done else f"recommended, not recorded as done: {correction}"
        yield from (f"done: {_text(line, 'task')}" for line in done)
        yield _outcome(lines)


def last_finding(lines: Sequence[Line]) -> int:
    """Index of the line where the last finding was first told, as a correction may have had it
    told again; -1 when there is none.
    """
    holding = _findings(lines)
    found = [i for i, line in enumerate(lines) if any(line is each for each in holding)]
    names = [_text(lines[i], "cause") for i in found]
    while len(found) > 1 and names[-1] == names[-2]:
        found, names = found[:-1], names[:-1]
    return found[-1] if found else -1


def _readings(lines: Sequence[Line]) -> Iterator[str]:
    """All of them in order, those that did not count or were corrected too."""
    found = last_finding(lines)
    proving = set(_because(lines[found])) if found >= 0 else set()
    told = False
    for kept in readings(lines):
        if kept.index > found >= 0 and not told:
            told = True
            yield "after the finding:"
        mark = "*" if kept.counts and kept.index < found and kept.named in proving else " "
        yield f"{mark} {_shown(kept)}"
    if proving:
        good = found >= 0 and job.is_no_fault(lines[found])
        yield "* speaks for it that nothing is wrong" if good else "* proves the cause"


def _shown(kept: Kept) -> str:
    limit = f", limit {kept.limit}" if kept.limit else ""
    verdict = f": {kept.verdict}" if kept.verdict else ""
    return one_line(f"{kept.time} {kept.step}: {kept.shown}{limit}{verdict}{kept.remark}")


def _acknowledged(lines: Sequence[Line]) -> Iterator[str]:
    cautions = [line for line in lines if line["event"] == "caution"]
    spoken = {str(line.get("name")): _text(line, "text") for line in cautions}
    for line in lines:
        names = line.get("names")
        if line["event"] == "acknowledged" and isinstance(names, list | tuple):
            yield from (
                f"{line['at']}  {spoken.get(str(name)) or one_line(str(name))}" for name in names
            )


def _notes(lines: Sequence[Line]) -> Iterator[str]:
    for line in lines:
        if line["event"] == "note":
            sure = "" if line.get("verified") else " (as heard, not verified)"
            yield _text(line, "words") + sure
        elif line["event"] == "repaired":
            yield f"the record broke off at {line['at']} and goes on after that"


def _added(lines: Sequence[Line]) -> Iterator[str]:
    """What was added after the job, each with its day and who added it."""
    for one in job.addenda(lines):
        yield f"{one.at}, {one.by}: {one.words}"


def _record(entries: Sequence[Entry]) -> Iterator[str]:
    first = entries[0].fields
    yield f"begun: {first['at']}"
    yield f"last line: {entries[-1].fields['at']}"
    yield f"procedure: {_text(first, 'procedure')}, SHA-256 {_text(first, 'procedure_sha256')}"
    yield f"meter: {_text(first, 'meter') or 'not named'}"
    yield f"source of limits: {_text(first, 'source') or 'not named'}"
    yield f"program: voiceassist {_text(first, 'version')}"
    yield f"journal: {len(entries)} lines, last SHA-256 {entries[-1].hash}"

"""The first page, the same for paper and screen: its tables, its words, its small print. Pure."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from voiceassist.page.enclosed import NOTHING, Enclosed
from voiceassist.page.reader import Reader
from voiceassist.page.reading_rows import ReadingRow, capital
from voiceassist.page.session_report import SessionReport
from voiceassist.page.times import day_and_minute, length
from voiceassist.record.facts import plain_name
from voiceassist.record.outcomes import PARKED
from voiceassist.record.webvtt import shortened

#: Rows that fit on one page with all else; what is left out is counted, and is in the details.
_CAUSE_ROWS, _REPAIR_ROWS, _CAUTION_ROWS = 12, 6, 6
#: Verdict -> what a customer reads.
_PLAIN: Mapping[str, str] = MappingProxyType(
    {
        "pass": "good",
        "low": "too low",
        "high": "too high",
        "fail": "not as it should be",
        "too close to call": "not certain",
        "not valid": "not counted",
    }
)
#: So many signs of a text are on a customer's page, which is to stay one page.
_MOST = 600
_CUT = " … (cut here; the shop's record has the whole)"
#: Over what was added after the job.
ADDED = "Added later"
#: Outcome -> a word or two for the box.
_WORDS: Mapping[str, str] = MappingProxyType(
    {
        "no-fault": "No fault found",
        "stopped": "Stopped",
        "found": "Cause found",
        "unproved": "Not proved",
        "repair-done": "Repaired",
        "not-proved": "Repair not proved",
        "repaired": "Repaired and proved",
        "rehearsed": "Rehearsal",
        "demo": "Demonstration",
    }
)
TITLES: Mapping[Reader, str] = MappingProxyType(
    {
        Reader.SHOP: "Report of an electrical diagnosis",
        Reader.CUSTOMER: "What we found and did",
        Reader.INSTRUCTOR: "Lesson of an electrical diagnosis",
    }
)
#: The same for several sessions of one repair order.
SEVERAL: Mapping[Reader, str] = MappingProxyType(
    {
        Reader.SHOP: "Report of several diagnoses",
        Reader.CUSTOMER: "What we found and did",
        Reader.INSTRUCTOR: "Lessons of several diagnoses",
    }
)


@dataclass(frozen=True, slots=True)
class ReadingsTable:
    """Readings under a heading; ``left_out`` more did not fit."""

    heading: str
    rows: tuple[ReadingRow, ...]
    left_out: int = 0


def tables(
    report: SessionReport, reader: Reader, enclosed: Enclosed = NOTHING
) -> tuple[ReadingsTable, ...]:
    """What proves the cause and the repair; without a finding, the readings there are.

    A customer reads of facts that the technician was asked for where facts stand, if at all.
    """
    found = _tables(report)
    if reader is Reader.CUSTOMER:
        asked = enclosed.facts_asked
        found = [
            replace(each, rows=tuple(r for r in each.rows if r.measured.step not in asked))
            for each in found
        ]
    return tuple(table for table in found if table.rows)


def _tables(report: SessionReport) -> list[ReadingsTable]:
    found = []
    if report.proving:
        unproved = report.summary.outcome == "unproved"
        cause = "speak for the cause" if unproved else "prove the cause"
        proving = "speak for it" if report.no_fault else cause
        found.append(_table(f"Readings that {proving}", report.proving, _CAUSE_ROWS))
    elif counting := tuple(row for row in report.rows if row.measured.counts):
        ordered = sorted(counting, key=lambda row: row.measured.verdict in {"", "pass"})
        before = tuple(row for row in ordered if row not in report.repaired)
        found.append(_table("Readings", before, _CAUSE_ROWS))
    if report.repaired:
        after = "prove the repair" if report.proved else "were taken after the finding"
        found.append(_table(f"Readings that {after}", report.repaired, _REPAIR_ROWS))
    return found


def _table(heading: str, rows: tuple[ReadingRow, ...], most: int) -> ReadingsTable:
    return ReadingsTable(heading, rows[:most], max(0, len(rows) - most))


def verdict_word(row: ReadingRow, reader: Reader) -> str:
    """The verdict in words; a customer reads plain ones."""
    verdict = row.measured.verdict
    return _PLAIN.get(verdict, verdict) if reader is Reader.CUSTOMER else verdict


def key_to_bars(reader: Reader) -> str:
    """What the parts of a bar are."""
    if reader is Reader.CUSTOMER:
        return "The box shows where a reading should lie, the mark where it lay."
    return (
        "Box: the limit. Hatched: too close to its end to tell with this meter. Mark: the reading,"
        " a dot where it passes, a triangle where it does not; an arrow at the end of a bar:"
        " farther out than the bar reaches."
    )


def proof_word(report: SessionReport) -> str:
    """What the job came to, in a word or two; nothing is proved by a record that is not whole."""
    if report.checked.fault or report.checked.doubted:
        return "Record altered"
    if not report.summary.ended:
        return "Parked" if report.summary.outcome.startswith(PARKED) else "Open"
    return _WORDS.get(report.summary.outcome, "Closed")


def cause_name(report: SessionReport) -> str:
    """What stands in the margin beside the cause; no cause is named where there is none."""
    return "Result" if report.no_fault else "Cause"


def said(text: str, reader: Reader) -> str:
    """``text`` for ``reader``: a customer's page is not to become a book."""
    return shortened(text, _MOST, _CUT) if reader is Reader.CUSTOMER else text


def added_later(report: SessionReport, reader: Reader) -> list[str]:
    """What was added after the job, each with its day and who added it."""
    addenda = report.summary.addenda
    return [said(f"{day_and_minute(a.at)}, {a.author}: {a.words}", reader) for a in addenda]


def left_out(report: SessionReport, reader: Reader = Reader.SHOP) -> str:
    """Steps that were skipped, and why; empty when none was.

    Their names are the shop's: a customer reads what was to be measured.
    """
    plain = {v.label: v.what for v in report.visits if v.what and reader is Reader.CUSTOMER}
    skipped = (f"{plain.get(m.step, m.step)} ({m.text})" for m in report.lesson.skipped)
    return capital(", ".join(dict.fromkeys(skipped)))


def caution_rows(report: SessionReport) -> Iterator[tuple[str, str, str]]:
    """Signal word, hazard, and when it was acknowledged, each caution once; then how many more."""
    for one in report.cautions[:_CAUTION_ROWS]:
        yield one.signal, one.hazard, ", ".join(dict.fromkeys(at[11:16] for at in one.at))
    more = len(report.cautions) - _CAUTION_ROWS
    if more > 0:
        yield "", f"{more} more cautions were acknowledged; see the details.", ""


def facts(
    report: SessionReport, reader: Reader, enclosed: Enclosed = NOTHING
) -> list[tuple[str, str]]:
    """Of the job, name and value; a customer gets those that are meant for customers."""
    if reader is not Reader.CUSTOMER:
        return list(report.facts)
    found = [(capital(name), report.summary.fact(name)) for name in enclosed.customer_facts]
    for one in enclosed.facts_shown:
        found.append((capital(one.say), report.summary.fact(plain_name(one.name)) or one.value))
    return [(name, said(value, reader)) for name, value in found if value]


def instrument(report: SessionReport, enclosed: Enclosed) -> str:
    """The meter in words: which, its serial number, when it was calibrated."""
    known = enclosed.meter
    parts = [(known.title if known else "") or report.meter or "not named"]
    if known and known.serial:
        parts.append(f"serial number {known.serial}")
    if known and known.calibrated:
        parts.append(f"calibrated {known.calibrated}")
    return ", ".join(parts)


def lost_pictures(enclosed: Enclosed) -> str:
    """That pictures are gone, in a sentence; empty when none is."""
    if not enclosed.missing:
        return ""
    return f"Gone, or changed since, and not shown: {', '.join(enclosed.missing)}."


def small_print(
    report: SessionReport, reader: Reader, enclosed: Enclosed = NOTHING
) -> Iterator[tuple[str, str]]:
    """When, how long, with what, from where: name and value."""
    yield "Begun", day_and_minute(report.summary.began)
    yield (
        "Ended" if report.summary.ended else "Not ended; last entry",
        day_and_minute(report.summary.last_at),
    )
    if reader is not Reader.CUSTOMER:
        yield "Working time", length(max(0.0, report.passed_s - report.paused_s))
        yield "Paused", length(report.paused_s)
    yield "Meter", instrument(report, enclosed)
    if report.taken:
        yield "Readings", report.taken
    said = "What it should be, from" if reader is Reader.CUSTOMER else "Limits from"
    yield said, report.source or "not named"
    if reader is not Reader.CUSTOMER:
        version = f", voiceassist {report.summary.version}" if report.summary.version else ""
        yield "Procedure", f"{report.summary.procedure or 'not named'}{version}"
    if report.set_back:
        yield "Clock", report.set_back
    yield "Record", whole(report) if reader is Reader.CUSTOMER else chain_state(report)


def whole(report: SessionReport) -> str:
    """Whether the record is whole, for a customer."""
    if report.checked.fault:
        return "ALTERED; this page tells only what is from before that"
    if report.checked.problems:
        return "NOT AS IT WAS WRITTEN; see the top of this page"
    return f"{report.lines} entries, no sign of a change"


def verdict_heading(reader: Reader) -> str:
    """Over the verdicts."""
    return "Result" if reader is Reader.CUSTOMER else "Verdict"


def chain_state(report: SessionReport) -> str:
    """Whether the journal is whole."""
    if report.checked.fault:
        return f"ALTERED ({report.checked.fault}); what follows is from before that"
    if report.checked.problems:
        return f"NOT AS IT WAS WRITTEN ({'; '.join(report.checked.problems)})"
    held = ", ".join(report.checked.held_by)
    return f"{report.lines} entries, chain unbroken" + (f", held against {held}" if held else "")

"""The first page, the same for paper and screen: its tables, its words, its small print. Pure."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from voiceassist.page.account import Account, Reader
from voiceassist.page.enclosed import NOTHING, Enclosed
from voiceassist.page.proofs import Proof, capital
from voiceassist.page.times import day_and_minute, length
from voiceassist.record.facts import plain_name
from voiceassist.record.webvtt import shortened

#: Rows that fit on one page with all else; what is left out is counted, and is in the details.
_CAUSE_ROWS, _REPAIR_ROWS = 12, 6
_CAUTION_ROWS = 6
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
class Table:
    """Readings under a heading; ``left_out`` more did not fit."""

    heading: str
    rows: tuple[Proof, ...]
    left_out: int = 0


def tables(told: Account, reader: Reader, enclosed: Enclosed = NOTHING) -> tuple[Table, ...]:
    """What proves the cause and the repair; without a finding, the readings there are.

    A customer reads of facts that the technician was asked for where facts stand, if at all.
    """
    found = _tables(told)
    if reader is Reader.CUSTOMER:
        asked = enclosed.facts_asked
        found = [
            replace(each, rows=tuple(r for r in each.rows if r.measured.step not in asked))
            for each in found
        ]
    return tuple(table for table in found if table.rows)


def _tables(told: Account) -> list[Table]:
    found = []
    if told.proving and told.no_fault:
        found.append(_table("Readings that speak for it", told.proving, _CAUSE_ROWS))
    elif told.proving:
        proving = "speak for the cause" if told.told.outcome == "unproved" else "prove the cause"
        found.append(_table(f"Readings that {proving}", told.proving, _CAUSE_ROWS))
    elif counting := tuple(row for row in told.rows if row.measured.counts):
        ordered = sorted(counting, key=lambda row: row.measured.verdict in {"", "pass"})
        before = tuple(row for row in ordered if row not in told.repaired)
        found.append(_table("Readings", before, _CAUSE_ROWS))
    if told.repaired:
        after = "prove the repair" if told.proved else "were taken after the finding"
        found.append(_table(f"Readings that {after}", told.repaired, _REPAIR_ROWS))
    return found


def _table(heading: str, rows: tuple[Proof, ...], most: int) -> Table:
    return Table(heading, rows[:most], max(0, len(rows) - most))


def verdict_word(row: Proof, reader: Reader) -> str:
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


def proof_word(told: Account) -> str:
    """What the job came to, in a word or two; nothing is proved by a record that is not whole."""
    if told.checked.fault or told.checked.doubted:
        return "Record altered"
    return _WORDS.get(told.told.outcome, "Closed") if told.told.ended else "Open"


def cause_name(told: Account) -> str:
    """What stands in the margin beside the cause; no cause is named where there is none."""
    return "Result" if told.no_fault else "Cause"


def said(text: str, reader: Reader) -> str:
    """``text`` for ``reader``: a customer's page is not to become a book."""
    return shortened(text, _MOST, _CUT) if reader is Reader.CUSTOMER else text


def added_later(told: Account, reader: Reader) -> list[str]:
    """What was added after the job, each with its day and who added it."""
    return [
        said(f"{day_and_minute(a.at)}, {a.author}: {a.words}", reader) for a in told.told.addenda
    ]


def left_out(told: Account) -> str:
    """Steps that were skipped, and why; empty when none was."""
    skipped = (f"{mark.step} ({mark.text})" for mark in told.lesson.skipped)
    return ", ".join(dict.fromkeys(skipped))


def caution_rows(told: Account) -> Iterator[tuple[str, str, str]]:
    """Signal word, hazard, and when it was acknowledged, each caution once; then how many more."""
    for one in told.cautions[:_CAUTION_ROWS]:
        yield one.signal, one.hazard, ", ".join(dict.fromkeys(at[11:16] for at in one.at))
    more = len(told.cautions) - _CAUTION_ROWS
    if more > 0:
        yield "", f"{more} more cautions were acknowledged; see the details.", ""


def facts(told: Account, reader: Reader, enclosed: Enclosed = NOTHING) -> list[tuple[str, str]]:
    """Of the job, name and value; a customer gets those that are meant for customers."""
    if reader is not Reader.CUSTOMER:
        return list(told.facts)
    found = [(capital(name), told.told.fact(name)) for name in enclosed.customer_facts]
    for one in enclosed.facts_shown:
        found.append((capital(one.say), told.told.fact(plain_name(one.name)) or one.value))
    return [(name, said(value, reader)) for name, value in found if value]


def instrument(told: Account, enclosed: Enclosed) -> str:
    """The meter in words: which, its serial number, when it was calibrated."""
    known = enclosed.meter
    parts = [(known.title if known else "") or told.meter or "not named"]
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
    told: Account, reader: Reader, enclosed: Enclosed = NOTHING
) -> Iterator[tuple[str, str]]:
    """When, how long, with what, from where: name and value."""
    yield "Begun", day_and_minute(told.told.began)
    yield (
        "Ended" if told.told.ended else "Not ended; last entry",
        day_and_minute(told.told.last_at),
    )
    if reader is not Reader.CUSTOMER:
        yield "Working time", length(max(0.0, told.passed_s - told.paused_s))
        yield "Paused", length(told.paused_s)
    yield "Meter", instrument(told, enclosed)
    if told.taken:
        yield "Readings", told.taken
    said = "What it should be, from" if reader is Reader.CUSTOMER else "Limits from"
    yield said, told.source or "not named"
    if reader is not Reader.CUSTOMER:
        version = f", voiceassist {told.told.version}" if told.told.version else ""
        yield "Procedure", f"{told.told.procedure or 'not named'}{version}"
    if told.set_back:
        yield "Clock", told.set_back
    yield "Record", whole(told) if reader is Reader.CUSTOMER else chain_state(told)


def whole(told: Account) -> str:
    """Whether the record is whole, for a customer."""
    if told.checked.fault:
        return "ALTERED; this page tells only what is from before that"
    if told.checked.problems:
        return "NOT AS IT WAS WRITTEN; see the top of this page"
    return f"{told.lines} entries, no sign of a change"


def verdict_heading(reader: Reader) -> str:
    """Over the verdicts."""
    return "Result" if reader is Reader.CUSTOMER else "Verdict"


def chain_state(told: Account) -> str:
    """Whether the journal is whole."""
    if told.checked.fault:
        return f"ALTERED ({told.checked.fault}); what follows is from before that"
    if told.checked.problems:
        return f"NOT AS IT WAS WRITTEN ({'; '.join(told.checked.problems)})"
    held = ", ".join(told.checked.held_by)
    return f"{told.lines} entries, chain unbroken" + (f", held against {held}" if held else "")

"""What a job came to, as the record tells it; journals of earlier versions read so too."""

from typing import Any

import pytest
from shelf import END, FINDING, Line, head, reading, verdict

from voiceassist.page.checked import Checked
from voiceassist.page.front import cause_name, proof_word, tables
from voiceassist.page.html import html
from voiceassist.page.reader import Reader
from voiceassist.page.session_report import session_report
from voiceassist.record.entry import FIRST_PREV, Entry
from voiceassist.record.outcomes import OUTCOMES, in_words
from voiceassist.record.read_session import ReadSession
from voiceassist.record.report import report
from voiceassist.record.summary import summary

GOOD: Line = FINDING | {
    "name": "no-fault",
    "cause": "feed and earth answer as they should",
    "because": ["feed: 12.60 V"],
    "correction": "move the wires",
}


def chained(*lines: Line) -> list[Entry]:
    entries: list[Entry] = []
    for n, line in enumerate(lines, 1):
        prev = entries[-1].hash if entries else FIRST_PREV
        entries.append(Entry.made(line, seq=n, at=f"2026-01-02T08:00:{n:02}Z", prev=prev))
    return entries


def fields(*lines: Line) -> list[Any]:
    return [entry.fields for entry in chained(*lines)]


BEFORE = [head(), reading("12.60"), verdict("12.60 V", "pass")]
#: As versions before 0.2.0 wrote it: the finding does not say that nothing is wrong.
OLD = [*BEFORE, GOOD, END]
NEW = [*BEFORE, GOOD | {"no_fault": True}, END | {"outcome": "no-fault"}]


@pytest.mark.parametrize("lines", [OLD, NEW], ids=["old", "new"])
def test_no_fault_found_has_an_outcome_and_no_cause(lines: list[Line]) -> None:
    told = summary(fields(*lines))
    assert (told.outcome, told.cause) == ("no-fault", "")
    assert told.good == "feed and earth answer as they should"


@pytest.mark.parametrize("lines", [OLD, NEW], ids=["old", "new"])
@pytest.mark.parametrize("reader", Reader)
def test_a_page_of_no_fault_found_names_no_cause_and_doubts_nothing(
    lines: list[Line], reader: Reader
) -> None:
    told = session_report(fields(*lines))
    assert proof_word(told) == "No fault found"
    assert cause_name(told) == "Result"
    assert told.cause == "Feed and earth answer as they should."
    assert [table.heading for table in tables(told, Reader.SHOP)] == ["Readings that speak for it"]
    page = html(told, reader)
    for wrong in ("Not proved", "not proved", "Cause found", "prove the cause", ">Cause<"):
        assert wrong not in page.partition("<section")[2], wrong


@pytest.mark.parametrize("lines", [OLD, NEW], ids=["old", "new"])
def test_the_report_of_no_fault_found_says_so(lines: list[Line]) -> None:
    text = report(chained(*lines))
    assert "Outcome: no fault found\n" in text
    assert "no fault found: feed and earth answer as they should" in text
    assert "proves the cause" not in text
    assert "recommended" not in text


def test_a_finding_called_so_that_blames_something_is_a_cause() -> None:
    lines = [*BEFORE, GOOD | {"no_fault": False}, END]
    assert summary(fields(*lines)).outcome == "found"
    assert summary(fields(*lines)).cause == "feed and earth answer as they should"


@pytest.mark.parametrize("outcome", OUTCOMES)
def test_every_outcome_has_a_word_of_its_own_in_the_box(outcome: str) -> None:
    words = {
        name: proof_word(session_report(fields(*BEFORE, FINDING, END | {"outcome": name})))
        for name in OUTCOMES
    }
    assert words[outcome] != "Closed"
    assert list(words.values()).count(words[outcome]) == 1


def test_a_box_over_a_doubted_journal_says_that() -> None:
    lines = fields(*BEFORE, FINDING, END | {"outcome": "repaired"})
    doubted = session_report(lines, checked=Checked(problems=("journal: x",), doubted=True))
    assert proof_word(doubted) == "Record altered"
    assert (
        proof_word(session_report(lines, checked=Checked(problems=("report: gone",))))
        != "Record altered"
    )


def test_only_the_first_end_tells_the_outcome() -> None:
    lines = fields(*BEFORE, FINDING, END)
    assert ReadSession([*lines, {"event": "end", "outcome": "repaired"}]).outcome == "found"


def test_a_parked_job_is_told_with_what_it_waits_for_and_an_unknown_reason_as_parked() -> None:
    assert in_words("parked-parts", "none") == "parked until the parts are here"
    assert in_words("parked-weather", "none") == "parked"
    assert in_words("", "none") == "none"

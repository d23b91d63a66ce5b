"""A session's lines fold into what it came to, with nothing left out."""

from collections.abc import Mapping
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shelf import END, FINDING, head, heard, job, reading, verdict

from voiceassist.record.summary import SessionSummary, summary

Line = Mapping[str, object]


def stamped(*lines: Line) -> list[Line]:
    return [
        {"seq": n, "at": f"2026-01-02T08:00:{n:02}.000Z", **line} for n, line in enumerate(lines, 1)
    ]


def test_a_job_is_told_as_a_whole() -> None:
    told = summary(stamped(*job()))
    assert (told.procedure, told.title, told.ended) == ("lamp", "A lamp does not light", True)
    assert (told.began, told.last_at[17:19]) == ("2026-01-02T08:00:01.000Z", "06")
    assert (told.fact("repair order"), told.fact("technician")) == ("1042", "A. Person")
    assert (told.finding, told.cause, told.outcome) == ("fuse", "the fuse is open", "found")
    assert (told.because, told.correction) == (("feed: 0.10 V",), "change the fuse")
    assert told.procedure_sha256 == head()["procedure_sha256"]
    assert told.said == ("12.60 volts",)
    (one,) = told.readings
    assert (one.seq, one.step, one.limit, one.verdict) == (3, "feed", "11.8 V to 12.9 V", "pass")
    assert one.quantity is not None
    assert str(one.quantity.value) == "12.60"


def test_time_worked_addenda_and_the_correction_as_summed_up_are_told() -> None:
    closing = {"event": "summary", "complaint": "dark", "cause": "fuse", "correction": "a new fuse"}
    later = {"event": "addendum", "by": "A. Person", "words": "the van came back"}
    told = summary(stamped(head(), reading("0.10"), FINDING, closing, END, later))
    assert told.worked_s == 4
    assert [line.words for line in told.addenda] == ["the van came back"]
    assert told.correction == "a new fuse"


def test_a_moment_tells_where_in_the_job_it_was() -> None:
    doubtful = heard("eight", step="feed", meanings=[])
    (moment,) = summary(stamped(head(), doubtful)).moments
    assert (moment.seq, moment.step, moment.kind) == (2, "feed", "not understood")
    assert moment.at == "2026-01-02T08:00:02.000Z"


def test_no_lines_make_an_empty_summary() -> None:
    assert summary([]) == SessionSummary()


@pytest.mark.parametrize("name", ["repair order", "Repair-Order", "repair_order"])
def test_a_fact_is_found_however_it_was_written(name: str) -> None:
    assert summary(stamped(head(facts={name: "77"}))).fact("repair order") == "77"


def test_facts_said_since_replace_those_told_at_first() -> None:
    said = {"event": "fact", "name": "repair order", "value": "2000"}
    assert summary(stamped(head(), said)).fact("repair order") == "2000"


def test_a_finding_that_was_withdrawn_is_no_cause() -> None:
    withdrawn = {"event": "finding-withdrawn", "name": "fuse"}
    told = summary(stamped(head(), FINDING, withdrawn, END))
    assert (told.cause, told.finding, told.because) == ("", "", ())


@pytest.mark.parametrize(
    ("lines", "value", "remark"),
    [
        ([reading("12.60")], "12.60", ""),
        ([reading("-0.50")], "-0.50", ""),
        ([reading("12", "furlongs")], None, ""),
        ([reading("twelve")], None, ""),
        ([{"event": "reading", "step": "lamp", "name": "dim", "value": None}], None, ""),
        ([verdict("12.5 V", "not valid")], "12.5", "did not count"),
        ([{"event": "skipped", "step": "feed", "reason": "no-access"}], None, "not taken"),
        ([reading("1"), {"event": "withdrawn", "step": "feed"}], "1", "taken back"),
    ],
)
def test_a_reading_keeps_its_number_and_why_it_does_not_count(
    lines: list[Line], value: str | None, remark: str
) -> None:
    (one,) = summary(stamped(head(), *lines)).readings
    assert (str(one.quantity.value) if one.quantity else None) == value
    assert (one.remark, one.counts) == (remark, not remark)


def test_a_verdict_given_again_is_marked_as_such() -> None:
    again = {"event": "rejudged", "step": "feed", "limit": "13 V to 14 V", "verdict": "low"}
    told = summary(stamped(head(), reading("12.6"), verdict("12.6 V", "pass"), again))
    assert [(m.verdict, m.rejudged, m.limit) for m in told.readings] == [
        ("low", True, "13 V to 14 V")
    ]


TWO = [{"kind": "reading", "value": "8.4", "unit": "mV"}]
TWO += [{"kind": "reading", "value": "84", "unit": "mV"}]


@pytest.mark.parametrize(
    ("line", "kind", "text"),
    [
        (heard("eight four", meanings=TWO), "question", "could be 8.4 mV or 84 mV"),
        (heard("yes", doubtful=True), "question", "could be x"),
        (heard("mumble", meanings=[], reason="noise"), "not understood", "noise"),
        (reading("12.7", corrects=True), "correction", "12.7 V"),
        ({"event": "withdrawn", "step": "feed"}, "taken back", "last result"),
        ({"event": "note", "words": "green", "verified": False}, "note", "not verified"),
        ({"event": "repaired", "bytes": 3}, "break", "3 bytes"),
        ({"event": "finding-withdrawn", "name": "fuse"}, "finding withdrawn", "fuse"),
    ],
)
def test_every_doubt_and_change_of_mind_is_told(line: Line, kind: str, text: str) -> None:
    (moment,) = summary(stamped(head(), line)).moments
    assert (moment.kind, moment.seq) == (kind, 2)
    assert text in moment.text


def test_what_went_well_is_no_moment() -> None:
    assert summary(stamped(*job())).moments == ()


@given(st.decimals(allow_nan=False, allow_infinity=False, places=4))
def test_a_value_comes_back_digit_for_digit(value: Decimal) -> None:
    (one,) = summary(stamped(head(), reading(f"{value:f}"))).readings
    assert one.quantity is not None
    assert f"{one.quantity.value:f}" == f"{value:f}"


def test_questions_are_counted_and_a_rehearsal_and_a_demonstration_are_told_as_no_jobs() -> None:
    asked = summary(stamped(head(), heard("eight", meanings=TWO), heard("yes", doubtful=True)))
    assert asked.questions == 2
    assert summary(stamped(head(demo=True), END)).outcome == "demo"
    assert summary(stamped(head(rehearsal={"mode": "led"}), END)).outcome == "rehearsed"
    parked = {"event": "parked", "reason": "parts"}
    assert summary(stamped(head(), parked)).outcome == "parked-parts"
    assert summary(stamped(head())).outcome == ""


def test_a_note_of_the_instructors_is_a_moment_with_his_name() -> None:
    note = {"event": "instructor-note", "by": "Jo", "words": "look at the plug", "step": "feed"}
    (moment,) = summary(stamped(head(), note)).moments
    assert (moment.kind, moment.text) == ("instructor's note", "Jo: look at the plug")
    assert (moment.step, moment.seq) == ("feed", 2)


@pytest.mark.parametrize(("value", "kept"), [("1" * 49, True), ("1" * 50, False), ("1e60", False)])
def test_a_number_that_no_meter_shows_is_kept_as_words_alone(value: str, kept: bool) -> None:
    (one,) = summary(stamped(head(), reading(value))).readings
    assert (one.quantity is not None) is kept
    assert one.shown == f"{value} V"


def test_a_reading_of_an_earlier_part_of_the_job_tells_its_session() -> None:
    lines = head(), reading("12.6", origin="the-first"), reading("0.2", step="drop")
    assert [one.origin for one in summary(stamped(*lines)).readings] == ["the-first", ""]


@pytest.mark.parametrize(
    ("line", "text"),
    [
        (heard("mumble", meanings=[], reason="noise"), "mumble: not understood: noise"),
        (heard("", meanings=[]), "(no words): not understood"),
        (heard("yes", doubtful=True), "yes: could be x"),
        ({"event": "note", "words": "green", "verified": True}, "green"),
        ({"event": "note", "words": "green"}, "green (as heard, not verified)"),
        ({"event": "withdrawn", "step": "feed"}, "the last result of this step"),
        ({"event": "repaired", "bytes": 3}, "the record broke off; 3 bytes were not whole"),
        ({"event": "reading", "corrects": True, "text": "dim"}, "dim"),
    ],
)
def test_a_moment_is_told_in_full(line: Line, text: str) -> None:
    (moment,) = summary(stamped(head(), line)).moments
    assert moment.text == text

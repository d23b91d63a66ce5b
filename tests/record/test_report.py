"""The report: complaint, cause, correction, and every reading with its limit, none hidden."""

from collections.abc import Mapping

import pytest

from voiceassist.record.entry import FIRST_PREV, Entry
from voiceassist.record.lines import typed
from voiceassist.record.readings import readings
from voiceassist.record.report import NOTICE, report

Line = Mapping[str, object]


def session(**more: object) -> Line:
    return {
        "event": "session",
        "title": "A lamp does not light",
        "procedure": "lamp",
        "procedure_sha256": "ab12",
        "source": "rule of thumb",
        "version": "0.1.0",
        "facts": {"repair order": "1042"},
    } | more


def reading(step: str, value: str, *, corrects: bool = False) -> Line:
    line = {"event": "reading", "step": step, "value": value, "unit": "V", "text": f"{value} V."}
    return {**line, "name": "", "corrects": corrects}


def verdict(step: str, shown: str, limit: str, found: str) -> Line:
    return {"event": "verdict", "step": step, "reading": shown, "limit": limit, "verdict": found}


FINDING = {
    "event": "finding",
    "step": "feed",
    "name": "fuse",
    "cause": "the fuse is open",
    "because": ["battery: 12.60 V", "feed: 0.0 V"],
    "correction": "changed the fuse",
}
JOB: list[Line] = [
    session(),
    {"event": "caution", "name": "hot", "signal": "CAUTION", "text": "CAUTION: it may be hot."},
    {"event": "acknowledged", "names": ["hot"], "text": ""},
    reading("battery", "12.60"),
    verdict("battery", "12.60 V", "12.0 V to 12.9 V", "pass"),
    reading("feed", "10.0"),
    verdict("feed", "10.0 V", "at least 12.1 V", "low"),
    reading("feed", "0.0", corrects=True),
    verdict("feed", "0.0 V", "at least 12.1 V", "low"),
    FINDING,
    {"event": "condition", "step": "fit", "text": "Turn the key off.", "met": False},
    {"event": "ask", "step": "fit", "text": "Say done when ready."},
    {"event": "heard", "step": "fit", "words": "done"},
    {"event": "ask", "step": "fit", "text": "Change the fuse for one of the same rating."},
    {"event": "done", "step": "fit", "task": "change the fuse for one of the same rating"},
    {"event": "ask", "step": "feed", "text": "Measure the voltage."},
    reading("feed", "12.5"),
    verdict("feed", "12.5 V", "at least 12.1 V", "pass"),
    {"event": "note", "words": "holder was green", "verified": False},
    {"event": "end", "outcome": "repaired", "record": "somewhere"},
]


def chained(lines: list[Line]) -> list[Entry]:
    made: list[Entry] = []
    for number, line in enumerate(lines, 1):
        prev = made[-1].hash if made else FIRST_PREV
        at = f"2026-01-02T08:00:{number:02}.000+01:00"
        made.append(Entry.made(line, seq=number, at=at, prev=prev))
    return made


def section(text: str, heading: str) -> list[str]:
    """The lines under a heading."""
    lines = text.splitlines()
    rest = lines[lines.index(heading) + 1 :]
    return [line.strip() for line in rest[: rest.index("") if "" in rest else None]]


def test_what_was_done_for_a_finding_that_fell_is_not_forgotten() -> None:
    bulb: list[Line] = [
        FINDING | {"name": "bulb", "cause": "the bulb is blown"},
        {"event": "done", "step": "new-bulb", "task": "fit the new bulb"},
        {"event": "withdrawn", "step": "new-bulb"},
        {"event": "finding-withdrawn", "name": "bulb"},
        {"event": "done", "step": "look", "task": "lift the blades"},  # of the diagnosis
    ]
    place = JOB.index(FINDING)
    assert section(report(chained([*JOB[:place], *bulb, *JOB[place:]])), "Correction") == [
        "changed the fuse",
        "done: change the fuse for one of the same rating",
        "repaired, and the repair proved",
        "said to be done for an earlier finding: fit the new bulb",
    ]


def test_readings_after_the_finding_stand_under_one_heading() -> None:
    again = [reading("lamp", "12.4"), verdict("lamp", "12.4 V", "at least 12.1 V", "pass")]
    told = section(report(chained([*JOB[:-2], *again, *JOB[-2:]])), "Readings")
    assert told[-4:] == [
        "after the finding:",
        "08:00:17 feed: 12.5 V, limit at least 12.1 V: pass",
        "08:00:19 lamp: 12.4 V, limit at least 12.1 V: pass",
        "* proves the cause",
    ]


def test_the_report_of_a_repaired_job_tells_all_of_it() -> None:
    made = chained(JOB)
    text = report(made)
    assert text.startswith(f"A lamp does not light\n=====================\n{NOTICE}\n")
    assert "Outcome: repaired, and the repair proved\nrepair order: 1042\n" in text
    assert section(text, "Complaint") == ["A lamp does not light"]
    assert section(text, "Cause") == [
        "the fuse is open",
        "because battery: 12.60 V",
        "because feed: 0.0 V",
    ]
    assert section(text, "Correction") == [
        "changed the fuse",
        "done: change the fuse for one of the same rating",
        "repaired, and the repair proved",
    ]
    assert section(text, "Readings") == [
        "* 08:00:04 battery: 12.60 V, limit 12.0 V to 12.9 V: pass",
        "08:00:06 feed: 10.0 V, limit at least 12.1 V: low, corrected since",
        "* 08:00:08 feed: 0.0 V, limit at least 12.1 V: low",
        "after the finding:",
        "08:00:17 feed: 12.5 V, limit at least 12.1 V: pass",
        "* proves the cause",
    ]
    assert section(text, "Cautions acknowledged") == [
        "2026-01-02T08:00:03.000+01:00  CAUTION: it may be hot."
    ]
    assert section(text, "Notes") == ["holder was green (as heard, not verified)"]
    assert section(text, "Record") == [
        "begun: 2026-01-02T08:00:01.000+01:00",
        "last line: 2026-01-02T08:00:20.000+01:00",
        "procedure: lamp, SHA-256 ab12",
        "meter: not named",
        "source of limits: rule of thumb",
        "program: voiceassist 0.1.0",
        f"journal: 20 lines, last SHA-256 {made[-1].hash}",
    ]


def test_the_complaint_is_the_one_told_when_the_job_was_opened() -> None:
    made = chained([session(facts={"complaint": "no light\nat all"})])
    assert section(report(made), "Complaint") == ["no light at all"]


@pytest.mark.parametrize(
    ("outcome", "told"),
    [
        ("repaired", "repaired, and the repair proved"),
        ("not-proved", "the repair is not proved"),
        ("found", "cause found, no repair recorded"),
        ("stopped", "stopped before a finding"),
        ("something new", "something new"),
    ],
)
def test_the_outcome_is_told_as_it_was(outcome: str, told: str) -> None:
    made = chained([*JOB[:-1], {"event": "end", "outcome": outcome}])
    assert f"Outcome: {told}\n" in report(made)
    assert section(report(made), "Correction")[-1] == told


def test_a_session_that_has_not_ended_is_not_told_as_ended() -> None:
    text = report(chained(JOB[:5]))
    assert "Outcome: the session has not ended\n" in text
    assert section(text, "Cause") == ["none"]
    assert section(text, "Correction") == ["none"]


def test_a_finding_that_was_replaced_is_still_told() -> None:
    second = {**FINDING, "cause": "the holder is burnt", "because": []}
    text = report(chained([*JOB[:10], second]))
    assert section(text, "Cause") == ["the holder is burnt", "found before that: the fuse is open"]


def test_a_record_that_broke_off_says_so() -> None:
    text = report(chained([session(), {"event": "repaired", "bytes": 3, "kept_in": "x"}]))
    assert section(text, "Notes") == [
        "the record broke off at 2026-01-02T08:00:02.000+01:00 and goes on after that"
    ]


def test_lines_without_any_known_field_do_not_stop_the_report() -> None:
    kinds = ["caution", "acknowledged", "reading", "verdict", "skipped", "finding", "ask"]
    kinds += ["condition", "note", "heard", "withdrawn", "repaired", "end", "of next year"]
    text = report(chained([{"event": "session"}, *({"event": kind} for kind in kinds)]))
    assert text.startswith("Session\n=======\n")


def test_nothing_comes_of_an_empty_journal() -> None:
    assert report([]) == ""


# --- readings ---

SKIPPED = {"event": "skipped", "step": "feed", "reason": "no-access"}
REFUSED = verdict("feed", "12.5 V", "", "not valid")
LAMP = {"event": "reading", "step": "lamp", "value": None, "unit": "", "name": "dim", "text": "Dim"}


@pytest.mark.parametrize(
    ("lines", "shown"),
    [
        ([reading("feed", "12.60")], ["12.60 V"]),
        ([LAMP], ["dim"]),
        ([SKIPPED], ["skipped (no-access), not taken"]),
        ([REFUSED], ["12.5 V, did not count"]),
        ([reading("feed", "1"), reading("feed", "2")], ["1 V, taken again since", "2 V"]),
        ([reading("feed", "1"), reading("earth", "2")], ["1 V", "2 V"]),
        (
            [reading("feed", "1"), {"event": "heard"}, REFUSED, reading("feed", "2")],
            ["1 V, taken again since", "12.5 V, did not count", "2 V"],
        ),
        ([reading("feed", "1"), FINDING, reading("feed", "2")], ["1 V", "2 V"]),
        ([reading("feed", "1"), {"event": "withdrawn", "step": "feed"}], ["1 V, taken back"]),
        (
            [reading("feed", "1"), *(reading("feed", v, corrects=True) for v in ("2", "3"))],
            ["1 V, corrected since", "2 V, corrected since", "3 V"],
        ),
    ],
)  # fmt: skip
def test_every_reading_is_told_with_what_became_of_it(lines: list[Line], shown: list[str]) -> None:
    found = readings(typed(entry.fields for entry in chained(lines)))
    assert [kept.shown + kept.remark for kept in found] == shown


def test_a_verdict_belongs_to_the_reading_right_before_it() -> None:
    lines = [reading("feed", "1"), verdict("feed", "1.0 V", "about 1 V", "pass"), REFUSED]
    first, second = readings(typed(entry.fields for entry in chained(lines)))
    assert (first.shown, first.limit, first.verdict) == ("1.0 V", "about 1 V", "pass")
    assert not second.counts


# --- corrections and the closing summary ---


def test_a_reading_judged_again_shows_the_limit_it_has_now() -> None:
    again = {
        "event": "rejudged",
        "step": "battery",
        "reading": "12.60 V",
        "limit": "12.2 V to 12.9 V",
        "verdict": "pass",
        "text": "",
    }
    (kept,) = readings(typed(entry.fields for entry in chained([*JOB[3:5], again])))
    assert (kept.limit, kept.verdict) == ("12.2 V to 12.9 V", "pass, judged again")


def test_the_report_takes_complaint_cause_and_correction_from_the_closing_summary() -> None:
    summary = {
        "event": "summary",
        "step": "feed",
        "text": "",
        "complaint": "Left lamp is dead.",
        "cause": "The fuse is open, shown by feed 0.0 V.",
        "correction": "Changed the fuse. Proved by feed 12.5 V.",
    }
    text = report(chained([*JOB, summary]))
    for sentence in ("Left lamp is dead.", "shown by feed 0.0 V.", "Proved by feed 12.5 V."):
        assert sentence in text


def test_a_finding_told_again_after_a_correction_is_one_finding() -> None:
    text = report(chained([*JOB[:10], {**FINDING, "because": ["feed: 0.1 V"]}]))
    assert "found before that" not in text


def test_a_reading_corrected_after_the_finding_is_struck_too() -> None:
    lines = [reading("feed", "1"), FINDING, reading("feed", "2", corrects=True)]
    first, second = readings(typed(entry.fields for entry in chained(lines)))
    assert (first.remark, second.counts) == (", corrected since", True)


@pytest.mark.parametrize("found", ["too close to call", "not valid", "high"])
def test_what_was_refused_is_not_told_as_a_reading(found: str) -> None:
    lines = chained([verdict("feed", "1 V", "", found)])
    (kept,) = readings(typed(entry.fields for entry in lines))
    assert (kept.counts, kept.origin) == (False, "")


def test_a_finding_that_was_withdrawn_proves_nothing() -> None:
    text = report(chained([*JOB[:10], {"event": "finding-withdrawn", "name": "fuse"}]))
    assert section(text, "Cause") == ["none"]
    assert "* proves the cause" not in text


def test_only_what_stood_before_the_finding_proves_it() -> None:
    """The same reading taken again while the repair was proved is none of its proofs."""
    proof = FINDING | {"because": ["feed: 0.0 V"]}
    lines = [
        session(),
        reading("feed", "0.0"),
        verdict("feed", "0.0 V", "at least 12.1 V", "low"),
        proof,
        reading("feed", "0.0"),
    ]
    told = section(report(chained(lines)), "Readings")
    marks = [line.startswith("*") for line in told if "feed: 0.0 V" in line]
    assert marks == [True, False]


def test_a_reading_without_a_verdict_is_told_without_one() -> None:
    (told,) = section(report(chained([session(), reading("feed", "0.0")])), "Readings")
    assert told.endswith("feed: 0.0 V")


def test_where_no_source_of_limits_is_named_that_is_said() -> None:
    named, silent = (report(chained([session(source=text)])) for text in ("a handbook", ""))
    assert "source of limits: a handbook" in section(named, "Record")
    assert "source of limits: not named" in section(silent, "Record")


def test_what_an_earlier_version_summed_up_as_cause_where_nothing_was_wrong_is_told_so() -> None:
    closing = {"event": "summary", "cause": "all is well"}
    old = FINDING | {"name": "no-fault"}
    new = FINDING | {"no_fault": True}
    old_told, new_told = (report(chained([session(), each, closing])) for each in (old, new))
    assert section(old_told, "Cause")[0] == "No fault found: all is well"
    assert section(new_told, "Cause")[0] == "all is well"


def test_what_was_added_after_the_job_has_a_section_of_its_own_with_who_added_it() -> None:
    later: list[Line] = [
        {"event": "addendum", "words": "it came back", "by": by} for by in ("Kim", "")
    ]
    text = report(chained([*JOB, *later]))
    assert section(text, "Added later") == [
        "2026-01-02T08:00:21.000+01:00, Kim: it came back",
        "2026-01-02T08:00:22.000+01:00, unknown: it came back",
    ]
    assert "Added later" not in report(chained(JOB))


def test_a_repair_that_was_not_done_is_told_as_recommended() -> None:
    told = section(report(chained([*JOB[:10], {"event": "end", "outcome": "found"}])), "Correction")
    assert told == [
        "recommended, not recorded as done: changed the fuse",
        "cause found, no repair recorded",
    ]


def test_work_for_a_finding_that_fell_is_told_as_said() -> None:
    fell = {"event": "finding-withdrawn", "name": "fuse"}
    told = section(report(chained([*JOB[:10], JOB[14], fell])), "Correction")
    assert told == [
        "said to be done for an earlier finding: change the fuse for one of the same rating"
    ]


def test_a_parked_job_is_told_as_parked() -> None:
    text = report(chained([*JOB[:5], {"event": "parked", "reason": "parts"}]))
    assert "Outcome: parked until the parts are here\n" in text


def test_a_reading_of_an_earlier_part_of_the_job_is_told_with_its_session() -> None:
    (told,) = section(
        report(chained([session(), {**reading("feed", "12.5"), "origin": "the-first"}])), "Readings"
    )
    assert told == "08:00:02 feed: 12.5 V, read in the-first"


def test_a_note_that_was_verified_and_a_caution_that_nobody_spoke_are_told_plainly() -> None:
    lines: list[Line] = [{"event": "note", "words": "green", "verified": True},
             {"event": "acknowledged", "names": ["hot"]}]  # fmt: skip
    text = report(chained([session(meter="a bench meter"), *lines]))
    assert section(text, "Notes") == ["green"]
    assert section(text, "Cautions acknowledged") == ["2026-01-02T08:00:03.000+01:00  hot"]
    assert "meter: a bench meter" in section(text, "Record")


def test_a_finding_at_which_nothing_is_wrong_marks_what_speaks_for_it() -> None:
    good = FINDING | {"no_fault": True}
    told = section(
        report(chained([*JOB[:5], good | {"because": ["battery: 12.60 V"]}])), "Readings"
    )
    assert told == [
        "* 08:00:04 battery: 12.60 V, limit 12.0 V to 12.9 V: pass",
        "* speaks for it that nothing is wrong",
    ]


def test_what_is_judged_again_is_the_last_reading_of_its_step_that_counts() -> None:
    again: Line = {"event": "rejudged", "step": "feed", "limit": "at least 1 V", "verdict": "low"}
    lines = [reading("feed", "1"), FINDING, reading("feed", "2"), reading("earth", "3"), again]
    found = readings(typed(entry.fields for entry in chained(lines)))
    assert [kept.verdict for kept in found] == ["", "low, judged again", ""]
    assert [kept.origin for kept in found] == ["", "", ""]
    alone = readings(typed(entry.fields for entry in chained([reading("earth", "3"), again])))
    assert [(kept.verdict, kept.limit) for kept in alone] == [("", "")]

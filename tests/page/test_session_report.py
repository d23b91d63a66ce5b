"""What the pages tell: of real sessions, and of journals with odd lines."""

from collections.abc import Iterator, Mapping

import pytest
from handed_out import account_of, lines_of

from voiceassist.page.checked import Checked
from voiceassist.page.front import left_out, small_print, tables
from voiceassist.page.items import Item
from voiceassist.page.reader import Reader
from voiceassist.page.session_report import SessionReport, session_report
from voiceassist.record.folder import SessionFolder

Line = Mapping[str, object]


def items(told: SessionReport, *kinds: str) -> Iterator[Item]:
    for visit in told.visits:
        yield from (item for item in visit.items if item.what in kinds)


def journal(*lines: Line) -> list[Line]:
    """Lines a second apart, after the first one of a session."""
    head = {"event": "session", "procedure": "lamp", "title": "A lamp", "facts": {}}
    return [
        {"seq": n, "at": f"2026-01-02T08:00:{n:02}.000+01:00", "hash": "ab" * 32, **line}
        for n, line in enumerate([head, *lines], 1)
    ]


def reading(value: str, **more: object) -> Line:
    line = {"event": "reading", "step": "feed", "value": value, "unit": "V", "shown": f"{value} V"}
    return {**line, "corrects": False, **more}


def verdict(shown: str, found: str, **more: object) -> Line:
    line = {"event": "verdict", "step": "feed", "reading": shown, "limit": "at least 12 V"}
    return {**line, "verdict": found, "low": "12 V", **more}


# --- the job of the demo ---


def test_cause_and_correction_stand_without_the_readings_that_a_table_holds(
    demo: SessionFolder,
) -> None:
    told = account_of(demo)
    assert told.summary.complaint == "Heater fan runs at one speed only."
    assert told.cause == "The fan module does not follow a good command."
    assert told.correction == "Changed the fan module."
    assert [task.split(",")[0] for task in told.done] == [
        "Unscrew the old module",
        "Fit the new module",
    ]


def test_the_readings_that_prove_the_cause_are_those_the_finding_quotes(
    demo: SessionFolder,
) -> None:
    (finding,) = [line for line in lines_of(demo) if line["event"] == "finding"]
    told = account_of(demo)
    shown = [f"{row.label.lower()}: {row.measured.shown}" for row in told.proving]
    assert shown == finding["because"]


def test_the_readings_after_the_repair_prove_it(demo: SessionFolder) -> None:
    told = account_of(demo)
    assert told.proved
    # As the recorded technician says them last, and that the fan follows.
    assert [row.measured.shown for row in told.repaired] == ["4.2 V", "12.1 V", "yes"]
    assert [table.heading for table in tables(told, Reader.SHOP)] == [
        "Readings that prove the cause",
        "Readings that prove the repair",
    ]


def test_what_a_step_measures_comes_from_its_procedure(demo: SessionFolder) -> None:
    about = {row.label: row.what for row in account_of(demo).proving}
    assert about["Feed"] == "voltage from feed pin to body earth"
    assert about["Feed lamp"].startswith("test lamp between")


def test_each_acknowledged_caution_is_told_once_with_its_signal_word(demo: SessionFolder) -> None:
    told = account_of(demo)
    assert [one.signal for one in told.cautions] == ["WARNING", "WARNING"]
    assert told.cautions[0].hazard.startswith("Battery gas explodes")
    spoken = [line for line in lines_of(demo) if line["event"] == "acknowledged"]
    assert sum(len(one.at) for one in told.cautions) == len(spoken)


def test_every_line_with_words_is_in_the_details(astray: SessionFolder) -> None:
    told = account_of(astray)
    shown = " ".join(f"{item.text} {item.note}" for v in told.visits for item in v.items)
    for line in lines_of(astray):
        if line["event"] in {"session", "reading", "verdict", "note"}:
            continue
        for field in ("text", "words", "task"):
            words = str(line.get(field) or "")
            assert " ".join(words.split()).casefold() in shown.casefold()


def test_every_reading_is_in_the_details_with_its_digits(astray: SessionFolder) -> None:
    found = [i.row.measured for i in items(account_of(astray), "Reading", "Corrected") if i.row]
    taken = [line for line in lines_of(astray) if line["event"] == "reading"]
    assert [one.shown for one in found] == [line["shown"] for line in taken]
    assert any(one.shown == "12.3 V" for one in found)


def test_a_value_that_did_not_count_is_in_the_details_with_the_reason(
    astray: SessionFolder,
) -> None:
    refused = list(items(account_of(astray), "Refused"))
    assert [item.text for item in refused] == ["12.8 V", "8 Ω"]
    assert "caution" in refused[0].note
    assert "needs a reading in V" in refused[1].note


def test_a_corrected_value_says_that_it_does_not_count(astray: SessionFolder) -> None:
    first, *_ = (item.row for item in items(account_of(astray), "Reading"))
    assert first is not None
    assert (first.measured.shown, first.measured.remark) == ("12.8 V", "corrected since")


def test_a_step_left_out_is_on_the_first_page(astray: SessionFolder) -> None:
    assert left_out(account_of(astray)) == "Earth lamp (no access)"


def test_a_customer_reads_what_was_left_out_and_not_what_the_file_calls_it(
    astray: SessionFolder,
) -> None:
    told = left_out(account_of(astray), Reader.CUSTOMER)
    assert told == "Test lamp between battery plus post and earth pin (no access)"


def test_a_step_visited_again_says_so(astray: SessionFolder) -> None:
    again = [visit.label for visit in account_of(astray).visits if visit.again]
    assert again[:2] == ["Feed lamp", "Earth lamp"]


# --- the lesson ---


def test_the_lesson_tells_what_went_astray(astray: SessionFolder) -> None:
    lesson = account_of(astray).lesson
    assert [(mark.step, mark.text) for mark in lesson.turns] == [
        ("Battery", "put right: 12.8 V became 12.6 V"),
        ("Earth lamp", "said “go back”"),
        ("Feed lamp", "taken back: bright"),
    ]
    assert [mark.text.split(",")[0] for mark in lesson.refused] == ["12.8 V", "8 Ω"]
    assert [mark.text.split(" (")[0] for mark in lesson.helped] == [
        "asked why the step is done",
        "asked all there is to tell of the step",
        "asked the limit",
        "asked to hear it again",
    ]
    assert [(mark.step, mark.text) for mark in lesson.skipped] == [("Earth lamp", "no access")]


def test_a_session_at_the_level_of_teaching_is_a_lesson(
    demo: SessionFolder, astray: SessionFolder
) -> None:
    assert account_of(astray).teaching
    assert not account_of(demo).teaching


def ask(step: str) -> Line:
    return {"event": "ask", "step": step, "text": "Measure."}


def test_time_for_each_step_stands_beside_the_median() -> None:
    # Battery 2 s, feed 3 s and 1 s more, lamp 10 s.
    waits = [{"event": "say", "step": "", "text": "."}] * 2
    lines = journal(
        ask("battery"), waits[0], ask("feed"), *waits, ask("lamp"), *(waits[0],) * 9, ask("feed"),
        waits[0],
    )  # fmt: skip
    lesson = session_report(lines).lesson
    assert [(pace.label, pace.seconds, pace.visits) for pace in lesson.paces] == [
        ("Battery", 2.0, 1),
        ("Feed", 4.0, 2),
        ("Lamp", 10.0, 1),
    ]
    assert lesson.median_s == 4.0
    assert [pace.ratio for pace in lesson.paces] == [0.5, 1.0, 2.5]
    assert [pace.share for pace in lesson.paces] == [0.2, 0.4, 1.0]


VOLTS = {"kind": "reading", "value": "8.4", "unit": "V"}
MILLIVOLTS = {**VOLTS, "value": "84", "unit": "mV"}


@pytest.mark.parametrize(
    ("heard", "answers", "asked"),
    [
        ({"meanings": [VOLTS, MILLIVOLTS]}, ["ask"], True),
        ({"meanings": [VOLTS], "doubtful": True}, ["ask"], True),
        ({"meanings": [], "reason": "no unit"}, ["say"], True),
        ({"meanings": [VOLTS]}, ["ask"], True),  # it would decide, so it is asked about
        ({"meanings": [VOLTS]}, ["reading", "verdict", "ask"], False),
        ({"meanings": [{"kind": "command", "name": "skip"}]}, ["ask"], False),
        ({"meanings": [VOLTS]}, [], False),
    ],
)
def test_a_question_is_told_when_words_were_not_taken_as_they_came(
    heard: Line, answers: list[str], asked: bool
) -> None:
    given = [{"event": event, "step": "feed", "text": "So?", "verdict": ""} for event in answers]
    lines = journal({"event": "heard", "step": "feed", "words": "eight four", **heard}, *given)
    questions = session_report(lines).lesson.questions
    assert bool(questions) is asked
    if asked:
        assert "So?" in questions[0].text
        assert "eight four" in questions[0].text


# --- doubt ---


def test_what_else_was_heard_is_told_when_the_assistant_was_not_sure() -> None:
    candidates = [
        {"words": "eight four", "probability": 0.61, "meanings": [VOLTS]},
        {"words": "eighty four", "probability": 0.37, "meanings": [MILLIVOLTS]},
    ]
    doubt = {"decision": "ask", "doubtful": True, "probability": 0.61, "candidates": candidates}
    heard = {"event": "heard", "words": "eight four", "meanings": [VOLTS, MILLIVOLTS], **doubt}
    (item,) = items(session_report(journal(heard)), "Heard")
    assert item.note == (
        "could be 8.4 V or 84 mV, probability 0.61;"
        " heard as “eight four” (8.4 V, 0.61), “eighty four” (84 mV, 0.37)"
    )
    (sure,) = items(session_report(journal({**heard, "decision": "accept"})), "Heard")
    assert "heard as" not in sure.note


# --- odd journals ---


def test_a_session_without_a_finding_shows_its_readings_those_that_failed_first() -> None:
    told = session_report(
        journal(
            reading("12.6"), verdict("12.6 V", "pass"), reading("9.0", step="lamp"),
            {**verdict("9.0 V", "low"), "step": "lamp"},
        )
    )  # fmt: skip
    (table,) = tables(told, Reader.SHOP)
    assert [row.measured.shown for row in table.rows] == ["9.0 V", "12.6 V"]
    assert table.heading == "Readings"
    assert told.outcome == "the session has not ended"


def test_a_first_page_counts_the_readings_it_has_no_room_for() -> None:
    lines = [
        line
        for i in range(40)
        for line in (reading("12.6", step=f"s{i}"), {**verdict("12.6 V", "pass"), "step": f"s{i}"})
    ]
    told = session_report(
        [{**line, "at": "2026-01-02T08:00:00.000+01:00"} for line in journal(*lines)]
    )
    (table,) = tables(told, Reader.SHOP)
    assert len(table.rows) + table.left_out == 40
    assert table.left_out > 20


def test_a_suspicion_is_not_told_as_a_finding() -> None:
    finding = {"event": "finding", "step": "feed", "name": "fuse", "cause": "the fuse is open"}
    ended = {"event": "end", "outcome": "unproved"}
    assert (
        session_report(journal(finding, ended)).cause == "Suspected, not proved: the fuse is open."
    )


def test_a_finding_that_was_withdrawn_is_only_in_the_details() -> None:
    finding = {"event": "finding", "step": "feed", "name": "fuse", "cause": "the fuse is open",
               "because": ["feed: 9.0 V"], "text": "Finding: the fuse is open."}  # fmt: skip
    told = session_report(
        journal(reading("9.0"), finding, {"event": "finding-withdrawn", "name": "fuse"})
    )
    assert told.cause == "No cause was reached."
    assert told.proving == ()
    assert [item.what for item in items(told, "Finding", "Finding withdrawn")] == [
        "Finding",
        "Finding withdrawn",
    ]


def test_of_a_proof_taken_twice_only_the_last_stands_on_the_first_page() -> None:
    finding = {"event": "finding", "step": "feed", "name": "fuse", "cause": "the fuse is open",
               "because": ["feed: 9.0 V"]}  # fmt: skip
    told = session_report(journal(reading("9.0"), finding, reading("9.1"), reading("12.6")))
    assert [row.measured.shown for row in told.proving] == ["9.0 V"]
    assert [row.measured.shown for row in told.repaired] == ["12.6 V"]
    assert [row.measured.shown for row in told.rows] == ["9.0 V", "9.1 V", "12.6 V"]


def test_a_limit_that_changed_with_a_correction_has_no_bar_of_the_old_one() -> None:
    again = {"event": "rejudged", "step": "feed", "reading": "12.6 V", "limit": "at least 12.7 V"}
    told = session_report(
        journal(reading("12.6"), verdict("12.6 V", "pass"), {**again, "verdict": "low"})
    )
    (row,) = told.rows
    assert (row.measured.limit, row.measured.verdict, row.bar) == ("at least 12.7 V", "low", None)
    assert [mark.text for mark in told.lesson.turns] == ["judged again: pass became low"]


def test_a_break_a_resumption_and_a_cut_caution_are_told() -> None:
    told = session_report(
        journal(
            {"event": "repaired", "bytes": 7},
            {"event": "returned", "away_s": 61.2},
            {"event": "interrupted", "unheard": ["hot-part"]},
        )
    )
    assert [(item.what, item.text, item.note) for item in told.visits[0].items] == [
        ("Break", "the record broke off; 7 bytes were not whole", ""),
        ("Break", "the session was cut off for 61 s", ""),
        ("Cut in", "the assistant was cut short", "caution not heard: hot part"),
    ]


def test_an_altered_record_is_not_told_as_whole() -> None:
    told = session_report(
        journal(reading("12.6")), checked=Checked("journal, line 3: it was edited")
    )
    record = dict(small_print(told, Reader.SHOP))["Record"]
    assert record.startswith("ALTERED (journal, line 3: it was edited)")
    assert "unbroken" not in record


def test_lines_without_any_known_field_do_not_stop_the_account() -> None:
    kinds = ["caution", "acknowledged", "reading", "verdict", "skipped", "finding", "ask", "heard"]
    kinds += ["condition", "note", "withdrawn", "repaired", "end", "fact", "returned", "next year"]
    kinds += ["interrupted", "rejudged", "done", "finding-withdrawn"]
    told = session_report(journal(*({"event": kind} for kind in kinds)))
    assert told.lines == len(kinds) + 1


def test_nothing_can_be_told_of_an_empty_journal() -> None:
    with pytest.raises(ValueError, match="without a line"):
        session_report([])


# --- never surer than it was ---


FINDING = {
    "event": "finding",
    "name": "fuse",
    "cause": "the fuse is open",
    "correction": "change the fuse",
    "because": ["feed: 0.10 V"],
}
SUSPECTED = (reading("0.10"), verdict("0.10 V", "low"), FINDING)


@pytest.mark.parametrize(
    ("more", "correction"),
    [
        ((), "To be done: change the fuse."),
        (({"event": "done", "task": "pull it"},), "Begun, not recorded as finished: change"),
        (({"event": "summary", "correction": "Changed the fuse."},), "Changed the fuse."),
    ],
)
def test_a_correction_is_told_as_done_only_when_the_job_was_closed_with_it(
    more: tuple[Line, ...], correction: str
) -> None:
    assert session_report(journal(*SUSPECTED, *more)).correction.startswith(correction)


def test_readings_behind_a_suspicion_are_not_called_its_proof() -> None:
    told = session_report(journal(*SUSPECTED, {"event": "end", "outcome": "unproved"}))
    assert [table.heading for table in tables(told, Reader.SHOP)] == [
        "Readings that speak for the cause"
    ]
    told = session_report(journal(*SUSPECTED, {"event": "end", "outcome": "found"}))
    assert [table.heading for table in tables(told, Reader.SHOP)] == [
        "Readings that prove the cause"
    ]


def test_a_customer_reads_of_no_chain_and_no_limit() -> None:
    told = session_report(journal(*SUSPECTED))
    small = [" ".join(pair) for pair in small_print(told, Reader.CUSTOMER)]
    assert "Record 4 entries, no sign of a change" in small
    assert not [line for line in small if "chain" in line or "Limit" in line]
    altered = session_report(journal(*SUSPECTED), checked=Checked("journal, line 5: it was edited"))
    assert dict(small_print(altered, Reader.CUSTOMER))["Record"].startswith("ALTERED")

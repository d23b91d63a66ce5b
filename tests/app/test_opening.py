"""The notice that opens a job is told once a day to the same technician."""

import io
import json
from collections.abc import Mapping
from datetime import date, timedelta
from pathlib import Path

import pytest
from bench import BOOK, FAN

from voiceassist.app.keeping.opening import _MOST_READ, is_familiar, was_told
from voiceassist.app.live.replay import replayed
from voiceassist.app.session_request import SessionRequest
from voiceassist.app.sessions import run_session
from voiceassist.app.timeline import RealTimeline
from voiceassist.procedure.read import read_procedure
from voiceassist.record.folder import SessionFolder, create
from voiceassist.record.journal import Journal
from voiceassist.record.lines import SessionLine
from voiceassist.session.engine import Engine
from voiceassist.session.lessons import DIGITS
from voiceassist.session.session import SessionSetup

NOTICE = "Vehicle maker's instructions, local rules and licensed practice come first."
SOURCE = "general rule of thumb"


def said(records: Path, **facts: str) -> list[str]:
    """What a job with these facts opens with."""
    shown: list[str] = []
    wish = SessionRequest(
        procedure="key-off-draw",
        typed=io.StringIO(""),
        silent=True,
        facts=facts,
        changes={"records": str(records)},
    )
    run_session(wish, lambda line: shown.append(str(line.get("text"))), lambda _: None)
    return [text for text in shown if text]


def opens_in_full(records: Path, **facts: str) -> bool:
    """True when the notice is told; the title always is."""
    told = said(records, **facts)
    assert any(text.startswith("Battery goes flat while the vehicle stands") for text in told)
    return any(NOTICE in text for text in told)


def journal(records: Path, *lines: Mapping[str, object], later_s: float = 0) -> SessionFolder:
    """A session begun now, or so many seconds later, with these lines."""
    folder = create(records, "any", RealTimeline().wall() + timedelta(seconds=later_s))
    with Journal.create(folder.journal, RealTimeline().wall) as kept:
        kept.append(list(lines))
    return folder


SESSION = SessionLine.made(source=SOURCE, facts={"technician": "Kim"})
SAID: dict[str, object] = {"event": "say", "text": "Fan."}


def familiar(records: Path, who: str = "Kim", source: str = SOURCE, days: int = 0) -> bool:
    today = RealTimeline().wall().date() + timedelta(days=days)
    return is_familiar(records, {"technician": who} if who else {}, source, today)


def test_the_second_job_of_the_day_opens_with_its_title_alone(tmp_path: Path) -> None:
    assert opens_in_full(tmp_path, technician="Kim")
    assert not opens_in_full(tmp_path, technician="Kim")
    assert not opens_in_full(tmp_path, technician=" kim")


def test_another_technician_is_told_in_full(tmp_path: Path) -> None:
    assert opens_in_full(tmp_path, technician="Kim")
    assert opens_in_full(tmp_path, technician="Lee")
    assert opens_in_full(tmp_path), "whoever gives no name may be a third"
    assert not opens_in_full(tmp_path)


def test_the_journal_tells_how_the_job_was_opened(tmp_path: Path) -> None:
    said(tmp_path)
    said(tmp_path)
    first = [
        json.loads(path.read_text("utf-8").splitlines()[0])["familiar"]
        for path in sorted(tmp_path.glob("*/journal.jsonl"), key=lambda path: path.stat().st_mtime)
    ]
    assert first == [False, True]


def test_a_new_day_begins_with_the_notice(tmp_path: Path) -> None:
    journal(tmp_path, SESSION, SAID)
    assert familiar(tmp_path)
    assert not familiar(tmp_path, days=1)
    assert not familiar(tmp_path, days=-1)


def test_limits_from_another_source_are_told_of(tmp_path: Path) -> None:
    journal(tmp_path, SESSION, SAID)
    assert not familiar(tmp_path, source="maker's data sheet 12")


def test_a_job_that_was_cut_off_before_its_opening_does_not_count(tmp_path: Path) -> None:
    journal(tmp_path, SESSION)
    assert not familiar(tmp_path)


@pytest.mark.parametrize("content", [b"", b"\xff\n\n", b"[]\n[]\n", b'{"event": "session"}\n'])
def test_a_damaged_journal_tells_nothing_and_stops_nothing(tmp_path: Path, content: bytes) -> None:
    folder = create(tmp_path, "any", RealTimeline().wall())
    assert not familiar(tmp_path), "a folder without a journal"
    folder.journal.write_bytes(content)
    assert not familiar(tmp_path)


def test_an_altered_first_line_does_not_count(tmp_path: Path) -> None:
    folder = journal(tmp_path, SESSION.also({"facts": {"technician": "Lee"}}), SAID)
    altered = folder.journal.read_bytes().replace(b'"Lee"', b'"Kim"')
    folder.journal.write_bytes(altered)
    assert not familiar(tmp_path)


def test_there_need_be_no_records_yet(tmp_path: Path) -> None:
    assert not is_familiar(tmp_path / "none", {}, SOURCE, date(2026, 11, 29))
    (tmp_path / "file").write_text("")
    assert not is_familiar(tmp_path / "file", {}, SOURCE, date(2026, 11, 29))


@pytest.mark.parametrize("known", [True, False])
def test_a_job_cut_off_before_its_opening_is_opened_as_it_would_have_been(known: bool) -> None:
    engine = Engine(SessionSetup(read_procedure(FAN, "fan"), BOOK))
    back = replayed(engine, [SESSION.also({"familiar": known})])
    texts = [output.text for output in back.unkept]
    assert texts[0].startswith("Heater fan runs")
    assert any(NOTICE in text for text in texts) is not known


# --- what is taught once ---

LESSON = "Say the digits."
ASKED: dict[str, object] = {"event": "ask", "text": f"Was that fifteen, or fifty? {LESSON}"}


def test_who_was_taught_in_any_earlier_session_is_known(tmp_path: Path) -> None:
    kim, lee = {"technician": "Kim"}, {"technician": "Lee"}
    journal(tmp_path, SESSION, SAID)
    assert not was_told(tmp_path, kim, LESSON)
    journal(tmp_path, SESSION, SAID, ASKED)
    journal(tmp_path, SESSION, SAID)
    assert was_told(tmp_path, kim, LESSON)
    assert was_told(tmp_path, {"technician": " kim "}, LESSON)
    assert not was_told(tmp_path, lee, LESSON)
    assert not was_told(tmp_path, {}, LESSON)


def test_without_records_nobody_was_taught(tmp_path: Path) -> None:
    assert not was_told(tmp_path / "none", {}, LESSON)
    create(tmp_path, "any", RealTimeline().wall())
    assert not was_told(tmp_path, {}, LESSON)


def test_only_the_latest_journals_of_a_person_are_read(tmp_path: Path) -> None:
    journal(tmp_path, SESSION, SAID, ASKED)
    for number in range(_MOST_READ):
        journal(tmp_path, SESSION, SAID, later_s=number + 1)
    assert not was_told(tmp_path, {"technician": "Kim"}, LESSON)


def test_a_session_tells_the_lesson_only_to_who_never_heard_it(tmp_path: Path) -> None:
    said(tmp_path, technician="Kim")
    first = next(tmp_path.glob("*/journal.jsonl"))
    lesson = BOOK("confirm.digits")
    folder = journal(tmp_path, SESSION, SAID, {"event": "ask", "text": f"Fifteen? {lesson}"})
    assert was_told(tmp_path, {"technician": "Kim"}, lesson)
    said(tmp_path, technician="Kim")
    said(tmp_path, technician="Lee")
    taught = {
        line["facts"]["technician"]: line["taught"]
        for path in sorted(tmp_path.glob("*/journal.jsonl"), key=lambda p: p.stat().st_mtime)
        if path not in {first, folder.journal}
        for line in [json.loads(path.read_text("utf-8").splitlines()[0])]
    }
    assert taught == {"Kim": True, "Lee": False}


@pytest.mark.parametrize("known", [True, False])
def test_a_resumed_session_knows_who_was_taught(known: bool) -> None:
    engine = Engine(SessionSetup(read_procedure(FAN, "fan"), BOOK))
    back = replayed(engine, [SESSION.also({"taught": known})])
    assert (DIGITS in back.session.explained) is known

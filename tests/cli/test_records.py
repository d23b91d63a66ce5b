"""``voiceassist records``, as a user calls it."""

import csv
import io
import json
import os
import shutil
import sqlite3
import stat
import zipfile
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
import running
import typer
from hypothesis import given, settings
from hypothesis import strategies as st
from running import Done, lines
from shelf import BEGAN, END, PROCEDURE, add, head, heard, job, kept, reading, verdict
from typer.testing import CliRunner

from voiceassist.app.pages.session_folder import KeptSession
from voiceassist.app.records.export import COLUMNS, as_csv
from voiceassist.cli.main import main
from voiceassist.record import times
from voiceassist.record.entry import Entry
from voiceassist.record.folder import SessionFolder
from voiceassist.record.journal import Journal


@pytest.fixture
def records(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of records that is the default one, and nothing else of the user's."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    folder = tmp_path / "records"
    folder.mkdir()
    monkeypatch.setenv("VOICEASSIST_RECORDS", str(folder))
    return folder


@pytest.fixture
def call(capfdbinary: pytest.CaptureFixture[bytes]) -> "Call":
    return Call(capfdbinary)


class Call:
    """Calls the command line in this process, as ``running.call`` does in one of its own."""

    def __init__(self, captured: pytest.CaptureFixture[bytes]) -> None:
        self._captured = captured

    def __call__(self, *arguments: str) -> Done:
        self._captured.readouterr()
        with pytest.raises(SystemExit) as end:
            main(["records", *arguments])
        out, err = self._captured.readouterr()
        code = end.value.code
        assert isinstance(code, int)
        return Done(arguments, code, out.decode(), err.decode())


def refused(done: Done, sentence: str) -> bool:
    """True when it is wrong use, told in one sentence and nothing else."""
    told = done.stderr.strip()
    return (done.returncode, done.stdout) == (2, "") and sentence in told and "\n" not in told


# --- list, find ---


def test_nothing_kept_is_said(records: Path, call: Call) -> None:
    assert call("list").stdout == "No session is kept yet.\n"
    assert lines(call("list", "--json")) == []
    assert call("find", "--said", "green").stdout == "No session fits.\n"


def test_sessions_are_listed_the_youngest_first(records: Path, call: Call) -> None:
    first, second = kept(records, job()), kept(records, job()[:3], 1)
    found = lines(call("list", "--json"))
    assert [one["session"] for one in found] == [second.id, first.id]
    assert [one["state"] for one in found] == ["open", "ended"]
    assert (found[1]["repair_order"], found[1]["cause"]) == ("1042", "the fuse is open")
    assert found[1]["began"] == "2026-01-02T08:00:00.000+00:00"
    text = call("list").stdout
    assert text.index(second.id) < text.index(first.id)
    assert "2026-01-02 08:00 | 1042 | Quillback 26, number 7 | A. Person" in text
    assert "A lamp does not light | not ended" in text
    some = call("list", "--limit", "1", "--json")
    assert [one["session"] for one in lines(some)] == [second.id]
    assert "--limit 0" in some.stderr


def test_sessions_are_found_by_everything_asked_for(records: Path, call: Call) -> None:
    wanted = kept(records, job("0.10", "low", order="77"))
    kept(records, job("12.60", "pass", order="78"), 1)
    kept(records, job("0.10", "low", order="79"), 60 * 24 * 40)
    for asked in (
        ["--order", "77"],
        ["--verdict", "low", "--until", "2026-01-31"],
        ["--said", '"10 volts"', "--until", "2026-01-02", "--since", "2026-01-02"],
        [
            "--vehicle",
            "quillback 7",
            "--cause",
            "fuse",
            "--verdict",
            "LOW",
            "--until",
            "2026-02-01",
        ],
    ):
        assert [one["session"] for one in lines(call("find", *asked, "--json"))] == [wanted.id]


@pytest.mark.parametrize(("verb", "told"), [("list", "reading journals"), ("verify", "through")])
def test_a_first_look_at_many_sessions_shows_how_far_it_is(
    records: Path, verb: str, told: str
) -> None:
    for minute in range(12):
        kept(records, job(), minute)
    done = running.seen_at_a_terminal("records", verb)
    assert done.returncode == 0
    assert told in done.stderr
    assert "12/12" in done.stderr


def test_a_fact_as_long_as_a_book_is_cut_in_a_list_and_whole_as_json(
    records: Path, call: Call
) -> None:
    book = "w" * 100_000
    kept(records, [head(facts={"vehicle": book, "repair order": "1042"}), END])
    told = call("list").stdout
    assert "1042" in told
    assert "www…" in told
    assert len(told) < 1000
    (about,) = lines(call("list", "--json"))
    assert about["vehicle"] == book


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        (["--verdict", "wrong"], "--verdict: 'wrong' is not a known verdict; use pass, low, high"),
        (["--since", "2.1.2026"], "--since: found '2.1.2026'; write a day like 2026-01-31"),
        (["--until", "2026-02-30"], "--until: found '2026-02-30'"),
        (["--said", "?!"], "--said: found no word in '?!'"),
        (["--order", "---"], "--order: found no letter or figure in '---'"),
        (["--archive", "postgresql://host:port/x"], "--archive: this is not an address"),
    ],
)
def test_a_question_that_makes_no_sense_is_refused(
    records: Path, call: Call, asked: list[str], told: str
) -> None:
    assert refused(call("find", *asked), told)


@pytest.mark.parametrize("day", ["2026-01-02", "20260102", "2026-W01-5"])
def test_the_last_day_asked_for_is_taken_whole_however_it_is_written(
    records: Path, call: Call, day: str
) -> None:
    made = kept(records, job())
    assert [one["session"] for one in lines(call("find", "--until", day, "--json"))] == [made.id]


def test_words_that_are_no_text_are_found_nowhere(records: Path, call: Call) -> None:
    kept(records, job())
    assert call("find", "--procedure", "\udcff").stdout == "No session fits.\n"
    assert call("trend", "\udcff").returncode == 1
    assert call("list", "--limit", "9" * 20).returncode == 2


def test_a_folder_that_is_not_there_is_not_made(tmp_path: Path, call: Call) -> None:
    nowhere = tmp_path / "nowhere"
    assert refused(call("list", "--records", str(nowhere)), "no such folder of records")
    assert not nowhere.exists()


# --- show ---


@pytest.mark.parametrize("name", ["last", "20260102-0800", "ro 1042", "RO-1042"])
def test_a_session_is_shown_by_any_of_its_names(records: Path, call: Call, name: str) -> None:
    made = kept(records, job(order="RO 1042"))
    (told,) = lines(call("show", name, "--json"))
    assert (told["session"], told["cause"], told["fault"]) == (made.id, "the fuse is open", "")
    (one,) = told["readings"]
    assert (one["value"], one["unit"], one["limit"]) == ("12.60", "V", "11.8 V to 12.9 V")
    assert (one["points"], one["verdict"], one["counts"]) == (["feed pin"], "pass", True)


def test_a_session_is_shown_to_people_with_every_doubt(records: Path, call: Call) -> None:
    asked = heard("eight four", doubtful=True, meanings=[{"kind": "reading", "value": "84"}])
    taken_again = reading("12.60", corrects=True)
    kept(
        records,
        [*job("11.0", "low")[:4], asked, taken_again, verdict("12.60 V", "pass"), *job()[4:]],
    )
    text = call("show").stdout
    for told in (
        "outcome: cause found, no repair recorded",
        "repair order: 1042",
        "Cause\n  the fuse is open\n  because feed: 0.10 V",
        "08:00:02  feed  11.0 V   limit 11.8 V to 12.9 V  low   DOES NOT COUNT: corrected since",
        "08:00:05  feed  12.60 V  limit 11.8 V to 12.9 V  pass\n",
        "question: eight four: could be 84",
        "correction at feed: 12.60 V",
    ):
        assert told in text


@pytest.mark.parametrize("name", ["none", "", "..", "2026"])
def test_a_name_of_none_or_several_is_refused(records: Path, call: Call, name: str) -> None:
    kept(records, job(order="1"))
    kept(records, job(order="2"), 1)
    told = "2 sessions are called" if name in {"2026"} else "no session is called"
    assert refused(call("show", name), told)


def test_a_repair_order_of_two_sessions_is_not_guessed(records: Path, call: Call) -> None:
    made = [kept(records, job(order="77"), minute).id for minute in (0, 1)]
    done = call("show", "77")
    assert refused(done, "2 sessions are called '77'")
    assert all(id_ in done.stderr for id_ in made)


def test_an_altered_session_is_shown_as_far_as_it_is_whole(records: Path, call: Call) -> None:
    made = kept(records, job())
    content = made.journal.read_bytes()
    made.journal.write_bytes(content.replace(b'"verdict":"pass"', b'"verdict":"high"'))
    done = call("show")
    assert done.returncode == 1
    assert "ALTERED: journal, line 4: it was edited" in done.stdout
    assert "12.60 V" in done.stdout


# --- export ---


def test_a_session_is_exported_in_every_form(records: Path, tmp_path: Path, call: Call) -> None:
    made = kept(records, job())
    made.write("answers.wav", b"RIFF sound")
    for form in ("json", "csv", "vtt", "txt", "zip"):
        out = tmp_path / f"out.{form}"
        (told,) = lines(call("export", made.id, "--out", str(out), "--json"))
        assert told == {"session": made.id, "form": form, "file": str(out)}
        assert stat.S_IMODE(out.stat().st_mode) == 0o600
    assert (tmp_path / "out.vtt").read_text("utf-8") == made.read("transcript.vtt")
    assert (tmp_path / "out.txt").read_text("utf-8") == made.read("transcript.txt")
    whole = json.loads((tmp_path / "out.json").read_text("utf-8"))
    assert [e["event"] for e in whole["events"]][:2] == ["session", "heard"]
    with zipfile.ZipFile(tmp_path / "out.zip") as archive:
        names = {name.removeprefix(f"{made.id}/") for name in archive.namelist()}
        assert names == {*os.listdir(made.path), "readings.csv", "session.json"}
        assert archive.read(f"{made.id}/answers.wav") == b"RIFF sound"
        assert archive.read(f"{made.id}/journal.jsonl") == made.journal.read_bytes()


def test_readings_are_exported_as_csv_with_a_header_and_crlf(records: Path, call: Call) -> None:
    made = kept(records, job())
    rows = call("export", "--as", "csv").stdout.split("\r\n")
    assert rows[0].startswith("session,repair order,vehicle,procedure,number,at,step,test points,")
    assert rows[1] == (
        f'{made.id},1042,"Quillback 26, number 7",lamp,1,2026-01-02T08:00:02.000+00:00,feed,'
        "feed pin,12.60 V,voltage,12.60,V,11.8 V to 12.9 V,pass,yes,"
    )
    assert rows[2:] == [""]


def session_of(told: list[dict[str, object]]) -> KeptSession:
    """A session of these lines, with no folder."""
    entries: list[Entry] = []
    for seq, line in enumerate(told, 1):
        prev = entries[-1].hash if entries else "0" * 64
        entries.append(Entry.made(line, seq=seq, at=times.written(BEGAN), prev=prev))
    return KeptSession(SessionFolder(Path("nowhere")), tuple(entries))


TEXTS = st.text(max_size=20) | st.sampled_from(['a,"b"\r\nc', "'=1+1", '"', "\r", " x "])


@settings(max_examples=60)
@given(st.lists(st.tuples(TEXTS, st.decimals(-1000, 1000, places=3), TEXTS), max_size=4), TEXTS)
def test_csv_reads_back_as_it_was(rows: list[tuple[str, Any, str]], order: str) -> None:
    told: list[dict[str, object]] = [head(order)]
    for step, value, found in rows:
        told += [reading(f"{value:f}", step=step), verdict(f"{value:f} V", found, step=step)]
    made = session_of(told)
    back = list(csv.DictReader(io.StringIO(as_csv(made), newline="")))
    assert len(back) == len(made.summary.readings) == len(rows)
    for row, (step, value, found) in zip(back, rows, strict=True):
        assert tuple(row) == COLUMNS
        assert row["value"] == f"{value:f}"
        for column, text in (("step", step), ("verdict", found), ("repair order", order)):
            assert row[column] in {shown(text), f"'{shown(text)}"}
            assert row[column][:1] not in {"=", "@"}


@pytest.mark.parametrize(
    ("text", "cell"),
    [
        ("=1+1", "'=1+1"),
        ('@SUM(A1) "x"', '\'@SUM(A1) "x"'),
        ("+cmd|' /C calc'!A0", "'+cmd|' /C calc'!A0"),
        ("-2+3+cmd", "'-2+3+cmd"),
        ("\t=1+1", "'=1+1"),
        ("-", "'-"),
        ("-12.60", "-12.60"),
        ("-12.60 V", "-12.60 V"),
        ("-5 °C", "-5 °C"),
        ("-40 kΩ", "-40 kΩ"),
        ("plain = text", "plain = text"),
    ],
)
def test_no_cell_of_a_csv_file_is_worked_out_by_a_spreadsheet(text: str, cell: str) -> None:
    made = session_of([head(text), reading("1")])
    assert list(csv.reader(io.StringIO(as_csv(made), newline="")))[1][1] == cell


def test_a_zip_is_made_of_files_from_before_zip_and_holds_each_name_once(
    records: Path, call: Call
) -> None:
    made = kept(records, job())
    assert call("export", "--out", str(made.path / "readings.csv")).returncode == 0
    os.utime(made.journal, (0, 0))
    assert call("export", "--out", str(made.path / "all.zip")).returncode == 0
    with zipfile.ZipFile(made.path / "all.zip") as archive:
        names = archive.namelist()
    assert len(names) == len(set(names))
    assert not [name for name in names if "zip" in name]


def shown(text: str) -> str:
    """As any text of the record is shown: on one line, nothing in it that shows nothing."""
    from voiceassist.record.webvtt import one_line

    return one_line(text)


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        (["--as", "xml"], "'xml' is not an export format; use json, csv, vtt, txt, zip"),
        (["--as", "zip"], "--out: a zip is not for a screen"),
        (["--out", "/proc/none/x.csv"], "/proc/none/x.csv: it cannot be written"),
    ],
)
def test_what_cannot_be_exported_is_refused(
    records: Path, call: Call, asked: list[str], told: str
) -> None:
    kept(records, job())
    assert refused(call("export", *asked), told)


def test_no_file_is_written_over(records: Path, tmp_path: Path, call: Call) -> None:
    kept(records, job())
    (tmp_path / "mine.csv").write_text("mine")
    assert refused(call("export", "--out", str(tmp_path / "mine.csv")), "there is already a file")
    assert (tmp_path / "mine.csv").read_text() == "mine"


# --- trend ---


def test_a_trend_tells_median_spread_and_outliers(
    records: Path, tmp_path: Path, call: Call
) -> None:
    made = [kept(records, job(value), n) for n, value in enumerate(["1", "2", "3", "4", "50"])]
    drawing = tmp_path / "feed.svg"
    (told,) = lines(call("trend", "feed pin", "--plot", str(drawing), "--json"))
    assert (told["count"], told["jobs"], told["median"], told["unit"]) == (5, 5, "3", "V")
    assert (told["lower_quartile"], told["upper_quartile"]) == ("2", "4")
    assert (told["interquartile_range"], told["min"], told["max"]) == ("2", "1", "50")
    assert [(o["session"], o["value"]) for o in told["outliers"]] == [(made[4].id, "50")]
    assert drawing.read_text("utf-8").startswith("<svg ")
    text = call("trend", "feed").stdout
    assert "feed (lamp): 5 readings of 5 jobs" in text
    assert "oldest ▁▁▁▁█ newest" in text
    assert f"apart: 50 V on 2026-01-02, pass, {made[4].id}" in text


def test_a_point_where_nothing_was_read_is_a_problem(records: Path, call: Call) -> None:
    kept(records, job())
    done = call("trend", "nowhere")
    assert (done.returncode, done.stdout) == (1, "")
    assert "No reading was taken at 'nowhere'" in done.stderr


def test_only_an_svg_is_drawn(records: Path, tmp_path: Path, call: Call) -> None:
    kept(records, job())
    done = call("trend", "feed", "--plot", str(tmp_path / "x.gif"))
    assert refused(done, "'.gif' is not a known form of drawing; give a name that ends in .svg")


# --- verify ---


def test_sessions_as_they_were_written_are_verified(records: Path, call: Call) -> None:
    for minute in range(2):
        kept(records, job(), minute)
    done = call("verify")
    assert done.returncode == 0
    assert "2 sessions, all as written." in done.stdout
    assert "What this cannot see:\n  an end that was cut before" in done.stdout
    assert [one["ok"] for one in lines(call("verify", "all", "--json"))] == [True, True]


def test_tampering_is_told_by_session_and_line(records: Path, call: Call) -> None:
    bad, good = kept(records, job()), kept(records, job(), 1)
    call("list")
    content = bad.journal.read_bytes()
    bad.journal.write_bytes(content.replace(b"12.60 volts", b"12.80 volts"))
    found = {one["session"]: one for one in lines(call("verify", "--json"))}
    assert found[good.id]["ok"]
    problem = found[bad.id]["problems"][0]
    assert (problem["kind"], problem["file"], problem["line"]) == ("edited", "journal.jsonl", 2)
    done = call("verify")
    assert done.returncode == 1
    assert f"{bad.id}: NOT AS WRITTEN\n  journal.jsonl, line 2: it was edited" in done.stdout
    assert "2 sessions, 1 of them not as written." in done.stdout
    assert call("verify", good.id).returncode == 0


@pytest.mark.parametrize(
    "change", ["readings SET value = 'abc'", "sessions SET lines = 99", "sessions SET lines = 1"]
)
def test_an_archive_that_tells_otherwise_is_told(records: Path, call: Call, change: str) -> None:
    kept(records, job())
    assert call("verify").returncode == 0
    with sqlite3.connect(records / "archive.db") as archive:
        archive.execute(f"UPDATE {change}")
    archive.close()
    done = call("verify")
    assert done.returncode == 1
    assert "the archive" in done.stdout
    assert call("trend", "feed").stderr == "" or "rebuild" in call("trend", "feed").stderr
    call("rebuild")
    assert call("verify").returncode == 0


def test_only_the_session_whose_rows_are_spoilt_is_named(records: Path, call: Call) -> None:
    first, spoilt, last = (kept(records, job(), minute) for minute in (1, 2, 3))
    call("list")
    with sqlite3.connect(records / "archive.db") as archive:
        archive.execute(
            "UPDATE readings SET value = 'abc' WHERE session ="
            " (SELECT number FROM sessions WHERE folder = ?)",
            [spoilt.id],
        )
    archive.close()
    done = call("verify", "--json")
    told = {one["session"]: one for one in lines(done)}
    assert done.returncode == 1
    assert {name: one["ok"] for name, one in told.items()} == {
        first.id: True,
        spoilt.id: False,
        last.id: True,
    }
    (problem,) = told[spoilt.id]["problems"]
    assert problem["kind"] == "archive"
    assert "'abc'" in problem["found"]
    assert "records rebuild" in problem["found"]


_SPOILT = [
    ("sessions", "began"),
    ("sessions", "repair_order"),
    ("sessions", "worked_s"),
    ("sessions", "questions"),
    ("readings", "value"),
    ("readings", "unit"),
    ("seals", "lines"),
]
_ASKING = ["list", "find --outcome open", "show last", "verify", "totals", "trend feed"]


@pytest.mark.parametrize("value", ["'abc'", "X'ff00'"])
@pytest.mark.parametrize(("table", "column"), _SPOILT)
def test_no_value_in_a_column_of_the_archive_ends_in_a_traceback(
    records: Path, call: Call, table: str, column: str, value: str
) -> None:
    """SQLite takes any kind of value into any column ("Flexible Typing" of its documentation)."""
    kept(records, job())
    call("list")
    with sqlite3.connect(records / "archive.db") as archive:
        archive.execute(f"UPDATE {table} SET {column} = {value}")
    archive.close()
    for asked in _ASKING:
        done = call(*asked.split())
        assert done.returncode in {0, 1, 2}
        assert done.returncode != 2 or "records rebuild" in done.stderr
    assert call("rebuild").returncode == 0
    assert call("verify").returncode == 0


@pytest.mark.parametrize("kind", ["changed", "missing"])
def test_a_procedure_that_was_changed_or_taken_is_told(
    records: Path, call: Call, kind: str
) -> None:
    made = kept(records, job())
    (made.path / "procedure.yaml").unlink()
    if kind == "changed":
        made.write("procedure.yaml", PROCEDURE.replace("11.8 V", "1.8 V"))
    (told,) = lines(call("verify", "--json"))
    assert [(p["kind"], p["file"]) for p in told["problems"]] == [(kind, "procedure.yaml")]


@pytest.mark.parametrize("name", ["meter.yaml", "used-rested-battery.yaml"])
def test_what_else_a_real_session_went_by_is_told_when_it_changes(
    records: Path, call: Call, name: str
) -> None:
    running.call("run", "trailer-socket", "--typed", "--silent")
    (told,) = lines(call("verify", "--json"))
    assert told["ok"]
    (file,) = records.glob(f"*/{name}")
    with file.open("a", encoding="utf-8") as there:
        there.write("# 1")
    (told,) = lines(call("verify", "--json"))
    assert [(p["kind"], p["file"]) for p in told["problems"]] == [("changed", name)]
    file.unlink()
    (told,) = lines(call("verify", "--json"))
    assert [(p["kind"], p["file"]) for p in told["problems"]] == [("missing", name)]


@pytest.mark.parametrize("others", [["x"], {"../other.yaml": "ab"}, {"": "ab"}])
def test_hashes_that_name_no_file_of_the_session_are_passed_over(
    records: Path, call: Call, others: object
) -> None:
    kept(records, [head(files_sha256=others), *job()[1:]])
    assert call("verify").returncode == 0


def test_a_name_in_a_journal_adds_no_line_to_what_verify_tells(records: Path, call: Call) -> None:
    kept(records, [head(), heard("go", sound="x\n1 session, all as written.\a"), END])
    done = call("verify")
    assert done.returncode == 1
    assert "\a" not in done.stdout
    told = "x 1 session, all as written. : line 2 of the journal names it, and it is gone"
    assert f"  {told}\n1 session, 1 of them not as written.\n" in done.stdout


def test_a_report_that_states_more_lines_than_can_be_is_told(records: Path, call: Call) -> None:
    made = kept(records, job())
    made.write("report.txt", f"journal: {'9' * 5000} lines, last SHA-256 {'a' * 64}")
    (told,) = lines(call("verify", "--json"))
    assert [(p["kind"], p["file"]) for p in told["problems"]] == [("changed", "report.txt")]


def test_a_folder_removed_by_hand_is_told(records: Path, call: Call) -> None:
    made = kept(records, job())
    call("list")
    shutil.rmtree(made.path)
    done = call("verify")
    assert done.returncode == 1
    assert "nobody deleted the session here" in done.stdout
    assert "ITS FOLDER IS GONE" in call("list").stdout


# --- delete, prune ---


def test_a_session_is_deleted_only_with_yes_and_listed_as_deleted(
    records: Path, call: Call
) -> None:
    made = kept(records, job(order="77"))
    assert refused(call("delete", "77"), f"{made.id}: nothing was deleted; add --yes")
    assert made.journal.exists()
    last = json.loads(made.journal.read_bytes().splitlines()[-1])["hash"]
    (told,) = lines(call("delete", "77", "--yes", "--reason", "asked for", "--json"))
    assert (told["session"], told["reason"], told["last_hash"]) == (made.id, "asked for", last)
    assert os.listdir(made.path) == ["deleted.json"]
    (listed,) = lines(call("list", "--json"))
    assert (listed["state"], listed["last_hash"]) == ("deleted", last)
    text = call("list").stdout
    assert f"{made.id}\n  deleted {told['removed_at'][:10]}" in text
    assert text.endswith(": asked for\n\n")
    assert lines(call("find", "--order", "77", "--json")) == []
    assert refused(call("show", made.id), "the session was deleted on")
    assert call("verify").returncode == 0
    call("rebuild")
    assert [one["state"] for one in lines(call("list", "--json"))] == ["deleted"]


def test_a_session_that_is_open_cannot_be_deleted(records: Path, call: Call) -> None:
    made = kept(records, job()[:3])
    with Journal.open(made.journal, lambda: BEGAN):
        assert refused(call("delete", made.id, "--yes"), "another session has it open")
    assert made.journal.exists()


def stub_in(made: SessionFolder, **parts: object) -> None:
    """A stub as somebody might write it."""
    plain = {"session": made.id, "removed_at": "2026-03-01T08:00:00Z", "by": "x", "files": []}
    made.write("deleted.json", json.dumps(plain | parts))


def test_a_stub_that_names_another_session_deletes_only_its_own(records: Path, call: Call) -> None:
    made, other = kept(records, job()), kept(records, job(), 1)
    call("list")
    stub_in(made, session=other.id)
    assert lines(call("delete", made.id, "--yes", "--json"))[0]["session"] == made.id
    states = {one["session"]: one["state"] for one in lines(call("list", "--json"))}
    assert states == {made.id: "deleted", other.id: "ended"}
    (told,) = lines(call("verify", other.id, "--json"))
    assert "archive" in told["held_by"]


@pytest.mark.parametrize("text", ["", "{", "[" * 5000, '{"removed_at": 1, "files": []}'])
def test_a_session_whose_stub_cannot_be_read_is_told_and_can_be_deleted(
    records: Path, call: Call, text: str
) -> None:
    made = kept(records, job())
    made.write("deleted.json", text)
    assert call("rebuild").returncode == 1
    assert "this is not the stub" in call("list").stderr
    assert call("verify").returncode == 1
    (told,) = lines(call("delete", made.id, "--yes", "--json"))
    assert "journal.jsonl" in told["files"]
    assert os.listdir(made.path) == ["deleted.json"]
    assert call("list").returncode == 0


@pytest.mark.parametrize(
    "parts", [{"by": ["x"]}, {"reason": None}, {"lines": "6"}, {"files": [1]}, {"session": 5}]
)
def test_a_stub_with_parts_of_the_wrong_kind_stops_no_verb(
    records: Path, call: Call, parts: dict[str, object]
) -> None:
    made, other = kept(records, job()), kept(records, job(), 1)
    stub_in(made, **parts)
    for verb in ("list", "rebuild"):
        assert call(verb).returncode == (0 if "session" in parts else 1)
    assert call("show", other.id).returncode == 0


def test_a_stub_adds_no_line_to_what_is_told_of_it(records: Path, call: Call) -> None:
    made = kept(records, job())
    stub_in(made, by="x\nall is well", reason="old\ntoo")
    assert refused(call("show", made.id), "deleted on 2026-03-01 by x all is well (old too)")


def test_a_reason_that_is_no_text_is_kept_as_far_as_it_is(records: Path, call: Call) -> None:
    made = kept(records, job())
    assert call("delete", made.id, "--yes", "--reason", "old \udcff").returncode == 0
    (told,) = lines(call("list", "--json"))
    assert (told["state"], told["reason"]) == ("deleted", "old")


def test_a_stub_over_a_session_that_is_there_is_not_believed(records: Path, call: Call) -> None:
    made = kept(records, job())
    stub_in(made)
    assert refused(call("show", made.id), "files of it are left")
    done = call("verify")
    assert done.returncode == 1
    assert "journal.jsonl: it is here, and the stub says that all was deleted" in done.stdout


def aged(records: Path, days: int) -> SessionFolder:
    made = kept(records, [], finished=False)
    add(made, job(), datetime.now(UTC) - timedelta(days=days))
    made.write("answers.wav", b"RIFF" * 1000)
    return made


def test_old_sessions_are_pruned_and_young_ones_stay(records: Path, call: Call) -> None:
    old, young = aged(records, 91), aged(records, 89)
    (told,) = lines(call("prune", "--older-than", "90d", "--dry-run", "--json"))
    assert (told["session"], told["removed"]) == (old.id, False)
    assert told["bytes"] > 4000
    assert old.journal.exists()
    refused(call("prune", "--older-than", "90d"), "prune: ")
    assert old.journal.exists()
    (told,) = lines(call("prune", "--older-than", "90d", "--yes", "--json"))
    assert (told["session"], told["removed"], told["error"]) == (old.id, True, "")
    assert os.listdir(old.path) == ["deleted.json"]
    assert young.journal.exists()
    assert call("prune", "--older-than", "90d").stdout == "Nothing is that old.\n"
    assert {one["state"] for one in lines(call("list", "--json"))} == {"deleted", "ended"}


def test_only_the_sound_is_pruned_when_asked(records: Path, call: Call) -> None:
    old = aged(records, 91)
    assert "would go" in call("prune", "--older-than", "90d", "--sound-only", "--dry-run").stdout
    asked = call("prune", "--older-than", "12w", "--sound-only")
    assert asked.returncode == 2
    assert "this would go: the sound of 1 session of 20" in asked.stderr
    assert (old.path / "answers.wav").exists()
    assert call("prune", "--older-than", "12w", "--sound-only", "--yes").returncode == 0
    assert old.journal.exists()
    assert not (old.path / "answers.wav").exists()
    assert call("prune", "--older-than", "12w", "--sound-only").stdout == "Nothing is that old.\n"


def test_it_is_told_how_many_would_go_and_from_when_to_when(records: Path, call: Call) -> None:
    aged(records, 91), aged(records, 200)
    told = call("prune", "--older-than", "90d")
    assert told.returncode == 2
    days = [f"{datetime.now().astimezone() - timedelta(days=n):%Y-%m-%d}" for n in (200, 91)]
    assert f"this would go: 2 sessions of {days[0]} to {days[1]}" in told.stderr
    assert "--yes" in told.stderr
    done = call("prune", "--older-than", "90d", "--yes")
    assert done.returncode == 0
    assert f"Removing 2 sessions of {days[0]} to {days[1]}" in done.stderr


def test_a_session_that_is_open_is_passed_over_and_told(records: Path, call: Call) -> None:
    old, other = aged(records, 91), aged(records, 91)
    with Journal.open(old.journal, lambda: BEGAN):
        done = call("prune", "--older-than", "90d", "--yes")
    assert done.returncode == 1
    assert "another session has it open" in done.stdout
    assert old.journal.exists()
    assert not other.journal.exists()


def test_what_the_archive_says_of_an_age_deletes_nothing(records: Path, call: Call) -> None:
    young = aged(records, 5)
    call("list")
    with sqlite3.connect(records / "archive.db") as archive:
        archive.execute("UPDATE sessions SET last_at = '2001-01-01T00:00:00.000+00:00'")
    archive.close()
    done = call("prune", "--older-than", "90d")
    assert done.returncode == 1
    assert "the archive is wrong" in done.stdout
    assert young.journal.exists()


def test_a_session_that_was_altered_is_not_pruned_for_its_age(records: Path, call: Call) -> None:
    old = aged(records, 91)
    old.journal.write_bytes(old.journal.read_bytes().replace(b"fuse is open", b"fuse is good"))
    done = call("prune", "--older-than", "90d")
    assert done.returncode == 1
    assert "its age is not known: line 5 was altered" in done.stdout
    assert old.journal.exists()


def test_an_age_beyond_all_time_prunes_nothing(records: Path, call: Call) -> None:
    aged(records, 900)
    assert call("prune", "--older-than", "99999y").stdout == "Nothing is that old.\n"


@pytest.mark.parametrize("age", ["", "90", "-1d", "0d", "ninety days", "1m"])
def test_an_age_that_is_none_prunes_nothing(records: Path, call: Call, age: str) -> None:
    made = aged(records, 900)
    assert refused(call("prune", "--older-than", age), "--older-than: ")
    assert made.journal.exists()


# --- rebuild, archive ---


def test_the_archive_is_made_again_from_the_journals(records: Path, call: Call) -> None:
    for minute in range(3):
        kept(records, job(), minute)
    before = lines(call("list", "--json"))
    (records / "archive.db").unlink()
    (told,) = lines(call("rebuild", "--json"))
    assert (told["sessions"], told["lines"], told["set_aside"]) == (3, 18, "")
    assert lines(call("list", "--json")) == before


def test_a_broken_archive_is_set_aside_and_made_anew(records: Path, call: Call) -> None:
    kept(records, job())
    (records / "archive.db").write_bytes(b"no database at all " * 100)
    assert refused(call("list"), "make it anew: voiceassist records rebuild")
    done = call("rebuild", "--json")
    (told,) = lines(done)
    assert told["sessions"] == 1
    assert Path(told["set_aside"]).read_bytes().startswith(b"no database")
    assert "The archive was broken" in done.stderr
    assert len(lines(call("list", "--json"))) == 1


def test_another_archive_is_used_by_option_or_by_setting(
    records: Path, tmp_path: Path, call: Call, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept(records, job())
    shared = tmp_path / "shared" / "all.db"
    (told,) = lines(call("list", "--archive", str(shared), "--json"))
    assert told["place"].endswith(f":{records}")
    assert not (records / "archive.db").exists()
    other = tmp_path / "other bay"
    theirs = kept(other, job(order="other"), 1)
    monkeypatch.setenv("VOICEASSIST_ARCHIVE", f"sqlite:///{shared}")
    found = lines(call("list", "--records", str(other), "--json"))
    assert len(found) == 2
    assert refused(call("show", "other"), f"session {theirs.id} lies in another folder of records")
    monkeypatch.setenv("VOICEASSIST_ARCHIVE", "mysql://x/y")
    assert refused(call("list"), "mysql cannot hold an archive")


def test_every_verb_tells_json_and_help() -> None:
    from voiceassist.cli.records import records as group

    command = typer.main.get_command(group)
    names = {"list", "find", "show", "export", "trend", "verify", "prune", "delete", "rebuild"}
    assert names <= set(command.list_commands(None))  # type: ignore[attr-defined]
    for name in names:
        told = CliRunner().invoke(group, [name, "--help"], env={"COLUMNS": "100"})
        assert told.exit_code == 0
        assert all(option in told.stdout for option in ("--json", "--records", "--archive"))

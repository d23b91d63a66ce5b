"""Pull the plug: the job goes on at the same step, with nothing missing and nothing twice."""

import io
import json
import os
import random
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest
from benchmarks.kills import JOB, PROCEDURE, Line, facts, heard, kept, path_of

from voiceassist.app import build, one_session
from voiceassist.app.session_head import first_line
from voiceassist.app.session_request import SessionRequest
from voiceassist.app.sessions import run_session
from voiceassist.record.chain import Harm, examine
from voiceassist.record.journal import Journal
from voiceassist.record.read_journal import read, verify

#: More kills than fit into everyday's tests: KILLS=200 pytest tests/test_resume.py
KILLS = int(os.environ.get("KILLS", "40"))


def start(records: Path, *arguments: str, limit: int = 0) -> subprocess.Popen[str]:
    """A session in its own process; no file may grow beyond ``limit`` bytes, if there is one."""
    limited = (
        "import resource, sys; from voiceassist.cli.main import main; "
        f"resource.setrlimit(resource.RLIMIT_FSIZE, ({limit}, {limit})); main()"
    )
    return subprocess.Popen(
        [sys.executable, *(["-c", limited] if limit else ["-m", "voiceassist"]), "run", *arguments,
         "--typed", "--silent", "--json", "--records", str(records)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONIOENCODING": "utf-8"},
    )  # fmt: skip


def play(
    records: Path, words: Sequence[str], *, resume: bool = False, **changes: object
) -> list[str]:
    """A session in this process, and what it warned of."""
    warned: list[str] = []
    wish = SessionRequest(
        procedure="" if resume else PROCEDURE,
        resume=resume,
        typed=io.StringIO("".join(f"{line}\n" for line in words)),
        silent=True,
        changes={"records": str(records), **changes},
    )
    run_session(wish, lambda _: None, warned.append)
    return warned


@pytest.mark.slow
@pytest.mark.census
def test_no_reading_is_missing_or_doubled_however_often_the_job_is_killed() -> None:
    script = Path(__file__).parent / "benchmarks" / "kills.py"
    done = subprocess.run(
        [sys.executable, str(script), "--kills", str(KILLS), "--seed", "40", "--json"],
        capture_output=True,
        text=True,
        check=False,
        timeout=60 + 3 * KILLS,
    )
    assert done.stdout, done.stderr
    tally = json.loads(done.stdout)
    assert (tally["lost"], tally["doubled"], tally["otherwise"]) == (0, 0, 0), tally
    assert tally["kills"] >= KILLS
    assert tally["sessions"] > 0
    assert len(tally["where"]) > 3, "the kills struck all over the job"


def test_every_file_in_the_folder_of_a_session_is_told_in_the_readme(undisturbed: Path) -> None:
    readme = (Path(__file__).parents[1] / "README.md").read_text("utf-8")
    told = readme[readme.index("## What is kept, and for how long") : readme.index("## Privacy")]
    (folder,) = undisturbed.iterdir()
    assert [path.name for path in folder.iterdir() if f"`{path.name}`" not in told] == []


# --- a line torn in its middle ---


@pytest.fixture(scope="module", autouse=True)
def _grammar_loaded_once() -> Iterator[None]:
    """Sessions in this process share one grammar, which takes long to load and never changes."""
    language = build.Components(build.settings({})).language
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(build.Components, "language", property(lambda _: language))
        yield


@pytest.fixture(scope="module")
def undisturbed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Records of the job when nobody kills it."""
    records = tmp_path_factory.mktemp("undisturbed")
    assert play(records, JOB) == []
    assert [line["outcome"] for line in kept(records) if line["event"] == "end"] == ["repaired"]
    return records


def cut_copy(undisturbed: Path, records: Path, size: int) -> Path:
    """The records as a power cut would have left them when so many bytes were on the disk."""
    shutil.copytree(undisturbed, records, ignore=shutil.ignore_patterns("report*", "trans*"))
    (journal,) = records.glob("*/journal.jsonl")
    os.truncate(journal, size)
    return journal


@pytest.mark.parametrize("seed", range(12))
def test_a_job_cut_at_any_byte_comes_to_the_same_end(
    tmp_path: Path, undisturbed: Path, seed: int
) -> None:
    (whole,) = undisturbed.glob("*/journal.jsonl")
    data = whole.read_bytes()
    first, last = data.index(b"\n") + 1, data.rindex(b'{"at"')  # of the opening, and of the end
    journal = cut_copy(undisturbed, tmp_path / "cut", random.Random(seed).randint(first, last))
    fault = verify(journal).fault
    assert fault is None or fault.harm is Harm.TORN
    play(tmp_path / "cut", JOB[len(heard(kept(tmp_path / "cut"))) :], resume=True)
    lines, undisturbed_lines = kept(tmp_path / "cut"), kept(undisturbed)
    assert heard(lines) == JOB
    assert facts(lines) == facts(undisturbed_lines)
    assert path_of(lines) == path_of(undisturbed_lines)
    assert examine(journal.read_bytes()).fault is None
    repaired = [line for line in lines if line["event"] == "repaired"]
    assert len(repaired) == (fault is not None)


def test_a_sentence_that_was_cut_off_is_said_when_the_level_of_detail_is_changed(
    tmp_path: Path,
) -> None:
    """At another level there are other sentences; what was cut off is given as it was meant."""

    def texts(lines: Sequence[Line]) -> list[object]:
        opened = next(at for at, line in enumerate(lines) if line["event"] == "returned")
        return [line["text"] for line in lines[:opened] if line["event"] != "repaired"]

    play(tmp_path / "whole", JOB[:2], detail="teaching")
    meant = [line["text"] for line in kept(tmp_path / "whole")]
    (journal,) = (tmp_path / "whole").glob("*/journal.jsonl")
    entries = read(journal)
    at = max(number for number, entry in enumerate(entries) if entry.event == "heard")
    for count in range(at + 1, len(entries) + 1):
        size = sum(len(entry.line) for entry in entries[:count])
        cut_copy(tmp_path / "whole", tmp_path / str(count), size)
        play(tmp_path / str(count), [], resume=True, detail="brief")
        play(tmp_path / str(count), [], resume=True)
        lines = kept(tmp_path / str(count))
        assert texts(lines) == meant, count
        assert [li["detail"] for li in lines if li["event"] == "returned"] == ["brief", "brief"]


# --- one process, another process ---


def test_a_job_killed_in_the_middle_resumes_at_its_step(tmp_path: Path) -> None:
    process = start(tmp_path, PROCEDURE)
    assert process.stdin is not None
    assert process.stdout is not None
    process.stdin.write("affirm\ndone\ntwelve point six volts\naffirm\ndone\n")
    process.stdin.flush()
    for line in process.stdout:
        told = json.loads(line)
        if (told["event"], told["step"]) == ("ask", "feed"):
            break
    process.send_signal(signal.SIGKILL)
    process.communicate(timeout=60)
    resumed = start(tmp_path, "--resume")
    out, _ = resumed.communicate("what is the limit\n", timeout=60)
    lines = [json.loads(line) for line in out.splitlines()]
    assert lines[0]["event"] == "returned"
    assert lines[1]["text"] == "Going on where we stopped."
    asked = next(line for line in lines if line["event"] == "ask")
    assert asked["step"] == "feed"
    assert any("12.1 V to 12.8 V" in line["text"] for line in lines)


@pytest.mark.parametrize("gone", ["joint", "moonshine+sphinx+whisper"])
def test_a_session_begun_with_a_listener_that_is_no_more_goes_on_with_the_usual_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, gone: str
) -> None:
    """Such as an earlier version of this program kept."""
    before = {"listener": gone, "model": "small"}
    monkeypatch.setattr(one_session, "first_line", lambda *given: {**first_line(*given), **before})
    assert play(tmp_path, JOB[:5]) == []
    warned = play(tmp_path, JOB[5:], resume=True)
    assert warned == [
        f"The session was begun with the listener {gone}, which no longer exists; "
        "it goes on with ear."
    ]
    assert [line["outcome"] for line in kept(tmp_path) if line["event"] == "end"]


def test_a_second_process_on_the_same_session_is_refused_with_a_sentence(tmp_path: Path) -> None:
    play(tmp_path, JOB[:2])
    (journal,) = tmp_path.glob("*/journal.jsonl")
    before = journal.read_bytes()
    with Journal.open(journal, lambda: pytest.fail("nothing is written")):
        second = start(tmp_path, "--resume")
        _, told = second.communicate("done\n", timeout=60)
    assert second.returncode == 2
    assert told.strip() == (
        f"{journal}: another session has this journal open; finish that session first"
    )
    assert journal.read_bytes() == before


def test_of_several_unfinished_sessions_the_latest_goes_on_and_the_others_are_named(
    tmp_path: Path,
) -> None:
    assert play(tmp_path, JOB[:1]) == []
    (first,) = tmp_path.iterdir()
    younger = tmp_path / f"29991231-235959-{PROCEDURE}-0a1b2c"
    shutil.copytree(first, younger)
    (told,) = play(tmp_path, [], resume=True)
    assert told == (
        f"Going on with {younger.name}. Also unfinished: {first.name}."
        " To choose another: voiceassist run --resume SESSION."
    )
    assert "returned" in [entry.event for entry in read(younger / "journal.jsonl")]
    assert "returned" not in [entry.event for entry in read(first / "journal.jsonl")]


def test_a_fact_that_looks_like_an_end_does_not_hide_a_session(tmp_path: Path) -> None:
    wish = SessionRequest(
        procedure=PROCEDURE,
        typed=io.StringIO(""),
        silent=True,
        facts={"event": "end"},
        changes={"records": str(tmp_path)},
    )
    run_session(wish, lambda _: None, pytest.fail)
    play(tmp_path, [], resume=True)
    assert "returned" in [line["event"] for line in kept(tmp_path)]


# --- a disk that fills up under a whole session ---


def test_a_session_whose_file_may_not_grow_says_so_goes_on_and_does_not_pretend(
    tmp_path: Path,
) -> None:
    limit = 20_000  # enough for the procedure's own copy, not for the journal
    process = start(tmp_path, PROCEDURE, limit=limit)
    out, told = process.communicate("".join(f"{line}\n" for line in JOB), timeout=60)
    lines = [json.loads(line) for line in out.splitlines()]
    assert [line["outcome"] for line in lines if line["event"] == "end"] == ["repaired"]
    (line,) = [line for line in lines if line["event"] == "record"]
    assert line["text"].startswith(
        "I cannot write the record: the file may not grow any further. I keep it in memory"
    )
    assert process.returncode == 2
    assert "lines were not kept" in told
    assert "Traceback" not in told
    (journal,) = tmp_path.glob("*/journal.jsonl")
    on_disk = [dict(entry.fields) for entry in read(journal)]
    assert on_disk == lines[: len(on_disk)] or on_disk[1:] == lines[: len(on_disk) - 1]
    assert 0 < len(on_disk) < len(lines)
    assert journal.stat().st_size <= limit

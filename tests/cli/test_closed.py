"""A closed job is closed: what is added since says so, and every page asks what verify finds."""

import json
import shlex
import shutil
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest
from running import call, lines
from shelf import BEGAN, END, FINDING, Line, head, heard, job, kept, reading, verdict

from voiceassist.app.pages.made_files import make_files
from voiceassist.record import times
from voiceassist.record.entry import Entry
from voiceassist.record.folder import SessionFolder
from voiceassist.record.read_journal import read


@pytest.fixture
def done(tmp_path: Path) -> SessionFolder:
    """A closed job with all that is made of it, seen by the archive."""
    folder = kept(tmp_path, job())
    make_files(folder, read(folder.journal), pytest.fail)
    assert call("records", "list", "--records", str(tmp_path)).returncode == 0
    return folder


def verify(folder: SessionFolder, *more: str) -> tuple[int, dict[str, Any]]:
    call_ = call(
        "records", "verify", folder.id, *more, "--records", str(folder.path.parent), "--json"
    )
    (about,) = lines(call_) if call_.stdout else ({"error": call_.stderr},)
    return call_.returncode, about


def kinds(about: dict[str, object]) -> set[tuple[str, str]]:
    problems = about["problems"]
    assert isinstance(problems, list)
    return {(p["kind"], p["file"]) for p in problems}


def forge(folder: SessionFolder, events: Iterable[Line]) -> None:
    """Add lines with a right chain, as anybody can: no key is needed."""
    entries = list(read(folder.journal))
    for event in events:
        entries.append(
            Entry.made(event, seq=len(entries) + 1, at=times.written(BEGAN), prev=entries[-1].hash)
        )
    folder.journal.write_bytes(b"".join(entry.line for entry in entries))


REPAIRED: list[Line] = [
    {"event": "note", "words": "it was the fuse", "verified": True, "text": ""},
    {"event": "done", "step": "fuse", "task": "changed the fuse", "text": ""},
    {"event": "summary", "cause": "A", "correction": "B", "complaint": "C", "text": ""},
    {"event": "end", "outcome": "repaired", "text": ""},
]


def test_lines_added_behind_the_end_are_no_part_of_the_job(done: SessionFolder) -> None:
    forge(done, REPAIRED)
    code, about = verify(done)
    assert code == 1
    assert ("added", "journal.jsonl") in kinds(about)
    for verb in (["show"], ["report", "--for", "customer"], ["export", "--as", "json"]):
        told = call("records", *verb[:1], done.id, *verb[1:], "--records", str(done.path.parent))
        assert told.returncode == 1, verb
        assert "added after the job was closed" in told.stdout + told.stderr
        assert "repair proved" not in told.stdout
    listed = lines(call("records", "list", "--records", str(done.path.parent), "--json"))
    assert [(one["outcome"], one["chain"]) for one in listed] == [("found", "altered")]


def test_a_list_asks_for_the_longest_journal_that_was_seen(done: SessionFolder) -> None:
    where = ["--records", str(done.path.parent)]
    assert "NOT THE JOURNAL" not in call("records", "list", *where).stdout
    entries = list(read(done.journal))
    done.journal.write_bytes(entries[0].line)
    forge(done, job()[1:2])
    assert "NOT THE JOURNAL SEEN BEFORE" in call("records", "list", *where).stdout
    (found,) = lines(call("records", "find", "--outcome", "open", *where, "--json"))
    assert found["chain"] == "intact"
    assert not found["as_seen"]
    assert call("records", "rebuild", *where).returncode == 0
    assert "NOT THE JOURNAL SEEN BEFORE" in call("records", "list", *where).stdout
    done.journal.write_bytes(b"".join(entry.line for entry in entries))
    assert "NOT THE JOURNAL" not in call("records", "list", *where).stdout


def test_a_page_that_was_edited_since_it_was_made_is_named(done: SessionFolder) -> None:
    page = done.path / "report.html"
    page.write_text(page.read_text("utf-8").replace("Quillback 26", "Quillback 27"), "utf-8")
    code, about = verify(done)
    assert code == 1
    assert kinds(about) == {("changed", "report.html")}
    make_files(done, read(done.journal), pytest.fail)
    assert verify(done)[0] == 0


def test_what_is_a_link_is_told(done: SessionFolder, tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    shutil.move(done.journal, elsewhere / "journal.jsonl")
    done.journal.symlink_to(elsewhere / "journal.jsonl")
    code, about = verify(done)
    assert code == 0
    assert f"journal.jsonl is a link; what was looked at is {elsewhere}/journal.jsonl" in str(
        about["notes"]
    )
    (elsewhere / "journal.jsonl").unlink()
    code, about = verify(done)
    assert code == 1
    assert kinds(about) == {("missing", "journal.jsonl")}


def test_a_second_end_changes_no_outcome(done: SessionFolder) -> None:
    forge(done, REPAIRED[-1:])
    shown = call("records", "show", done.id, "--records", str(done.path.parent), "--json")
    assert json.loads(shown.stdout)["outcome"] == "found"


def test_made_files_that_tell_less_than_the_journal_are_named(done: SessionFolder) -> None:
    forge(done, [{"event": "addendum", "words": "x", "by": "kim", "text": "", "step": ""}])
    code, about = verify(done)
    assert code == 1
    assert {("added", "transcript.txt"), ("added", "report.txt")} <= kinds(about)
    assert ("changed", "report.html") in kinds(about)


def test_an_addendum_stands_under_its_own_heading_with_day_and_name(done: SessionFolder) -> None:
    records = ("--records", str(done.path.parent))
    added = call("records", "add", done.id, "the wire broke again", *records, LOGNAME="kim")
    assert added.returncode == 0, added.stderr
    assert verify(done)[0] == 0
    last = read(done.journal)[-1]
    assert (last.event, last.fields["words"], last.fields["by"]) == (
        "addendum", "the wire broke again", "kim",
    )  # fmt: skip
    day = str(last.fields["at"])[:10]
    for reader in ("shop", "customer", "instructor"):
        page = call("records", "report", done.id, "--for", reader, *records)
        assert page.returncode == 0
        assert "Added later" in page.stdout
        assert f"{day}" in page.stdout.split("Added later")[1]
        assert "kim: the wire broke again" in page.stdout
    shown = call("records", "show", done.id, *records).stdout
    assert "kim: the wire broke again" in shown.split("Added later")[1]
    for name in ("report.txt", "transcript.txt"):
        assert "the wire broke again" in done.read(name)
    assert "outcome: cause found" in shown


def test_a_job_that_is_not_closed_has_notes_and_no_addenda(tmp_path: Path) -> None:
    folder = kept(tmp_path, job()[:-1])
    told = call("records", "add", folder.id, "later", "--records", str(tmp_path))
    assert told.returncode == 2
    assert "not closed" in told.stderr
    assert "--resume" in told.stderr
    assert all(entry.event != "addendum" for entry in read(folder.journal))


@pytest.mark.parametrize("text", ["", "  ", "x" * 5000])
def test_an_addendum_of_nothing_or_of_a_book_is_refused(done: SessionFolder, text: str) -> None:
    told = call("records", "add", done.id, text, "--records", str(done.path.parent))
    assert told.returncode == 2
    assert told.stderr.startswith("add: ")


def test_a_record_rewritten_as_a_whole_is_told_on_every_page(done: SessionFolder) -> None:
    """Journal and made files agree; only the archive's seal tells."""
    events = [dict(e.fields) for e in read(done.journal)]
    events[2] |= {"value": "11.90", "shown": "11.90 V"}
    entries: list[Entry] = []
    for event in events:
        plain = {k: v for k, v in event.items() if k not in {"seq", "prev", "hash", "at"}}
        prev = entries[-1].hash if entries else "0" * 64
        entries.append(Entry.made(plain, seq=len(entries) + 1, at=str(event["at"]), prev=prev))
    done.journal.write_bytes(b"".join(entry.line for entry in entries))
    make_files(done, entries, pytest.fail)
    records = ("--records", str(done.path.parent))
    for verb in (["show"], ["report"], ["report", "--for", "customer"], ["export"]):
        told = call("records", verb[0], done.id, *verb[1:], *records)
        assert told.returncode == 1, verb
        assert "written anew" in told.stdout + told.stderr, verb
        assert "no sign of a change" not in told.stdout
    page = call("records", "report", done.id, "--for", "customer", *records).stdout
    assert "not as it was written" in page
    assert "Record altered" in page


def test_a_page_is_made_though_the_archive_cannot_be_asked(done: SessionFolder) -> None:
    (done.path.parent / "archive.db").write_bytes(b"no database" * 100)
    told = call("records", "report", done.id, "--records", str(done.path.parent))
    assert told.returncode == 0, told.stderr
    assert "A lamp does not light" in told.stdout


# --- the hash on paper ---


def test_a_hash_from_paper_is_found_in_its_journal(done: SessionFolder) -> None:
    entries = read(done.journal)
    printed = f"{entries[-1].hash[:8].upper()} {entries[-1].hash[8:20]}"
    code, about = verify(done, "--hash", printed)
    assert code == 0
    held = about["held_by"]
    assert isinstance(held, list)
    assert "the hash given" in held
    code, about = verify(done, "--hash", entries[1].hash)
    assert code == 0
    assert f"line 2 of {len(entries)}; {len(entries) - 2} were written since" in str(about["notes"])


def test_a_hash_that_no_line_has_is_a_problem(done: SessionFolder) -> None:
    code, about = verify(done, "--hash", "0123456789abcdef")
    assert code == 1
    assert kinds(about) == {("hash", "journal.jsonl")}


@pytest.mark.parametrize("text", ["0123", "not-a-hash-at-all", "a" * 65])
def test_what_is_no_hash_is_refused_in_a_sentence(done: SessionFolder, text: str) -> None:
    told = call("records", "verify", done.id, "--hash", text, "--records", str(done.path.parent))
    assert told.returncode == 2
    assert told.stderr.startswith("--hash: ")


def test_a_hash_is_asked_of_one_session(done: SessionFolder) -> None:
    told = call("records", "verify", "--hash", "a" * 64, "--records", str(done.path.parent))
    assert told.returncode == 2
    assert "name that session" in told.stderr


# --- copies, false stubs, clocks ---


def test_a_session_copied_or_renamed_is_named(done: SessionFolder) -> None:
    copy = done.path.with_name(f"20200101-080000-lamp-{done.id[-6:]}")
    shutil.copytree(done.path, copy)
    code, about = verify(SessionFolder(copy))
    assert code == 1
    assert ("renamed", "journal.jsonl") in kinds(about)


def test_a_deletion_that_nobody_made_is_named(done: SessionFolder) -> None:
    for path in done.path.iterdir():
        path.unlink()
    stub = {"session": done.id, "removed_at": times.written(BEGAN), "by": "Kim", "files": []}
    done.write("deleted.json", json.dumps(stub))
    code, about = verify(done)
    assert code == 1
    assert ("changed", "deleted.json") in kinds(about)
    listed = call("records", "list", "--records", str(done.path.parent))
    assert listed.returncode == 1
    assert "does not fit" in listed.stderr
    gone = call("records", "delete", done.id, "--yes", "--records", str(done.path.parent))
    assert gone.returncode == 0
    assert verify(done)[0] == 0


def test_a_session_deleted_by_the_program_is_deleted(done: SessionFolder) -> None:
    records = ("--records", str(done.path.parent))
    assert call("records", "delete", done.id, "--yes", *records).returncode == 0
    assert verify(done)[0] == 0


def test_a_false_note_that_sound_was_removed_is_named(tmp_path: Path) -> None:
    sounds = [{"sound": f"heard-0000000{n}.flac", "sound_sha256": "ab" * 32} for n in (1, 2)]
    events = [head(), *(heard("one", **s) for s in sounds), FINDING, END]
    folder = kept(tmp_path, events)
    make_files(folder, read(folder.journal), pytest.fail)
    (folder.path / "heard-00000002.flac").write_bytes(b"sound")
    stub = {
        "session": folder.id, "removed_at": times.written(BEGAN), "by": "Kim", "lines": 5,
        "last_hash": read(folder.journal)[-1].hash, "files": ["heard-00000001.flac"],
    }  # fmt: skip
    folder.write("sound-removed.json", json.dumps(stub))
    code, about = verify(folder)
    assert code == 1
    assert ("changed", "sound-removed.json") in kinds(about)


def test_a_clock_that_ran_backwards_is_told(tmp_path: Path) -> None:
    back = {"at": "2025-12-05T08:00:00.000+00:00"}
    events = [
        head(),
        heard("one"),
        reading("12.60", **back),
        verdict(
            "12.60 V",
            "pass",
        ),
        FINDING,
    ]
    events[3] |= back
    folder = kept(tmp_path, [*events, {**END, **back}])
    make_files(folder, read(folder.journal), pytest.fail)
    code, about = verify(folder)
    assert code == 0
    assert "the clock ran back by" in str(about["notes"])
    records = ("--records", str(tmp_path))
    assert "the clock ran back by" in call("records", "show", folder.id, *records).stdout
    page = call("records", "report", folder.id, "--for", "customer", *records).stdout
    assert "set back during the job" in page


def test_an_empty_journal_is_named(tmp_path: Path) -> None:
    folder = SessionFolder(tmp_path / "20260102-080000-lamp-abcdef")
    folder.path.mkdir()
    folder.journal.touch()
    code, about = verify(folder)
    assert code == 1
    assert kinds(about) >= {("empty", "journal.jsonl")}


# --- a disk that is full already ---


def test_nothing_is_left_of_a_job_that_a_full_disk_did_not_let_begin(tmp_path: Path) -> None:
    """No file may grow by a byte (setrlimit(2), RLIMIT_FSIZE), as on a disk that is full."""
    program = f"{shlex.quote(sys.executable)} -m voiceassist run dim-headlamp --typed --silent"
    done = subprocess.run(
        ["bash", "-c", f"ulimit -f 0; exec {program} --records {shlex.quote(str(tmp_path))}"],
        input="affirm\n", capture_output=True, text=True, check=False, timeout=60,
    )  # fmt: skip
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "Traceback" not in done.stderr
    assert [path for path in tmp_path.iterdir() if path.is_dir()] == []

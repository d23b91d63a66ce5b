"""The page for third parties, and its script, which knows nothing of this program."""

import json
import subprocess
import sys
from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path

import pytest
from shelf import END, FINDING, head, job, kept, reading

DOCS = Path(__file__).parents[1] / "docs"
SCRIPT = DOCS / "check_journal.py"


def checked(journal: Path, *more: str) -> tuple[int, str, str]:
    """Without our package, and without anything else that is installed."""
    done = subprocess.run(
        [sys.executable, "-I", "-S", str(SCRIPT), str(journal), *more],
        capture_output=True, text=True, check=False, timeout=30,
    )  # fmt: skip
    return done.returncode, done.stdout, done.stderr


@pytest.fixture
def journal(tmp_path: Path) -> Path:
    return kept(tmp_path, job()).journal


def sealed(*events: Mapping[str, object]) -> bytes:
    """A journal written by hand, as the page says that one is written."""
    lines, before = [], "0" * 64
    for seq, event in enumerate(events, 1):
        line = {**event, "seq": seq, "at": "2026-01-02T08:00:00.000Z", "prev": before}
        plain = json.dumps(line, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        before = sha256(plain.encode()).hexdigest()
        line["hash"] = before
        lines.append(json.dumps(line, sort_keys=True, separators=(",", ":"), ensure_ascii=False))
    return "".join(f"{line}\n" for line in lines).encode()


def test_a_journal_that_was_kept_is_found_whole(journal: Path) -> None:
    lines = journal.read_bytes().splitlines()
    last = json.loads(lines[-1])["hash"]
    code, out, told = checked(journal)
    assert (code, told) == (0, "")
    assert f"{len(lines)} good lines, last hash {last}" in out


def test_the_hash_on_the_page_is_held_against_it(journal: Path) -> None:
    last = json.loads(journal.read_bytes().splitlines()[-1])["hash"]
    assert checked(journal, last[:12])[0] == 0
    assert checked(journal, last[:32].upper(), last[32:])[0] == 0  # as it is printed and copied
    code, _, told = checked(journal, "0123456789ab")
    assert code == 1
    assert "no line has the hash" in told


def test_every_line_that_is_edited_removed_or_moved_is_named(journal: Path) -> None:
    lines = journal.read_bytes().splitlines(keepends=True)
    for number in range(1, len(lines) - 1):  # a cut end cannot be seen, as the page says
        edited = lines[number].replace(b'"at":"2026', b'"at":"2027')
        for wrong in (
            [*lines[:number], edited, *lines[number + 1 :]],
            [*lines[:number], *lines[number + 1 :], lines[number]],
            [*lines[:number], *lines[number + 1 :]],
        ):
            journal.write_bytes(b"".join(wrong))
            code, _, told = checked(journal)
            assert code == 1
            assert f"line {number + 1} " in told
    journal.write_bytes(b"".join(lines)[:-20])
    assert "torn" in checked(journal)[2]


def test_a_line_added_after_the_end_is_named_and_an_addendum_is_not(journal: Path) -> None:
    start = [head(), reading("12.60"), FINDING, END]
    added = {"event": "addendum", "words": "the wire broke again", "by": "kim", "text": ""}
    journal.write_bytes(sealed(*start, added))
    assert checked(journal)[0] == 0
    journal.write_bytes(sealed(*start, {"event": "note", "words": "all was well"}))
    code, _, told = checked(journal)
    assert code == 1
    assert "line 5 (note) was added after the job was closed" in told


def test_script_and_program_agree_on_what_may_follow_the_end() -> None:
    from voiceassist.record.chain import AFTER_END

    names: dict[str, object] = {"__name__": "read"}
    exec(compile(SCRIPT.read_text("utf-8"), "script", "exec"), names)
    assert names["AFTER_END"] == AFTER_END


def test_the_script_is_short_enough_to_be_read() -> None:
    lines = SCRIPT.read_text("utf-8").splitlines()
    assert sum(bool(line.strip()) for line in lines) <= 45


def test_the_page_shows_the_command_as_it_is() -> None:
    page = (DOCS / "checking-a-record.md").read_text("utf-8")
    assert "python3 check_journal.py journal.jsonl\n" in page

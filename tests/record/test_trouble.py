"""The journal on a disk that refuses: nothing is lost, nothing is claimed, the work goes on."""

import os
import resource
import subprocess
import sys
from collections.abc import Callable, Iterator
from datetime import datetime
from itertools import accumulate
from pathlib import Path

import pytest

from voiceassist.errors import RecordError
from voiceassist.record.journal import Journal
from voiceassist.record.read_journal import read, verify

Clock = Callable[[], datetime]
SAY = {"event": "say", "text": "Go on."}
LONG = {"event": "say", "text": "x" * 5000}


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 64 KiB, where this user may mount one."""
    folder = tmp_path / "disk"
    folder.mkdir()
    call = ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(folder)]
    try:
        done = subprocess.run(call, check=False, capture_output=True)
    except FileNotFoundError:
        pytest.skip("there is no mount command here")
    if done.returncode:
        pytest.skip("only a user who may mount can make a small disk")
    yield folder
    subprocess.run(["umount", str(folder)], check=True)


def fill(folder: Path) -> Path:
    """Leave no room on the disk of ``folder``."""
    ballast = folder / "ballast"
    try:
        with ballast.open("wb", buffering=0) as file:
            while True:
                file.write(b"\0" * 4096)
    except OSError:
        return ballast


def troubles(journal: Journal) -> tuple[bool, str | None]:
    """Whether all is on the disk, and what keeps it from being so."""
    return journal.durable, journal.trouble.found if journal.trouble else None


def test_lines_wait_while_the_disk_is_full_and_are_written_when_there_is_room(
    small_disk: Path, clock: Clock
) -> None:
    path = small_disk / "one" / "journal.jsonl"
    with Journal.create(path, clock) as journal:
        journal.append([SAY])
        ballast = fill(small_disk)
        made = journal.append([LONG, LONG, LONG])
        assert [entry.seq for entry in made] == [2, 3, 4]
        assert not journal.durable
        assert journal.trouble is not None
        assert journal.trouble.found == "the disk is full"
        assert journal.trouble.waiting == 3
        assert str(path) in str(journal.trouble)
        waits = "3 lines wait in memory and will be written as soon as that can be done"
        assert str(journal.trouble).endswith(waits)
        assert [entry.seq for entry in read(path)] == [1]
        assert verify(path).fault is None, "half a line was left"
        assert not journal.flush()
        ballast.unlink()
        journal.append([SAY])
        assert troubles(journal) == (True, None)
        assert read(path) == journal.entries
    assert [entry.seq for entry in read(path)] == [1, 2, 3, 4, 5]


def test_closing_with_lines_that_are_not_kept_says_so(small_disk: Path, clock: Clock) -> None:
    journal = Journal.create(small_disk / "journal.jsonl", clock)
    ballast = fill(small_disk)
    journal.append([LONG])
    with pytest.raises(RecordError, match="the disk is full, and 1 lines were not kept"):
        journal.close()
    ballast.unlink()


def test_an_error_on_its_way_is_not_hidden_by_lines_that_are_not_kept(
    small_disk: Path, clock: Clock
) -> None:
    def session() -> None:
        with Journal.create(small_disk / "journal.jsonl", clock) as journal:
            fill(small_disk)
            journal.append([LONG])
            raise KeyError("the first error")

    with pytest.raises(KeyError, match="the first error"):
        session()


def test_no_journal_is_begun_on_a_disk_that_can_only_be_read(
    small_disk: Path, clock: Clock
) -> None:
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    with pytest.raises(RecordError, match="the disk can only be read"):
        Journal.create(small_disk / "one" / "journal.jsonl", clock)


def test_no_journal_is_begun_in_a_folder_that_may_not_be_written(
    tmp_path: Path, clock: Clock
) -> None:
    folder = tmp_path / "locked"
    folder.mkdir(mode=0o500)
    if os.access(folder, os.W_OK):
        pytest.skip("permissions do not bind this user")
    with pytest.raises(RecordError, match="permission forbids it"):
        Journal.create(folder / "one" / "journal.jsonl", clock)


def test_no_journal_is_begun_where_a_file_is_in_the_way(tmp_path: Path, clock: Clock) -> None:
    (tmp_path / "one").write_text("a file")
    with pytest.raises(RecordError, match="a file is in the way; choose another folder"):
        Journal.create(tmp_path / "one" / "journal.jsonl", clock)


LIMITED = """
import resource, sys
from datetime import UTC, datetime
from pathlib import Path
from voiceassist.record.journal import Journal
from voiceassist.record.read_journal import read, verify
path, size = Path(sys.argv[1]), int(sys.argv[2])
hard = resource.getrlimit(resource.RLIMIT_FSIZE)[1]
with Journal.create(path, lambda: datetime.now(UTC)) as journal:
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
    for n in range(30):
        journal.append([{"event": "say", "n": n}])
        assert verify(path).fault is None, n
        assert journal.durable == (len(read(path)) == n + 1), n
    print(journal.trouble.found, len(read(path)))
    resource.setrlimit(resource.RLIMIT_FSIZE, (hard, hard))
    assert journal.flush() and journal.durable and journal.trouble is None
assert [e.fields["n"] for e in read(path)] == list(range(30))
"""


@pytest.mark.parametrize("size", [1, 1000, 2222, 4096])
def test_a_line_written_in_part_is_cut_back_and_written_again(path: Path, size: int) -> None:
    if resource.getrlimit(resource.RLIMIT_FSIZE)[1] != resource.RLIM_INFINITY:
        pytest.skip("file sizes are limited here already")
    done = subprocess.run(
        [sys.executable, "-c", LIMITED, str(path), str(size)],
        check=False,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("the file may not grow any further")
    ends = list(accumulate(len(line) for line in path.read_bytes().splitlines(keepends=True)))
    assert int(done.stdout.split()[-1]) == sum(end <= size for end in ends)


# --- the file goes away under the session ---


def test_a_journal_that_was_deleted_is_written_anew_from_memory(path: Path, clock: Clock) -> None:
    with Journal.create(path, clock) as journal:
        journal.append([SAY, SAY])
        path.unlink()
        journal.append([SAY])
        assert not journal.durable
        assert journal.trouble is not None
        assert journal.flush()
        assert read(path) == journal.entries
    assert [entry.seq for entry in read(path)] == [1, 2, 3]


def test_closing_writes_what_still_waits(path: Path, clock: Clock) -> None:
    with Journal.create(path, clock) as journal:
        journal.append([SAY])
        path.unlink()
        journal.append([SAY])
    assert [entry.seq for entry in read(path)] == [1, 2]


def test_lines_wait_while_the_folder_is_gone(path: Path, clock: Clock) -> None:
    away = path.parent.with_name("away")
    with Journal.create(path, clock) as journal:
        journal.append([SAY])
        path.unlink()
        path.parent.rename(away)
        journal.append([SAY])
        assert not journal.flush()
        assert journal.trouble is not None
        assert journal.trouble.found == "the file or its folder is gone"
        away.rename(path.parent)
        assert journal.flush()
    assert [entry.seq for entry in read(path)] == [1, 2]


def test_a_file_in_the_place_of_the_journal_is_left_alone(path: Path, clock: Clock) -> None:
    journal = Journal.create(path, clock)
    journal.append([SAY])
    path.unlink()
    path.write_bytes(b"something else\n")
    journal.append([SAY])
    assert not journal.flush()
    assert journal.trouble is not None
    assert journal.trouble.found == "another file has taken its place"
    assert path.read_bytes() == b"something else\n"
    with pytest.raises(RecordError, match="another file has taken its place"):
        journal.close()

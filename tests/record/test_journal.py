"""The journal on a disk that works: lines are there when ``append`` returns."""

import errno
import json
import os
import stat
import subprocess
import sys
from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path

import pytest

from voiceassist.errors import RecordError
from voiceassist.record.chain import Harm
from voiceassist.record.disk import AppendFile
from voiceassist.record.entry import Entry
from voiceassist.record.journal import Journal
from voiceassist.record.read_journal import read, verify

Clock = Callable[[], datetime]
SAY = {"event": "say", "text": "Go on."}


def test_appended_lines_are_in_the_file_when_append_returns(path: Path, clock: Clock) -> None:
    with Journal.create(path, clock) as journal:
        entries = journal.append([SAY, SAY])
        assert [json.loads(line)["seq"] for line in path.read_text().splitlines()] == [1, 2]
        assert read(path) == entries
        assert journal.durable
        assert journal.trouble is None


def test_a_line_carries_the_time_of_the_clock(path: Path, clock: Clock) -> None:
    with Journal.create(path, clock) as journal:
        entries = journal.append([SAY, SAY])
    assert [entry.fields["at"] for entry in entries] == [
        "2026-01-02T08:00:00.000+00:00",
        "2026-01-02T08:00:00.250+00:00",
    ]


def test_a_line_may_bring_its_own_time(path: Path, clock: Clock) -> None:
    with Journal.create(path, clock) as journal:
        (entry,) = journal.append([{**SAY, "at": "1990-12-31T23:59:60Z"}])
    assert entry.fields["at"] == "1990-12-31T23:59:60Z"


@pytest.mark.parametrize("bad", [{"text": "no event"}, {**SAY, "at": "noon"}, {**SAY, "x": {1}}])
def test_a_batch_with_a_bad_line_leaves_the_journal_as_it_was(
    path: Path, clock: Clock, bad: dict[str, object]
) -> None:
    with Journal.create(path, clock) as journal:
        journal.append([SAY])
        before = path.read_bytes()
        with pytest.raises((TypeError, ValueError)):
            journal.append([SAY, bad])
        assert path.read_bytes() == before
        journal.append([SAY])
    assert [entry.seq for entry in read(path)] == [1, 2]


def test_an_opened_journal_goes_on_with_the_chain(
    kept: Sequence[Entry], path: Path, clock: Clock
) -> None:
    with Journal.open(path, clock) as journal:
        assert list(journal.entries) == list(kept)
        journal.append([SAY])
    report = verify(path)
    assert report.fault is None
    assert len(report.entries) == len(kept) + 1


def test_files_and_folders_are_for_their_owner_alone(kept: Sequence[Entry], path: Path) -> None:
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    for folder in (path.parent, path.parent.parent):
        assert stat.S_IMODE(folder.stat().st_mode) == 0o700


def test_a_journal_is_not_begun_over_another(
    kept: Sequence[Entry], path: Path, clock: Clock
) -> None:
    before = path.read_bytes()
    with pytest.raises(RecordError) as refused:
        Journal.create(path, clock)
    assert str(refused.value) == f"{path}: there is already a journal; continue it instead"
    assert path.read_bytes() == before


def test_a_missing_journal_cannot_be_opened(path: Path, clock: Clock) -> None:
    found = "the file or its folder is gone; choose another folder for records, or make this one"
    with pytest.raises(RecordError) as refused:
        Journal.open(path, clock)
    assert str(refused.value) == f"{path}: the journal cannot be opened: {found} writable"
    with pytest.raises(RecordError) as refused:
        read(path)
    assert str(refused.value) == f"{path}: the journal cannot be read: {found} writable"


def test_a_pipe_in_the_place_of_a_journal_is_to_be_moved_away(path: Path) -> None:
    path.parent.mkdir(parents=True)
    os.mkfifo(path)
    with pytest.raises(RecordError) as refused:
        verify(path)
    assert str(refused.value) == (
        f"{path}: the journal cannot be read: this is not a file; move it away"
    )


def test_a_journal_that_was_altered_is_not_gone_on_with_and_the_line_is_told(
    kept: Sequence[Entry], path: Path, clock: Clock
) -> None:
    path.write_bytes(path.read_bytes().replace(b"12.60", b"12.70"))
    with pytest.raises(RecordError) as refused:
        Journal.open(path, clock)
    assert str(refused.value).startswith(f"{path}, line 4: the journal was altered: ")
    assert str(refused.value).endswith("; keep it as it is, and begin a new session")


def test_a_closed_journal_takes_no_lines(path: Path, clock: Clock) -> None:
    journal = Journal.create(path, clock)
    journal.close()
    journal.close()
    with pytest.raises(RuntimeError, match=r"^the journal is closed$"):
        journal.append([SAY])


# --- two writers ---


def test_a_second_session_cannot_open_the_same_journal(path: Path, clock: Clock) -> None:
    with Journal.create(path, clock) as journal:
        journal.append([SAY])
        with pytest.raises(RecordError) as refused:
            Journal.open(path, clock)
        told = "another session has this journal open; finish that session first"
        assert str(refused.value) == f"{path}: {told}"
        journal.append([SAY])
    assert len(read(path)) == 2


def test_another_process_cannot_open_the_same_journal_until_it_is_closed(
    path: Path, clock: Clock
) -> None:
    program = (
        "import sys, pathlib; from voiceassist.errors import RecordError\n"
        "from voiceassist.record.journal import Journal\n"
        "try: Journal.open(pathlib.Path(sys.argv[1]), lambda: None).close()\n"
        "except RecordError as error: print(error)\n"
    )

    def other() -> str:
        call = [sys.executable, "-c", program, str(path)]
        return subprocess.run(call, check=True, capture_output=True, text=True).stdout.strip()

    with Journal.create(path, clock) as journal:
        journal.append([SAY])
        told = "another session has this journal open; finish that session first"
        assert other() == f"{path}: {told}"
    assert other() == ""


# --- a torn last line ---


def mend(kept: Sequence[Entry], path: Path, clock: Clock, left: int) -> None:
    """Leave ``left`` bytes of the last line, open the journal, and see what became of them."""
    torn = kept[-1].line[:left]
    path.write_bytes(b"".join(entry.line for entry in kept[:-1]) + torn)
    with Journal.open(path, clock) as journal:
        journal.append([SAY])
    entries = read(path)
    assert list(entries[:4]) == list(kept[:4])
    assert [entry.event for entry in entries[4:]] == ["repaired", "say"]
    assert entries[4].fields["bytes"] == left
    aside = path.with_name(str(entries[4].fields["kept_in"]))
    assert aside.read_bytes() == torn
    assert stat.S_IMODE(aside.stat().st_mode) == 0o600
    aside.unlink()


def test_a_torn_last_line_is_seen_and_left_out_wherever_it_was_torn(
    kept: Sequence[Entry], path: Path
) -> None:
    whole = path.read_bytes()
    for missing in range(1, len(kept[-1].line)):
        path.write_bytes(whole[:-missing])
        report = verify(path)
        assert report.fault is not None
        assert (report.fault.harm, report.fault.line) == (Harm.TORN, 5)
        assert list(read(path)) == list(kept[:4])


def test_a_torn_last_line_is_mended(kept: Sequence[Entry], path: Path, clock: Clock) -> None:
    last = len(kept[-1].line)
    for left in (1, 2, last // 2, last - 2, last - 1):
        mend(kept, path, clock, left)


@pytest.mark.slow
def test_a_torn_last_line_is_mended_wherever_it_was_torn(
    kept: Sequence[Entry], path: Path, clock: Clock
) -> None:
    for left in range(1, len(kept[-1].line)):
        mend(kept, path, clock, left)


class Stuck(AppendFile):
    """A file that grows, and cannot be cut."""

    def cut(self, size: int) -> None:
        raise OSError(errno.EROFS, os.strerror(errno.EROFS))


def test_a_torn_last_line_that_cannot_be_mended_is_told_and_the_file_let_go(
    kept: Sequence[Entry], path: Path, clock: Clock
) -> None:
    path.write_bytes(path.read_bytes()[:-9])
    with pytest.raises(RecordError) as refused:
        Journal.open(path, clock, Stuck)
    assert str(refused.value) == (
        f"{path}: the journal cannot be mended: the disk can only be read; "
        "choose another folder for records, or make this one writable"
    )
    Journal.open(path, clock).close()
    assert read(path)[-1].event == "repaired"


def test_a_whole_last_line_needs_no_mending(
    kept: Sequence[Entry], path: Path, clock: Clock
) -> None:
    before = path.read_bytes()
    Journal.open(path, clock).close()
    assert path.read_bytes() == before
    assert os.listdir(path.parent) == [path.name]


@pytest.mark.parametrize("tail", [b"\0" * 300, b'{"at":"2026\0\0\0\0\n'])
def test_blocks_that_were_never_written_are_mended_like_a_torn_line(
    kept: Sequence[Entry], path: Path, clock: Clock, tail: bytes
) -> None:
    with path.open("ab") as file:
        file.write(tail)
    report = verify(path)
    assert report.fault is not None
    assert report.fault.harm is Harm.TORN
    Journal.open(path, clock).close()
    assert read(path)[-1].fields["bytes"] == len(tail)


@pytest.mark.parametrize("size", [0, 40])
def test_a_journal_cut_before_its_first_line_was_whole_can_be_opened(
    kept: Sequence[Entry], path: Path, clock: Clock, size: int
) -> None:
    path.write_bytes(path.read_bytes()[:size])
    with Journal.open(path, clock) as journal:
        journal.append([SAY])
    assert [entry.event for entry in read(path)] == (["repaired", "say"] if size else ["say"])


def test_a_mending_that_was_cut_short_is_finished_at_the_next_opening(
    kept: Sequence[Entry], path: Path, clock: Clock
) -> None:
    torn = path.read_bytes()[:-10]
    path.write_bytes(torn)
    Journal.open(path, clock).close()
    mended = path.read_bytes()
    tail = torn[sum(len(entry.line) for entry in kept[:4]) :]
    steps = [
        torn,  # the torn bytes are set aside, the journal still has them
        torn[: -len(tail)],  # cut from the journal
        mended[:-5],  # the line that tells of it is torn itself
    ]
    for state in steps:
        path.write_bytes(state)
        Journal.open(path, clock).close()
        entries = read(path)
        assert [entry.event for entry in entries[4:]] == ["repaired"]
        aside = path.with_name(str(entries[4].fields["kept_in"]))
        assert aside.read_bytes().startswith(tail)
        assert aside.stat().st_size == entries[4].fields["bytes"]


def test_a_time_that_is_no_text_is_refused_and_nothing_is_kept(path: Path, clock: Clock) -> None:
    with Journal.create(path, clock) as journal:
        with pytest.raises(TypeError, match=r"^at is a string, as RFC 3339 has it$"):
            journal.append([{"event": "say", "at": 5}])
        assert journal.entries == ()

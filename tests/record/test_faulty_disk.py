"""The journal when the disk refuses in each way a disk can: full, gone, broken, and back."""

import errno
import os
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from voiceassist.errors import RecordError
from voiceassist.record.chain import examine
from voiceassist.record.entry import Entry
from voiceassist.record.journal import Journal
from voiceassist.record.read_journal import read, verify
from voiceassist.testing import FaultyDisk

Clock = Callable[[], datetime]

#: What a write can fail with (man 2 write, fsync; the network ones from drives that are gone).
REFUSALS = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "the quota of the disk is used up",
    errno.EROFS: "the disk can only be read",
    errno.EACCES: "permission forbids it",
    errno.EIO: "the disk does not answer",
    errno.ENODEV: "the disk is gone",
    errno.ENOTCONN: "the network drive is gone",
    errno.EHOSTDOWN: "the network drive is gone",
    errno.ETIMEDOUT: "the network drive does not answer",
}


@pytest.mark.parametrize(("error", "found"), REFUSALS.items(), ids=errno.errorcode.get)
@pytest.mark.parametrize("part", [0, 1, 150, 10_000])
def test_lines_wait_in_order_and_are_whole_when_the_disk_is_back(
    path: Path, clock: Clock, error: int, found: str, part: int
) -> None:
    disk = FaultyDisk()
    with Journal.create(path, clock, disk) as journal:
        journal.append([{"event": "say", "n": 0}])
        disk.error, disk.part = error, part
        for n in range(1, 4):
            journal.append([{"event": "say", "n": n}])
            assert not journal.durable
            assert journal.trouble is not None
            assert (journal.trouble.found, journal.trouble.waiting) == (found, n)
            waits = f"{'1 line waits' if n == 1 else f'{n} lines wait'} in memory"
            told = f"{found}; {waits} and will be written as soon as that can be done"
            assert str(journal.trouble) == f"{path}: {told}"
            assert [entry.fields["n"] for entry in read(path)] == [0]
        disk.error = 0
        journal.append([{"event": "say", "n": 4}])
        assert (journal.durable, journal.trouble) == (True, None)
        assert [entry.fields["n"] for entry in read(path)] == [0, 1, 2, 3, 4]
    assert verify(path).fault is None


STEP = st.tuples(st.sampled_from([0, 0, *REFUSALS]), st.integers(0, 400), st.integers(0, 3))


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(STEP, max_size=12))
def test_whatever_the_disk_does_the_file_is_a_beginning_of_what_was_said(
    tmp_path_factory: pytest.TempPathFactory, clock: Clock, steps: list[tuple[int, int, int]]
) -> None:
    path = tmp_path_factory.mktemp("disk") / "journal.jsonl"
    disk = FaultyDisk()
    journal = Journal.create(path, clock, disk)
    for error, part, count in steps:
        disk.error, disk.part = error, part
        journal.append([{"event": "say"}] * count)
        kept = examine(path.read_bytes())
        assert kept.fault is None
        assert kept.entries == journal.entries[: len(kept.entries)]
        assert journal.durable == (len(kept.entries) == len(journal.entries))
    disk.error = 0
    journal.close()
    assert read(path) == journal.entries


@given(torn=st.integers(0, 100))
@settings(max_examples=20, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_half_a_line_that_a_disk_kept_as_it_went_is_written_over_when_it_is_back(
    tmp_path_factory: pytest.TempPathFactory, clock: Clock, torn: int
) -> None:
    path = tmp_path_factory.mktemp("disk") / "journal.jsonl"
    disk = FaultyDisk()
    with Journal.create(path, clock, disk) as journal:
        journal.append([{"event": "say", "n": 0}])
        disk.error = errno.ENODEV
        journal.append([{"event": "say", "n": 1}])
        with path.open("ab") as file:  # what it had taken, and could not take back any more
            file.write(journal.entries[1].line[:torn])
        disk.error = 0
        journal.append([{"event": "say", "n": 2}])
        assert journal.durable
        assert read(path) == journal.entries
    assert verify(path).fault is None


def test_no_journal_is_begun_on_a_disk_that_refuses(path: Path, clock: Clock) -> None:
    disk = FaultyDisk()
    disk.error = errno.EROFS
    with pytest.raises(RecordError) as refused:
        Journal.create(path, clock, disk)
    assert str(refused.value) == (
        f"{path}: the journal cannot be begun: the disk can only be read; "
        "choose another folder for records, or make this one writable"
    )


FULL = Path("/dev/full")


def test_a_real_device_that_is_full_refuses_as_the_stand_in_does() -> None:
    # full(4): writes to it fail with ENOSPC.
    handle = os.open(FULL, os.O_WRONLY)
    try:
        with pytest.raises(OSError, match="No space left") as real:
            os.write(handle, b"x")
    finally:
        os.close(handle)
    disk = FaultyDisk()
    disk.error = errno.ENOSPC
    with pytest.raises(OSError, match="No space left") as stand_in:
        disk.check(FULL)
    assert real.value.errno == stand_in.value.errno


# --- tampering: what any change does ---


LINES = st.lists(st.sampled_from(["heard", "reading", "verdict"]), min_size=2, max_size=6)


@st.composite
def tampered(draw: st.DrawFn) -> tuple[list[Entry], list[bytes]]:
    """A journal, and its lines after one was removed, doubled, swapped or put in from another."""
    entries: list[Entry] = []
    for number, event in enumerate(draw(LINES), 1):
        prev = entries[-1].hash if entries else "0" * 64
        fields = {"event": event, "n": number}
        entries.append(Entry.made(fields, seq=number, at="2026-01-02T08:00:00Z", prev=prev))
    lines = [entry.line for entry in entries]
    at = draw(st.integers(0, len(lines) - 1))
    match draw(st.sampled_from(["remove", "double", "swap", "insert"])):
        case "remove" if at < len(lines) - 1:
            del lines[at]
        case "swap" if at < len(lines) - 1:
            lines[at], lines[at + 1] = lines[at + 1], lines[at]
        case "insert":
            prev = entries[at - 1].hash if at else "0" * 64
            lines.insert(
                at,
                Entry.made({"event": "x"}, seq=at + 1, at="2026-01-02T08:00:00Z", prev=prev).line,
            )
        case _:
            lines.insert(at, lines[at])
    return entries, lines


@given(tampered())
def test_a_line_removed_doubled_swapped_or_put_in_is_seen(
    case: tuple[list[Entry], list[bytes]],
) -> None:
    entries, lines = case
    pairs = zip([entry.line for entry in entries], lines, strict=False)
    changed = next((at for at, (one, other) in enumerate(pairs, 1) if one != other), len(lines))
    fault = examine(b"".join(lines)).fault
    assert fault is not None
    assert fault.line in {changed, changed + 1}  # one put in with a fitting hash parts the next two


def test_what_the_chain_alone_cannot_see_is_a_cut_end_and_the_last_hash_shows_it(
    kept: list[Entry], path: Path
) -> None:
    lines = path.read_bytes().splitlines(keepends=True)
    for count in range(len(lines)):
        cut = b"".join(lines[:count])
        assert examine(cut).fault is None
        assert examine(cut, kept[-1].hash).fault is not None


def test_closing_with_lines_that_are_not_kept_tells_how_many_and_what_would_do(
    path: Path, clock: Clock
) -> None:
    disk = FaultyDisk()
    journal = Journal.create(path, clock, disk)
    disk.error = errno.ENOSPC
    journal.append([{"event": "say"}] * 2)
    with pytest.raises(RecordError) as refused:
        journal.close()
    assert str(refused.value) == (
        f"{path}: the disk is full, and 2 lines were not kept; "
        "make the disk writable and write down what was done since"
    )
    journal.close()

"""Sessions are followed by their journals alone, which are never locked."""

import json
from pathlib import Path

import pytest
from bays import ASK, CAUTION, END, HEARD, READING, VERDICT, Bay

from voiceassist.bench.follow import MOST, RECENT_S, Follower, Standing
from voiceassist.record import disk
from voiceassist.record.journal import Journal


class Clock:
    """Seconds since 1970 that move when told to."""

    def __init__(self) -> None:
        import time

        self.now_s = time.time()

    def __call__(self) -> float:
        return self.now_s


@pytest.fixture
def records(tmp_path: Path) -> Path:
    return tmp_path / "records"


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def follower(records: Path, clock: Clock) -> Follower:
    return Follower(records, clock)


def later(follower: Follower, clock: Clock) -> set[str]:
    clock.now_s += 1
    return follower.look()


def test_a_session_appears_by_itself_and_runs_while_its_journal_is_open(
    records: Path, follower: Follower, clock: Clock
) -> None:
    assert follower.look() == set()
    assert follower.empty
    bay = Bay(records, complaint="fan runs")
    assert later(follower, clock) == {bay.id}
    (one,) = follower.latest()
    assert (one.now.complaint, one.state) == ("fan runs", Standing.RUNNING)
    bay.close()
    assert later(follower, clock) == {bay.id}
    assert one.state is Standing.CUT_OFF


def test_what_is_written_is_seen_at_the_next_look(records: Path, follower: Follower) -> None:
    bay = Bay(records)
    follower.look()
    bay.tell(CAUTION, ASK)
    assert follower.look() == {bay.id}
    assert follower.look() == set()
    (one,) = follower.latest()
    assert one.now.present.task == ("Measure the feed.",)
    bay.tell(HEARD, READING, VERDICT)
    follower.look()
    assert one.now.present.outcome is not None
    assert one.now.present.outcome.shown == "12.5 V"
    assert [(m.what, m.shown, m.verdict) for m in one.now.marks] == [("feed", "12.5 V", "pass")]
    bay.tell(END)
    follower.look()
    assert one.state is Standing.ENDED
    bay.close()


def test_half_a_line_is_no_line(records: Path, follower: Follower) -> None:
    bay = Bay(records)
    follower.look()
    (one,) = follower.latest()
    bay.tell(ASK)
    whole = bay.folder.journal.read_bytes()
    bay.folder.journal.write_bytes(whole[:-20])
    assert follower.look() == set()
    bay.folder.journal.write_bytes(whole)
    assert follower.look() == {bay.id}
    assert (one.now.present.step, one.fault) == ("feed", "")


def test_a_line_that_was_altered_ends_what_is_shown(records: Path, follower: Follower) -> None:
    bay = Bay(records)
    bay.tell(ASK)
    lines = bay.folder.journal.read_bytes().splitlines()
    changed = json.loads(lines[1]) | {"text": "Leave the cap off."}
    text = json.dumps(changed, sort_keys=True, separators=(",", ":"))
    bay.folder.journal.write_bytes(lines[0] + b"\n" + text.encode() + b"\n")
    follower.look()
    (one,) = follower.latest()
    assert one.fault == "line 2: the hash does not fit the line"
    assert one.now.present.task == ()


@pytest.mark.parametrize("event", ["reading", "ask"])
def test_nothing_is_added_to_a_closed_job(records: Path, follower: Follower, event: str) -> None:
    bay = Bay(records)
    bay.tell(END, {"event": "addendum", "words": "it held", "by": "Kim", "text": ""})
    follower.look()
    (one,) = follower.latest()
    assert one.fault == ""
    bay.tell({**READING, "event": event})
    follower.look()
    assert one.fault == "line 4: it was added after the job was closed"


def test_a_journal_that_is_written_anew_is_read_anew(records: Path, follower: Follower) -> None:
    bay = Bay(records, complaint="first")
    bay.tell(ASK)
    follower.look()
    bay.close()
    content = bay.folder.journal.read_bytes()
    bay.folder.journal.unlink()
    with Journal.create(bay.folder.journal, bay.journal._clock) as journal:
        journal.append([{"event": "session", "title": "Second", "facts": {}}])
    assert follower.look() == {bay.id}
    (one,) = follower.latest()
    assert (one.now.complaint, one.now.present.step) == ("Second", "")
    assert content


def test_a_deleted_session_is_gone(records: Path, follower: Follower, clock: Clock) -> None:
    bay = Bay(records)
    follower.look()
    bay.close()
    disk.write_whole(bay.folder.path / "deleted.json", b"{}")
    later(follower, clock)
    assert follower.latest() == []
    assert follower.one(bay.id) is None or not follower.one(bay.id).now.begun  # type: ignore[union-attr]


def test_old_sessions_are_left_to_the_archive_unless_they_are_asked_for_or_resumed(
    records: Path, clock: Clock
) -> None:
    bay = Bay(records, complaint="last week's")
    bay.close()
    clock.now_s += RECENT_S + 60
    follower = Follower(records, clock)
    follower.look()
    assert follower.latest() == []
    with Journal.open(bay.folder.journal, bay.journal._clock):
        later(follower, clock)
        (one,) = follower.latest()
        assert one.state is Standing.RUNNING
    fresh = Follower(records, clock)
    fresh.look()
    asked = fresh.one(bay.id)
    assert asked is not None
    assert asked.now.complaint == "last week's"
    assert fresh.one("../../etc") is None


def test_running_sessions_come_first_and_the_latest_before(
    records: Path, follower: Follower, clock: Clock
) -> None:
    bays = [Bay(records, complaint=str(number)) for number in range(3)]
    names = sorted(bay.id for bay in bays)
    closed = max(bays, key=lambda bay: bay.id)
    closed.tell(END)
    closed.close()
    follower.look()
    assert [one.id for one in follower.latest()] == [names[1], names[0], names[2]]


def test_not_more_than_so_many_that_nobody_has_open(records: Path, follower: Follower) -> None:
    for _ in range(MOST + 2):
        Bay(records).close()
    follower.look()
    assert len(follower.latest()) == MOST


def test_where_the_system_lists_no_locks_the_time_tells(
    records: Path, clock: Clock, tmp_path: Path
) -> None:
    follower = Follower(records, clock, tmp_path / "none")
    bay = Bay(records)
    follower.look()
    assert [one.state for one in follower.latest()] == [Standing.RUNNING]
    bay.close()
    clock.now_s += 1000
    follower.look()
    assert [one.state for one in follower.latest()] == [Standing.CUT_OFF]


def test_a_session_that_is_asked_for_is_seen_as_it_is_just_then(
    records: Path, follower: Follower
) -> None:
    Bay(records)
    follower.look()
    bay = Bay(records, complaint="just begun")
    one = follower.one(bay.id)
    assert one is not None
    assert [one.now.complaint, one.state] == ["just begun", Standing.RUNNING]
    bay.close()
    assert follower.one(bay.id) is one
    assert [one.state] == [Standing.CUT_OFF]

"""Folders of sessions: their names, their files, and which one can be gone on with."""

import os
import stat
from collections.abc import Callable, Iterable
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest

from voiceassist.errors import RecordError
from voiceassist.record import folder
from voiceassist.record.disk import clear_drafts
from voiceassist.record.folder import SessionFolder
from voiceassist.record.journal import Journal

Clock = Callable[[], datetime]
BEGAN = datetime(2026, 1, 2, 8, 30, 5, tzinfo=timezone(timedelta(hours=1)))


def unfinished(records: Path) -> tuple[SessionFolder, ...]:
    return tuple(found for found in folder.sessions(records) if found.unfinished)


def made(records: Path, minute: int, events: Iterable[str], clock: Clock) -> SessionFolder:
    """A session begun at that minute, with lines of these events."""
    session = folder.create(records, "lamp", BEGAN + timedelta(minutes=minute))
    with Journal.create(session.journal, clock) as journal:
        journal.append([{"event": event} for event in events])
    return session


def test_a_folder_is_named_by_time_procedure_and_chance(tmp_path: Path) -> None:
    session = folder.create(tmp_path / "records", "heater-fan-module", BEGAN, lambda: "0a1b2c")
    assert session.id == "20260102-083005-heater-fan-module-0a1b2c"
    assert session.path == tmp_path / "records" / session.id
    assert session.journal == session.path / "journal.jsonl"


def test_folders_are_for_their_owner_alone(tmp_path: Path) -> None:
    session = folder.create(tmp_path / "a" / "records", "lamp", BEGAN)
    for made_folder in (session.path, tmp_path / "a" / "records", tmp_path / "a"):
        assert stat.S_IMODE(made_folder.stat().st_mode) == 0o700


def test_two_sessions_of_one_second_have_two_folders(tmp_path: Path) -> None:
    chances = iter(["aaaaaa", "aaaaaa", "bbbbbb"])
    names = [folder.create(tmp_path, "lamp", BEGAN, lambda: next(chances)).id for _ in range(2)]
    assert names == ["20260102-083005-lamp-aaaaaa", "20260102-083005-lamp-bbbbbb"]


@pytest.mark.parametrize("name", ["../../etc", "Lampe ä/ö", "", "..", "a" * 400])
def test_no_procedure_name_leads_out_of_the_records(tmp_path: Path, name: str) -> None:
    session = folder.create(tmp_path, name, BEGAN)
    assert session.path.parent == tmp_path
    assert folder.sessions(tmp_path) == (session,)


def test_a_long_name_of_a_procedure_is_cut_to_sixty_letters(tmp_path: Path) -> None:
    session = folder.create(tmp_path, "a" * 60 + "b", BEGAN, lambda: "0a1b2c")
    assert session.id == f"20260102-083005-{'a' * 60}-0a1b2c"


def test_a_folder_that_cannot_be_made_is_told_with_where_and_what_would_do(tmp_path: Path) -> None:
    (tmp_path / "records").write_text("a file")
    with pytest.raises(RecordError) as refused:
        folder.create(tmp_path / "records", "lamp", BEGAN)
    assert str(refused.value) == (
        f"{tmp_path / 'records'}: no record can be begun there: a file is in the way; "
        "choose another folder for records, or make this one writable"
    )


def test_sessions_are_listed_from_the_oldest_to_the_youngest(tmp_path: Path, clock: Clock) -> None:
    later = made(tmp_path, 5, ["session"], clock)
    earlier = made(tmp_path, 1, ["session"], clock)
    (tmp_path / "something else").mkdir()
    (tmp_path / "20260102-083005-lamp-abcdef").write_text("a file")
    assert folder.sessions(tmp_path) == (earlier, later)


def test_there_are_no_sessions_where_there_is_no_folder(tmp_path: Path) -> None:
    assert folder.sessions(tmp_path / "none") == ()
    assert unfinished(tmp_path / "none") == ()


def test_unfinished_sessions_are_found_the_youngest_last(tmp_path: Path, clock: Clock) -> None:
    later = made(tmp_path, 2, ["session", "say"], clock)
    earlier = made(tmp_path, 1, ["session", "say"], clock)
    made(tmp_path, 3, ["session", "say", "end"], clock)
    made(tmp_path, 4, [], clock)
    folder.create(tmp_path, "lamp", BEGAN + timedelta(minutes=5))
    assert unfinished(tmp_path) == (earlier, later)


def test_no_unfinished_session_is_found_when_all_have_ended(tmp_path: Path, clock: Clock) -> None:
    made(tmp_path, 1, ["session", "end"], clock)
    assert unfinished(tmp_path) == ()


def test_an_unfinished_session_with_a_torn_line_is_found(tmp_path: Path, clock: Clock) -> None:
    session = made(tmp_path, 1, ["session", "say"], clock)
    session.journal.write_bytes(session.journal.read_bytes()[:-9])
    assert unfinished(tmp_path) == (session,)


# --- files in it ---


def test_a_written_file_is_read_back_and_for_its_owner_alone(tmp_path: Path) -> None:
    session = folder.create(tmp_path, "lamp", BEGAN)
    path = session.write("report.txt", "8.4 Ω\r\n")
    assert session.read("report.txt") == "8.4 Ω\r\n"
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    session.write("report.txt", b"new")
    assert session.read("report.txt") == "new"
    assert os.listdir(session.path) == ["report.txt"]


def test_a_file_that_cannot_be_replaced_stays_as_it_was(tmp_path: Path) -> None:
    session = folder.create(tmp_path, "lamp", BEGAN)
    (session.path / "report.txt").mkdir()
    with pytest.raises(RecordError, match="it cannot be written"):
        session.write("report.txt", "new")
    assert os.listdir(session.path) == ["report.txt"]


@pytest.mark.parametrize("name", ["../report.txt", "a/b", "", ".", "..", "journal.jsonl"])
def test_only_plain_names_beside_the_journal_are_written(tmp_path: Path, name: str) -> None:
    session = folder.create(tmp_path, "lamp", BEGAN)
    with pytest.raises(ValueError, match="is not a name"):
        session.write(name, "text")


def test_a_file_that_is_missing_or_not_text_is_told(tmp_path: Path) -> None:
    session = folder.create(tmp_path, "lamp", datetime.now(UTC))
    with pytest.raises(RecordError, match=r"procedure.yaml: it cannot be read"):
        session.read("procedure.yaml")
    session.write("procedure.yaml", b"\xff")
    with pytest.raises(RecordError, match="not UTF-8"):
        session.read("procedure.yaml")


def test_a_file_that_is_no_text_is_told_with_where_it_lies(tmp_path: Path) -> None:
    session = folder.create(tmp_path, "lamp", BEGAN)
    session.write("report.txt", b"\xff\xfe")
    with pytest.raises(RecordError) as refused:
        session.read("report.txt")
    assert str(refused.value) == f"{session.path / 'report.txt'}: it is not UTF-8 text"


# --- what cannot be read ---


@pytest.mark.parametrize("put_there", [os.mkfifo, os.mkdir])
def test_a_journal_that_is_no_file_is_refused_with_the_reason(
    tmp_path: Path, clock: Clock, put_there: Callable[[Path], None]
) -> None:
    good, odd = made(tmp_path, 1, ["session"], clock), made(tmp_path, 2, ["session"], clock)
    odd.journal.unlink()
    put_there(odd.journal)
    assert (good.refused, odd.refused) == ("", "its journal is not a file")
    assert folder.unreadable([good, odd]) == {odd: "its journal is not a file"}
    with pytest.raises(RecordError) as refused:
        _ = odd.unfinished
    assert str(refused.value) == (
        f"{odd.journal}: the journal cannot be read: this is not a file; "
        "choose another folder for records, or make this one writable"
    )


def test_a_session_that_was_not_begun_is_not_refused(tmp_path: Path) -> None:
    session = folder.create(tmp_path, "lamp", BEGAN)
    assert (session.begun, session.deleted, session.refused) == (False, False, "")
    assert SessionFolder(tmp_path / "none").refused == ""


def test_a_journal_at_the_end_of_a_ring_of_links_is_refused(tmp_path: Path) -> None:
    session = folder.create(tmp_path, "lamp", BEGAN)
    session.journal.symlink_to(session.journal)
    assert session.refused == "Too many levels of symbolic links"  # as strerror has it
    assert not session.begun


def test_a_session_ends_with_its_end_and_not_with_what_looks_like_it(
    tmp_path: Path, clock: Clock
) -> None:
    session = made(tmp_path, 1, ["session", "say"], clock)
    with session.journal.open("ab") as file:
        file.write(b'{"event":"end"')  # torn, and no line yet
    assert session.unfinished
    other = made(tmp_path, 2, ["say"], clock)
    assert not other.unfinished  # no session was begun in it


def test_records_that_are_no_folder_are_told(tmp_path: Path) -> None:
    (tmp_path / "records").write_text("a file")
    with pytest.raises(RecordError) as refused:
        folder.sessions(tmp_path / "records")
    assert str(refused.value) == (
        f"{tmp_path / 'records'}: the records cannot be read: a file is in the way; "
        "choose another folder for records, or make this one writable"
    )


def test_a_file_that_cannot_be_written_or_read_is_told_with_the_reason(tmp_path: Path) -> None:
    session = SessionFolder(tmp_path / "none")
    would = "choose another folder for records, or make this one writable"
    gone = f"the file or its folder is gone; {would}"
    for act, found in (
        (lambda: session.write("report.txt", "x"), "it cannot be written"),
        (lambda: session.read("report.txt"), "it cannot be read"),
    ):
        with pytest.raises(RecordError) as refused:
            act()
        assert str(refused.value) == f"{session.path / 'report.txt'}: {found}: {gone}"
    with pytest.raises(ValueError, match=r"^'a/b' is not a name for a file made from the journal$"):
        session.read("a/b")


def test_signs_that_no_file_can_hold_are_written_as_question_marks(tmp_path: Path) -> None:
    session = folder.create(tmp_path, "lamp", BEGAN)
    session.write("report.txt", "a\ud800b")
    assert session.read("report.txt") == "a?b"
    assert folder.used_file("posts") == "used-posts.yaml"


def test_what_a_kill_left_of_files_to_be_written_is_cleared_and_nothing_else(
    tmp_path: Path,
) -> None:
    session = folder.create(tmp_path, "lamp", BEGAN)
    for name in (".0a1b2c3d.report.txt", "report.txt", ".0a1b2c3.report.txt", ".hidden"):
        (session.path / name).write_text("x")
    clear_drafts(session.path)
    left = [".0a1b2c3.report.txt", ".hidden", "report.txt"]
    assert sorted(os.listdir(session.path)) == left

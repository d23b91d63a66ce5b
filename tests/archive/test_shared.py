"""One archive for several folders of records: a session is known by its own id, not by place."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from shelf import add, head, heard, job, kept, removal_of

from voiceassist.archive.find import Wanted
from voiceassist.archive.store import Archive
from voiceassist.archive.sync import sync
from voiceassist.archive.synced import Synced
from voiceassist.archive.verify import verified
from voiceassist.record import removal
from voiceassist.record.bay import BAY_ID, bay_id
from voiceassist.record.folder import SessionFolder

#: Columns that an earlier version had not.
NEWER = {"sid", "worked_s", "questions"}


@pytest.fixture
def one(where: str, tmp_path: Path) -> Iterator[tuple[Archive, Path]]:
    """An archive opened with the folder "one", in which two sessions lie."""
    records = tmp_path / "one"
    for minute in range(2):
        kept(records, job(), minute)
    with Archive.open(where, bay_id(records)) as archive:
        sync(archive, records)
        yield archive, records


def seen_from(where: str, records: Path) -> Synced:
    with Archive.open(where, bay_id(records)) as archive:
        return sync(archive, records)


def places_of(archive: Archive) -> list[str]:
    return [row["place"] for row in archive.find(Wanted())]


def test_a_folder_that_is_moved_doubles_nothing(
    one: tuple[Archive, Path], where: str, tmp_path: Path
) -> None:
    archive, records = one
    moved = records.rename(tmp_path / "elsewhere")
    assert seen_from(where, moved).sessions == 0  # nothing was to be read again
    assert (len(archive.find(Wanted())), archive.counts()) == (2, (2, 2))
    assert [row["missing"] for row in archive.find(Wanted())] == [False, False]


def test_a_folder_that_has_lost_its_id_doubles_nothing(
    one: tuple[Archive, Path], where: str
) -> None:
    archive, records = one
    before = bay_id(records)
    (records / BAY_ID).unlink()
    assert seen_from(where, records).sessions == 2
    assert places_of(archive) == [bay_id(records)] * 2
    assert bay_id(records) != before


def test_a_session_moved_to_another_bay_is_there_and_no_longer_here(
    one: tuple[Archive, Path], where: str, tmp_path: Path
) -> None:
    archive, records = one
    (tmp_path / "two").mkdir()
    first = next(p for p in sorted(records.iterdir()) if p.is_dir())
    shutil.move(first, tmp_path / "two" / first.name)
    seen_from(where, tmp_path / "two")
    sync(archive, records)
    assert sorted(places_of(archive)) == sorted([bay_id(records), bay_id(tmp_path / "two")])
    assert not [row for row in archive.find(Wanted()) if row["missing"]]


def test_bays_of_one_name_are_told_apart_by_the_id_in_their_folder(
    one: tuple[Archive, Path], where: str, tmp_path: Path
) -> None:
    archive, records = one
    kept(tmp_path / "two", job(), 7)
    for folder in (records, tmp_path / "two"):  # cloned computers: same host, same path
        with Archive.open(where, bay_id(folder)) as there:
            there.note_bay("bench:/home/shop/records")
            assert sync(there, folder).missing == ()
    assert len(set(places_of(archive))) == 2
    assert set(archive.bays().values()) == {"bench:/home/shop/records"}
    found = [SessionFolder(p) for p in sorted(records.iterdir()) if p.is_dir()]
    assert [verified(each, archive, "x").problems for each in found] == [(), ()]


def test_the_seal_of_a_session_comes_along_when_it_is_moved_and_cut(
    one: tuple[Archive, Path], where: str, tmp_path: Path
) -> None:
    _, records = one
    first = next(p for p in sorted(records.iterdir()) if p.is_dir())
    moved = SessionFolder(tmp_path / "two" / first.name)
    moved.path.parent.mkdir()
    shutil.move(first, moved.path)
    for name in ("report.txt", "transcript.txt", "transcript.vtt"):
        (moved.path / name).unlink()
    lines = moved.journal.read_bytes().splitlines(keepends=True)
    moved.journal.write_bytes(b"".join(lines[:-1]))
    with Archive.open(where, bay_id(tmp_path / "two")) as archive:
        sync(archive, tmp_path / "two")
        assert [p.kind for p in verified(moved, archive, "x").problems] == ["cut"]


def test_a_journal_written_anew_under_another_id_is_still_held_against_its_seal(
    one: tuple[Archive, Path],
) -> None:
    archive, records = one
    first = next(SessionFolder(p) for p in sorted(records.iterdir()) if p.is_dir())
    first.journal.unlink()
    add(first, [head(session="another"), *job()[1:]])
    sync(archive, records)
    assert "edited" in [p.kind for p in verified(first, archive, "x").problems]


# --- copies in one folder ---


@pytest.mark.parametrize("name", ["20200101-080000-lamp-aaaaaa", "20990101-080000-lamp-aaaaaa"])
def test_a_copy_of_a_session_is_named_and_not_counted(
    archive: Archive, tmp_path: Path, name: str
) -> None:
    made = kept(tmp_path, job())
    shutil.copytree(made.path, tmp_path / name)
    for _ in range(2):
        told = sync(archive, tmp_path)
        assert told.passed_over == (f"{name}: this is a copy of {made.id}, and is not counted",)
        assert [row["folder"] for row in archive.find(Wanted())] == [made.id]
    assert archive.counts() == (1, 1)


def test_a_folder_that_gets_another_name_is_the_same_session(
    archive: Archive, tmp_path: Path
) -> None:
    made = kept(tmp_path, job())
    sync(archive, tmp_path)
    made.path.rename(tmp_path / "20990101-080000-lamp-aaaaaa")
    sync(archive, tmp_path)
    found = [(row["folder"], row["missing"]) for row in archive.find(Wanted())]
    assert found == [("20990101-080000-lamp-aaaaaa", False)]


def test_sessions_of_an_earlier_version_are_known_by_their_first_line(
    archive: Archive, tmp_path: Path
) -> None:
    made = kept(tmp_path, [head(session=""), heard("yes")])
    sync(archive, tmp_path)
    row = archive.session(made.id)
    assert row is not None
    assert len(row["sid"]) == 64


def test_a_deleted_session_is_told_once_wherever_its_folder_has_been(
    one: tuple[Archive, Path], where: str
) -> None:
    archive, records = one
    first = next(SessionFolder(p) for p in sorted(records.iterdir()) if p.is_dir())
    removal.remove_session(first, removal_of(first))
    sync(archive, records)
    (records / BAY_ID).unlink()
    seen_from(where, records)
    assert [row["folder"] for row in archive.deletions()] == [first.id]


# --- the id itself ---


def test_the_id_of_a_folder_is_made_once_and_stays(tmp_path: Path) -> None:
    found = bay_id(tmp_path)
    assert len(found) == 32
    assert bay_id(tmp_path) == found
    (tmp_path / BAY_ID).write_text("nonsense")
    assert bay_id(tmp_path) == ""


def test_a_folder_that_cannot_be_written_has_no_id(tmp_path: Path) -> None:
    assert bay_id(tmp_path / "none") == ""


def test_words_stay_whole_when_a_place_is_forgotten(one: tuple[Archive, Path]) -> None:
    archive, records = one
    assert len(archive.find(Wanted(said="volts"))) == 2
    archive.forget_place(bay_id(records))
    assert archive.find(Wanted(said="volts")) == []
    assert archive.counts() == (0, 0)
    sync(archive, records)
    assert len(archive.find(Wanted(said="volts"))) == 2

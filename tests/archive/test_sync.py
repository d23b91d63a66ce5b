"""The archive takes in what the journals hold and it does not, and can be made again from them."""

import json
import shutil
from pathlib import Path

import pytest
from shelf import BEGAN, END, FINDING, add, head, heard, job, kept, reading, removal_of, verdict

from voiceassist.archive import sync as sync_module
from voiceassist.archive import taking
from voiceassist.archive.find import Wanted
from voiceassist.archive.store import Archive
from voiceassist.archive.sync import sync
from voiceassist.record import removal
from voiceassist.record.folder import STUB, SessionFolder, create


@pytest.fixture
def records(tmp_path: Path) -> Path:
    return tmp_path / "records"


def test_only_new_and_longer_journals_are_read(archive: Archive, records: Path) -> None:
    first = kept(records, job()[:3], finished=False)
    assert (sync(archive, records).sessions, sync(archive, records).sessions) == (1, 0)
    kept(records, job(), 1)
    assert sync(archive, records).lines == 6
    add(first, job()[3:])
    assert sync(archive, records).lines == 6
    assert [row["ended"] for row in archive.find(Wanted())] == [True, True]
    assert archive.counts() == (2, 2)


def test_a_session_without_a_line_is_no_session_yet(archive: Archive, records: Path) -> None:
    create(records, "lamp", BEGAN)
    assert sync(archive, records).sessions == 0
    assert sync(archive, records / "none").sessions == 0


def test_everything_is_made_again_from_the_journals(where: str, records: Path) -> None:
    for minute in range(5):
        kept(records, job(f"12.{minute}0"), minute)
    with Archive.open(where) as archive:
        sync(archive, records)
        before = all_of(archive)
        assert len(before) == 5
        made = sync(archive, records, anew=True)
        assert (made.sessions, made.lines) == (5, 30)
        assert all_of(archive) == before


def all_of(archive: Archive) -> list[object]:
    """Every session with its readings."""
    found = archive.find(Wanted())
    return [(dict(row), [dict(r) for r in archive.readings(row["number"])]) for row in found]


def test_many_lines_go_in_several_portions(
    archive: Archive, records: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(taking, "_LINES", 10)
    monkeypatch.setattr(sync_module, "_MANY", 4)
    for minute in range(5):
        kept(records, job(), minute)
    told: list[tuple[int, int]] = []
    made = sync(archive, records, progress=lambda done, of: told.append((done, of)))
    assert told == [(2, 5), (4, 5), (5, 5)]
    assert (made.sessions, made.lines, archive.counts()) == (5, 30, (5, 5))


@pytest.mark.parametrize(
    ("harm", "chain", "lines"),
    [
        (lambda data: data[:-5], "torn", 5),
        (lambda data: data.replace(b"12.60 V", b"12.90 V", 1), "altered", 2),
        (lambda data: b"", "intact", 0),
        (lambda data: b"no journal\n", "altered", 0),
    ],
)
def test_a_harmed_journal_is_taken_as_far_as_it_is_whole(
    archive: Archive, records: Path, harm: "object", chain: str, lines: int
) -> None:
    made = kept(records, job())
    assert callable(harm)
    made.journal.write_bytes(harm(made.journal.read_bytes()))
    sync(archive, records)
    row = archive.session(made.id)
    assert row is not None
    assert (row["chain"], row["lines"]) == (chain, lines)


def test_a_folder_that_is_gone_is_noted_and_one_that_is_back_too(
    archive: Archive, records: Path, tmp_path: Path
) -> None:
    made = kept(records, job())
    sync(archive, records)
    shutil.move(made.path, tmp_path / "elsewhere")
    assert sync(archive, records).missing == (made.id,)
    assert sync(archive, records).missing == (made.id,)
    assert [row["missing"] for row in archive.find(Wanted())] == [True]
    shutil.move(tmp_path / "elsewhere", made.path)
    assert sync(archive, records).missing == ()
    assert [row["missing"] for row in archive.find(Wanted())] == [False]


def deleted(made: SessionFolder) -> None:
    removal.remove_session(made, removal_of(made))


def test_a_stub_takes_the_session_out(archive: Archive, records: Path) -> None:
    gone, stays = kept(records, job()), kept(records, job(), 1)
    sync(archive, records)
    deleted(gone)
    assert sync(archive, records).deleted == 1
    assert sync(archive, records).deleted == 0
    assert [row["folder"] for row in archive.find(Wanted())] == [stays.id]
    assert [row["folder"] for row in archive.deletions()] == [gone.id]


def test_a_session_whose_deletion_broke_off_is_found_no_more(
    archive: Archive, records: Path
) -> None:
    made = kept(records, job())
    sync(archive, records)
    made.write(STUB, json.dumps(removal_of(made).to_json()))  # and then the power went
    assert sync(archive, records).deleted == 1
    assert archive.find(Wanted()) == []
    assert archive.trends("feed") == []
    assert [row["folder"] for row in archive.deletions()] == [made.id]


def test_deleted_sessions_are_known_in_an_archive_made_anew(
    archive: Archive, records: Path
) -> None:
    made = kept(records, job())
    deleted(made)
    assert sync(archive, records).deleted == 1
    assert [row["folder"] for row in archive.deletions()] == [made.id]


def test_a_stub_that_cannot_be_read_is_told_and_stops_nothing(
    archive: Archive, records: Path
) -> None:
    (kept(records, job()).path / STUB).write_text("{}")
    kept(records, job(), 1)
    told = sync(archive, records)
    assert told.sessions == 1
    assert [sentence.split(": ")[1][:12] for sentence in told.unreadable] == ["this is not "]


def test_a_journal_that_cannot_be_read_is_told_and_stops_nothing(
    archive: Archive, records: Path
) -> None:
    made = kept(records, job())
    made.journal.unlink()
    made.journal.mkdir()
    kept(records, job(), 1)
    told = sync(archive, records)
    assert (told.sessions, len(told.unreadable)) == (1, 1)
    assert str(made.journal) in told.unreadable[0]


def test_test_points_are_read_once_for_each_text_of_a_procedure(
    archive: Archive, records: Path
) -> None:
    for minute in range(3):
        kept(records, job(), minute)
    asked: list[str] = []

    def points_of(folder: SessionFolder) -> dict[str, list[str]]:
        asked.append(folder.id)
        return {"feed": ["feed pin"]}

    sync(archive, records, points_of)
    assert len(asked) == 1
    (trend,) = archive.trends("feed pin")
    assert (trend.step, len(trend.samples)) == ("feed", 3)


# --- trends ---


def test_a_trend_takes_the_readings_that_count_of_one_step(archive: Archive, records: Path) -> None:
    corrected = [reading("99"), verdict("99 V", "high"), reading("12.70", corrects=True)]
    kept(records, [head(), *corrected, verdict("12.70 V", "pass"), FINDING, END])
    kept(records, job("12.60"), 1)
    kept(records, [head(), reading("12500", "mV"), reading("9.9", step="earth"), END], 2)
    kept(records, [head(procedure="horn"), reading("5.0"), END], 3)
    kept(records, [head(), {"event": "reading", "step": "feed", "name": "dim"}], 4)
    sync(archive, records)
    horn, lamp = archive.trends("feed")
    assert (horn.procedure, [str(s.quantity) for s in horn.samples]) == ("horn", ["5.0 V"])
    assert [str(s.quantity) for s in lamp.samples] == ["12700 mV", "12600 mV", "12500 mV"]
    assert (lamp.unit, lamp.jobs, f"{lamp.spread.median:f}") == ("mV", 3, "12600")
    assert [t.procedure for t in archive.trends("feed", procedure="lamp")] == ["lamp"]
    assert archive.trends("feed", vehicle="kestrel") == []
    assert archive.trends("no such point") == []


def test_a_trend_can_be_of_one_vehicle(archive: Archive, records: Path) -> None:
    kept(records, job("12.60"))
    kept(records, job("11.00", vehicle="Kestrel 4"), 1)
    sync(archive, records)
    (one,) = archive.trends("feed", vehicle="kestrel")
    assert [str(s.quantity) for s in one.samples] == ["11.00 V"]


def test_different_quantities_of_one_step_are_told_apart(archive: Archive, records: Path) -> None:
    kept(records, [head(), reading("12.6", "V"), heard("no"), reading("3", "A", corrects=False)])
    kept(records, [head(), reading("3", "A")], 1)
    kept(records, [head(), reading("12.6", "V")], 2)
    sync(archive, records)
    assert sorted((t.unit, len(t.samples)) for t in archive.trends("feed")) == [("A", 2), ("V", 1)]

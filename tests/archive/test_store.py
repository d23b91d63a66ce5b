"""Sessions put into the archive are found by every field, the youngest first."""

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from shelf import BEGAN, END, FINDING, head, heard, job, kept, reading, verdict

from voiceassist.archive.asking import Seal
from voiceassist.archive.find import Wanted
from voiceassist.archive.numbers import number_from, number_of
from voiceassist.archive.rows import TakenSession
from voiceassist.archive.store import Archive
from voiceassist.archive.sync import sync
from voiceassist.record import times
from voiceassist.record.removal import Removal
from voiceassist.record.summary import summary


@pytest.fixture(scope="module")
def filled(standing: Archive, tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """Four sessions, an hour apart; letter to folder."""
    other = [FINDING | {"cause": "the bulb is open", "name": "bulb"}, END]
    lines = {
        "a": job("12.60", "pass", order="RO-1042"),
        "b": job("0.10", "low", order="1043", vehicle="Kestrel 4, number 12"),
        "c": [head("1044", procedure="horn"), heard("it hums"), *other],
        "d": [head("1045"), reading("12.6"), verdict("12.6 V", "high"), *other],
    }
    records = tmp_path_factory.mktemp("records")
    folders = {k: kept(records, v, 60 * n).id for n, (k, v) in enumerate(lines.items())}
    sync(standing, records)
    return folders


@pytest.mark.parametrize(
    ("wanted", "found"),
    [
        (Wanted(), "dcba"),
        (Wanted(limit=2), "dc"),
        (Wanted(order="1043"), "b"),
        (Wanted(order="ro 1042"), "a"),
        (Wanted(order="104"), ""),
        (Wanted(vehicle="kestrel"), "b"),
        (Wanted(vehicle='"number 7"'), "dca"),
        (Wanted(procedure="horn"), "c"),
        (Wanted(verdict="low"), "b"),
        (Wanted(verdict="pass", limit=5), "a"),
        (Wanted(cause="bulb open"), "dc"),
        (Wanted(said="hums"), "c"),
        (Wanted(cause="bulb", limit=1), "d"),
        (Wanted(cause="bulb", limit=1, until=BEGAN + timedelta(hours=3)), "c"),
        (Wanted(since=BEGAN + timedelta(hours=1)), "dcb"),
        (Wanted(until=BEGAN + timedelta(hours=1)), "a"),
        (Wanted(since=BEGAN + timedelta(hours=1), until=BEGAN + timedelta(hours=2)), "b"),
        (Wanted(cause="fuse", verdict="low", vehicle="number", procedure="lamp"), "b"),
        (Wanted(said="volts", verdict="pass"), "a"),
        (Wanted(order="1043", verdict="pass"), ""),
    ],
)
def test_sessions_are_found_by_every_field(
    standing: Archive, filled: dict[str, str], wanted: Wanted, found: str
) -> None:
    named = {folder: letter for letter, folder in filled.items()}
    assert "".join(named[row["folder"]] for row in standing.find(wanted)) == found


def test_the_rows_of_a_session_tell_what_its_journal_holds(
    standing: Archive, filled: dict[str, str]
) -> None:
    row = standing.session(filled["a"])
    assert row is not None
    assert (row["repair_order"], row["technician"]) == ("RO-1042", "A. Person")
    assert (row["cause"], row["outcome"], row["ended"]) == ("the fuse is open", "found", True)
    assert (row["lines"], row["chain"]) == (6, "intact")
    (one,) = standing.readings(row["number"])
    assert (one["step"], str(one["value"]), one["unit"]) == ("feed", "12.60", "V")
    assert (one["accept"], one["verdict"], one["quantity"]) == (
        "11.8 V to 12.9 V", "pass", "voltage",
    )  # fmt: skip


def taken(folder: str, words: str = "one", hashes: tuple[str, ...] = ("a1",)) -> TakenSession:
    at = {"at": "2026-01-02T08:00:00Z"}
    lines = [{**head(), **at}, {**heard(words), **at}, {**reading("12.60"), **at}]
    return TakenSession(folder, summary([*lines, {**verdict("12.60 V", "pass"), **at}]), hashes)


def test_a_session_put_again_takes_the_place_of_what_was_there(archive: Archive) -> None:
    archive.put([taken("a", "one")])
    archive.put([taken("a", "two"), taken("b", "two")])
    assert archive.find(Wanted(said="one")) == []
    assert len(archive.find(Wanted(said="two"))) == 2
    assert archive.counts() == (2, 2)


def test_sessions_of_one_millisecond_have_numbers_of_their_own(archive: Archive) -> None:
    archive.put([replace(taken("same"), folder="same"), taken("other")])
    one = archive.session("same")
    assert one is not None
    clash = [f"x{n}" for n in range(20_000) if number_of(f"x{n}", one["began"]) == one["number"]]
    assert clash, "none of twenty thousand names has the number of the first"
    archive.put([taken(clash[0])])
    numbers = {row["number"] for row in archive.find(Wanted())}
    assert len(numbers) == 3


@pytest.mark.parametrize("at", ["0001-01-01T00:00:00Z", "9999-12-31T23:59:59.999Z"])
def test_no_clock_however_wrong_breaks_the_number(archive: Archive, at: str) -> None:
    told = summary([{**head(), "at": at}])
    archive.put([TakenSession("a", told, ["00"])])
    assert archive.find(Wanted(since=times.parsed(at)))[0]["folder"] == "a"
    assert number_of("a", at) >= number_from(times.parsed(at))


def test_text_that_a_database_refuses_is_put_all_the_same(archive: Archive) -> None:
    bad = "nul\0 lone \ud800 end"
    at = {"at": "2026-01-02T08:00:00Z"}
    lines = [{**head(order=bad, vehicle=bad), **at}, {**heard(bad), **at}]
    lines += [{**reading("1", step=bad), **at}, {**verdict("1 V", bad, step=bad), **at}]
    archive.put([TakenSession("a", summary(lines), ["00"])])
    assert len(archive.find(Wanted(said="lone end"))) == 1


# --- seals ---


def test_a_seal_moves_on_with_a_journal_that_grows(archive: Archive) -> None:
    archive.put([taken("a", hashes=("a1", "a2"))])
    archive.put([taken("a", hashes=("a1", "a2", "a3"))])
    assert archive.seal("a") == Seal(3, "a3")


@pytest.mark.parametrize("hashes", [("a1",), ("a1", "b2"), ("b1", "b2", "b3"), ()])
def test_a_seal_stays_when_the_journal_does_not_hold_its_line(
    archive: Archive, hashes: tuple[str, ...]
) -> None:
    archive.put([taken("a", hashes=("a1", "a2"))])
    archive.put([taken("a", hashes=hashes)])
    assert archive.seal("a") == Seal(2, "a2")


# --- deleted ---


def removal(folder: str) -> Removal:
    return Removal(folder, "2026-03-01T08:00:00Z", "someone", "asked for", 2, "a2")


def test_a_forgotten_session_leaves_nothing_but_that_it_was_deleted(archive: Archive) -> None:
    archive.put([taken("a"), taken("b")])
    archive.forget([removal("a")])
    archive.forget([removal("a")])
    assert [row["folder"] for row in archive.find(Wanted(said="one"))] == ["b"]
    assert archive.counts() == (1, 1)
    assert archive.seal("a") is None
    (gone,) = archive.deletions()
    assert (gone["folder"], gone["reason"], gone["removed_by"]) == ("a", "asked for", "someone")


def test_no_word_of_a_forgotten_session_stays_in_the_file(tmp_path: Path) -> None:
    file = tmp_path / "archive.db"
    with Archive.open(str(file)) as archive:
        archive.put([taken("a", "zanzibar quokka"), *(taken(f"b{n}", "other") for n in range(50))])
        archive.put([taken("c", "zanzibar")])
        assert b"zanzibar quokka" in content(tmp_path)
        archive.forget([removal("a"), removal("c")])
        assert b"quokka" not in content(tmp_path)
        assert b"zanzibar" not in content(tmp_path)


def content(folder: Path) -> bytes:
    """Everything in the files of the archive."""
    return b"".join(path.read_bytes() for path in folder.iterdir())


def test_bays_that_share_an_archive_keep_their_sessions_apart(where: str) -> None:
    with Archive.open(where, "bay 1") as one, Archive.open(where, "bay 2") as two:
        one.put([taken("a", hashes=("a1",))])
        two.put([taken("a", hashes=("b1",)), taken("b")])
        one.forget([removal("b")])
        assert set(one.known()) == {"a"}
        assert set(two.known()) == {"a", "b"}
        assert two.seal("a") == Seal(1, "b1")
        assert len(one.find(Wanted(order="1042"))) == 3

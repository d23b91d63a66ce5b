"""The parts of one job: which sessions belong together, and which part is to be begun yet."""

from datetime import datetime
from pathlib import Path

import pytest

from voiceassist.record.folder import SessionFolder
from voiceassist.record.job import JobPart, left_open, part_of, parts_of
from voiceassist.record.journal import Journal

AT = datetime.fromisoformat("2026-11-30T10:00:00+00:00")
TWO = JobPart(("fan", "wiper"))
ENDED = {"event": "end", "outcome": "found"}


def begun(
    home: Path, name: str, part: object, sequence: int, order: str = "", *, ended: bool = True
) -> SessionFolder:
    folder = SessionFolder(home / f"20261130-10000{sequence}-{name}-1234")
    folder.path.mkdir()
    head = {"event": "session", "procedure": name, "part": part, "sequence": sequence}
    with Journal.create(folder.journal, lambda: AT) as journal:
        journal.append([head | {"facts": {"repair order": order}}, *([ENDED] if ended else [])])
    return folder


def test_a_part_tells_what_follows_it_and_the_last_that_nothing_does() -> None:
    assert (TWO.number, TWO.after, TWO.following) == (1, "", "wiper")
    second = TWO.next("the-first")
    assert second == JobPart(("fan", "wiper"), 2, "the-first")
    assert second.following == ""


def test_a_part_of_a_job_is_read_as_it_was_kept() -> None:
    second = TWO.next("the-first")
    kept = {"number": 2, "of": 2, "after": "the-first", "names": ["fan", "wiper"]}
    assert second.to_json() == kept
    assert part_of({"event": "session", "part": kept}) == second
    assert part_of({"event": "session", "part": {"number": 1, "names": ["fan"]}}) == JobPart(
        ("fan",)
    )


def test_the_parts_of_a_job_are_found_from_either_end(tmp_path: Path) -> None:
    job = JobPart(("fan", "wiper", "horn"))
    first = begun(tmp_path, "fan", job.to_json(), 1)
    begun(tmp_path, "horn", JobPart(("horn", "lamp")).to_json(), 2)
    middle = job.next(first.id)
    second = begun(tmp_path, "wiper", middle.to_json(), 3)
    third = begun(tmp_path, "horn", middle.next(second.id).to_json(), 4)
    for each in (first, second, third):
        assert parts_of(each) == (first, second, third)


def test_a_job_whose_second_part_is_not_begun_is_left_open(tmp_path: Path) -> None:
    first = begun(tmp_path, "fan", TWO.to_json(), 1)
    assert left_open(tmp_path, "") == left_open(tmp_path, first.id[:16]) == first
    begun(tmp_path, "wiper", TWO.next(first.id).to_json(), 2)
    assert left_open(tmp_path, "") is None
    assert left_open(tmp_path, first.id) is None


def test_a_job_left_open_is_found_by_its_repair_order_however_it_is_written(
    tmp_path: Path,
) -> None:
    first = begun(tmp_path, "fan", TWO.to_json(), 1, order="RO 10-42")
    begun(tmp_path, "horn", None, 2, order="7")
    assert left_open(tmp_path, "ro1042") == left_open(tmp_path, "Ro-10 42") == first
    assert left_open(tmp_path, "ro 104") is None
    assert left_open(tmp_path, "7") is None
    assert left_open(tmp_path, "") is None  # the last session is none that goes on
    assert left_open(tmp_path / "none", "ro1042") is None


def test_a_session_without_a_repair_order_is_not_found_by_one_that_has_no_letters(
    tmp_path: Path,
) -> None:
    first = begun(tmp_path, "fan", TWO.to_json(), 1)
    begun(tmp_path, "horn", None, 2)
    assert left_open(tmp_path, first.id) == first
    assert left_open(tmp_path, "1042") is None


def test_a_session_that_goes_on_itself_or_was_deleted_leaves_no_part_open(tmp_path: Path) -> None:
    first = begun(tmp_path, "fan", TWO.to_json(), 1)
    begun(tmp_path, "wiper", TWO.to_json(), 2, ended=False)
    assert left_open(tmp_path, "") is None
    later = begun(tmp_path, "horn", TWO.to_json(), 3)
    assert left_open(tmp_path, "") == later
    later.write("deleted.json", "{}")
    assert left_open(tmp_path, later.id) is None
    SessionFolder(tmp_path / "20261130-100009-lamp-1234").path.mkdir()  # nothing was begun there
    assert left_open(tmp_path, first.id) == first


def test_where_the_records_cannot_be_read_nothing_is_left_open(tmp_path: Path) -> None:
    (tmp_path / "records").write_text("a file", encoding="utf-8")
    assert left_open(tmp_path / "records", "") is None


@pytest.mark.parametrize(
    "part",
    [
        None,
        "two",
        {"number": 1, "of": 2, "after": ""},  # as earlier versions wrote it
        {"number": 0, "names": ["fan"]},
        {"number": True, "names": ["fan", "wiper"]},
        {"number": 1, "names": "fan"},
        {"number": 3, "names": ["fan", "wiper"]},
    ],
)
def test_what_a_journal_tells_amiss_of_its_part_is_a_job_of_one(
    tmp_path: Path, part: object
) -> None:
    folder = begun(tmp_path, "fan", part, 1)
    assert part_of({"event": "session", "part": part}) is None
    assert parts_of(folder) == (folder,)
    assert left_open(tmp_path, "") is None


def test_parts_that_name_each_other_do_not_go_round_for_ever(tmp_path: Path) -> None:
    one = begun(tmp_path, "fan", {"number": 2, "after": "20261130-100002-wiper-1234"}, 1)
    two = begun(tmp_path, "wiper", {"number": 2, "after": one.id}, 2)
    assert set(parts_of(two)) == {one, two}
    odd = begun(tmp_path, "horn", {"number": 2, "after": "../../etc"}, 3)
    assert parts_of(odd) == (odd,)

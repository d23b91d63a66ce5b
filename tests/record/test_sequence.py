"""Which session came after which, whatever the clock said."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from voiceassist.record import folder
from voiceassist.record.folder import SessionFolder
from voiceassist.record.sequence import head_of, in_order, next_sequence, sequence_of

BEGAN = datetime(2026, 1, 2, 8, 0, tzinfo=UTC)


def begun(records: Path, minute: int, head: str) -> SessionFolder:
    made = folder.create(records, "lamp", BEGAN + timedelta(minutes=minute))
    made.journal.write_text(head + "\n{}\n", encoding="utf-8")
    return made


def test_the_next_number_is_one_above_the_highest_that_was_given(tmp_path: Path) -> None:
    assert next_sequence(tmp_path / "none") == 1
    begun(tmp_path, 0, '{"event":"session","sequence":7}')
    begun(tmp_path, 1, '{"event":"session","sequence":3}')
    begun(tmp_path, 2, '{"event":"session"}')
    assert next_sequence(tmp_path) == 8


def test_sessions_come_in_the_order_of_their_numbers_and_those_without_first_by_name(
    tmp_path: Path,
) -> None:
    second = begun(tmp_path, 0, '{"sequence":2}')  # its clock was slow
    first = begun(tmp_path, 9, '{"sequence":1}')
    old, older = begun(tmp_path, 5, "{}"), begun(tmp_path, 4, "{}")
    assert in_order([second, old, first, older]) == (older, old, first, second)


@pytest.mark.parametrize(
    ("head", "number"),
    [
        ('{"sequence":1}', 1),
        ('{"sequence":0}', 0),
        ('{"sequence":-4}', 0),
        ('{"sequence":true}', 0),
        ('{"sequence":"3"}', 0),
        ('{"sequence":2.0}', 0),
        ("[1]", 0),
        ('{"sequence":', 0),
        ("[" * 100_000, 0),
    ],
)
def test_a_number_is_a_whole_one_from_one_on_and_all_else_is_none(
    tmp_path: Path, head: str, number: int
) -> None:
    assert sequence_of(begun(tmp_path, 0, head)) == number


def test_a_first_line_longer_than_any_session_writes_is_none(tmp_path: Path) -> None:
    rest = '{"sequence":7,"event":"session","text":"'
    longest = 1_000_000 - len(rest) - len('"}')
    assert sequence_of(begun(tmp_path, 0, f'{rest}{"x" * longest}"}}')) == 7
    assert head_of(begun(tmp_path, 1, f'{rest}{"x" * (longest + 1)}"}}')) == {}


def test_only_the_first_line_tells(tmp_path: Path) -> None:
    made = begun(tmp_path, 0, '{"event":"session"}\n{"sequence":5}')
    assert head_of(made) == {"event": "session"}
    assert sequence_of(made) == 0


def test_a_folder_without_a_journal_and_one_that_is_no_file_have_no_head(tmp_path: Path) -> None:
    empty = folder.create(tmp_path, "lamp", BEGAN)
    assert head_of(empty) == {}
    empty.journal.mkdir()
    assert head_of(empty) == {}

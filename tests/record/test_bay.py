"""A folder of records keeps one id of its own, whoever asks and however often."""

import stat
import threading
import time
from pathlib import Path

import pytest

from voiceassist.record import bay
from voiceassist.record.bay import BAY_ID, bay_id


def test_an_id_is_made_once_and_stays(tmp_path: Path) -> None:
    made = bay_id(tmp_path)
    assert len(made) == 32
    assert int(made, 16) >= 0
    assert bay_id(tmp_path) == made
    assert (tmp_path / BAY_ID).read_bytes() == made.encode() + b"\n"


def test_two_folders_have_two_ids(tmp_path: Path) -> None:
    one, other = tmp_path / "one", tmp_path / "other"
    one.mkdir()
    other.mkdir()
    assert bay_id(one) != bay_id(other)


def test_others_may_read_it_and_nobody_else_may_write_it(tmp_path: Path) -> None:
    bay_id(tmp_path)
    assert stat.S_IMODE((tmp_path / BAY_ID).stat().st_mode) == 0o644


def test_where_there_is_no_folder_there_is_no_id(tmp_path: Path) -> None:
    began = time.monotonic()
    assert bay_id(tmp_path / "none") == ""
    assert time.monotonic() - began < bay._WAIT_S  # nothing is being written there


@pytest.mark.parametrize("text", ["", "0123", "Z" * 32, "f" * 33, "ä" * 32])
def test_what_is_no_id_is_not_taken_for_one_and_not_written_over(
    tmp_path: Path, text: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bay, "_WAIT_S", 0.05)
    (tmp_path / BAY_ID).write_text(text, encoding="utf-8")
    assert bay_id(tmp_path) == ""
    assert (tmp_path / BAY_ID).read_text(encoding="utf-8") == text


def test_an_id_that_another_process_is_about_to_write_is_waited_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bay, "_WAIT_S", 30.0)
    path = tmp_path / BAY_ID
    path.touch()
    timer = threading.Timer(0.1, path.write_text, ("c" * 32 + "\n",))
    timer.start()
    try:
        assert bay_id(tmp_path) == "c" * 32
    finally:
        timer.join()

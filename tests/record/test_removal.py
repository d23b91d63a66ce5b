"""Deleting removes everything and leaves a stub that says so, before anything is gone."""

import json
import os
import stat
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from shelf import BEGAN, job, kept

from voiceassist.errors import RecordError
from voiceassist.record import removal
from voiceassist.record.folder import STUB, SessionFolder
from voiceassist.record.journal import Journal
from voiceassist.record.removal import Removal


def gone(made: SessionFolder, *files: str) -> Removal:
    return Removal(made.id, "2026-03-01T08:00:00Z", "someone", "asked for", 6, "ab", files)


def test_nothing_but_the_stub_is_left(tmp_path: Path) -> None:
    made = kept(tmp_path, job())
    made.write("answers.wav", b"RIFF")
    (made.path / "pictures").mkdir()
    (made.path / "pictures" / "a.png").write_bytes(b"x")
    removal.remove_session(made, gone(made, "answers.wav"))
    assert os.listdir(made.path) == ["deleted.json"]
    told = json.loads((made.path / "deleted.json").read_text("utf-8"))
    assert told["session"] == made.id
    assert (told["removed_at"], told["by"]) == ("2026-03-01T08:00:00Z", "someone")
    assert (told["reason"], told["last_hash"], told["lines"]) == ("asked for", "ab", 6)
    assert removal.stub(made) == gone(made, "answers.wav")
    assert stat.S_IMODE((made.path / "deleted.json").stat().st_mode) == 0o600
    assert not made.unfinished


def test_a_session_whose_deletion_broke_off_cannot_be_gone_on_with(tmp_path: Path) -> None:
    made = kept(tmp_path, job()[:3])
    assert made.unfinished
    made.write(STUB, json.dumps(gone(made).to_json()))  # and then the power went
    assert not made.unfinished


def test_only_sound_goes_when_only_sound_is_meant(tmp_path: Path) -> None:
    made = kept(tmp_path, job())
    before = set(os.listdir(made.path))
    for name in ("answers.wav", "note-1.FLAC"):
        made.write(name, b"RIFF")
    assert [path.name for path in removal.sound_files(made)] == ["answers.wav", "note-1.FLAC"]
    removal.remove_sound(made, gone(made, "answers.wav", "note-1.FLAC"))
    assert set(os.listdir(made.path)) == before | {"sound-removed.json"}
    assert removal.stub(made) is None


def test_a_session_that_is_open_is_not_deleted(tmp_path: Path) -> None:
    made = kept(tmp_path, job()[:3])
    before = set(os.listdir(made.path))
    with (
        Journal.open(made.journal, lambda: BEGAN),
        pytest.raises(RecordError) as refused,
    ):
        removal.remove_session(made, gone(made))
    assert str(refused.value) == (
        f"{made.path}: it cannot be removed: another session has it open; "
        "finish the session first, or make the folder writable"
    )
    assert set(os.listdir(made.path)) == before


def test_a_link_is_not_followed(tmp_path: Path) -> None:
    made = kept(tmp_path / "records", job())
    outside = tmp_path / "outside"
    outside.mkdir()
    (outside / "precious").write_text("x")
    (made.path / "link").symlink_to(outside)
    removal.remove_session(made, gone(made))
    assert (outside / "precious").exists()
    linked = SessionFolder(tmp_path / "records" / "20260102-080000-lamp-abcdef")
    linked.path.symlink_to(outside)
    with pytest.raises(RecordError) as refused:
        removal.remove_session(linked, gone(linked))
    assert str(refused.value) == (
        f"{linked.path}: this is a link to a folder elsewhere; delete the session where it lies"
    )
    assert (outside / "precious").exists()


def test_a_deletion_that_was_cut_is_completed(tmp_path: Path) -> None:
    made = kept(tmp_path, job())
    made.write("deleted.json", json.dumps(gone(made).to_json()))
    assert "journal.jsonl" in removal.remains(made)
    removal.remove_session(made, gone(made))
    assert removal.remains(made) == ()


@pytest.mark.parametrize("text", ["{}", "[]", "no json", '{"files": 3}', '{"files": [], "x": 1}'])
def test_a_stub_that_is_none_is_told(tmp_path: Path, text: str) -> None:
    made = kept(tmp_path, job())
    made.write("deleted.json", text)
    with pytest.raises(RecordError, match="not the stub of a deleted session"):
        removal.stub(made)


def test_sound_that_was_removed_before_stays_named(tmp_path: Path) -> None:
    made = kept(tmp_path, job())
    for name in ("first.wav", "second.wav"):
        made.write(name, b"RIFF")
        removal.remove_sound(made, gone(made, name))
    found = removal.stub(made, removal.SOUND_STUB)
    assert found is not None
    assert found.files == ("first.wav", "second.wav")


def test_a_stub_can_be_read_by_people_of_any_name(tmp_path: Path) -> None:
    made = kept(tmp_path, job())
    removal.remove_session(made, replace(gone(made), by="Jürg"))
    assert "Jürg" in (made.path / STUB).read_text("utf-8")


def test_a_stub_of_sound_that_tells_nothing_names_nothing_of_before(tmp_path: Path) -> None:
    made = kept(tmp_path, job())
    made.write(removal.SOUND_STUB, "no json")
    made.write("new.wav", b"RIFF")
    removal.remove_sound(made, gone(made, "new.wav"))
    found = removal.stub(made, removal.SOUND_STUB)
    assert found is not None
    assert found.files == ("new.wav",)


def test_a_folder_in_which_nothing_was_begun_is_removed_too(tmp_path: Path) -> None:
    made = SessionFolder(tmp_path / "20260102-080000-lamp-abcdef")
    made.path.mkdir()
    made.write("report.txt", "x")
    removal.remove_session(made, gone(made))
    assert os.listdir(made.path) == [STUB]
    assert removal.sound_files(SessionFolder(tmp_path / "none")) == ()


def test_a_stub_that_is_none_is_told_with_where_it_lies(tmp_path: Path) -> None:
    made = kept(tmp_path, job())
    made.write(STUB, "no json")
    with pytest.raises(RecordError) as refused:
        removal.stub(made)
    told = "this is not the stub of a deleted session; delete the session again"
    assert str(refused.value) == f"{made.path / STUB}: {told}"


@pytest.mark.parametrize("wrong", [{"lines": True}, {"lines": "6"}, {"by": 3}, {"files": (1,)}])
def test_a_stub_holds_texts_and_a_number_of_lines(tmp_path: Path, wrong: dict[str, Any]) -> None:
    made = kept(tmp_path, job())
    with pytest.raises(TypeError, match=r"^a stub holds texts, and a number of lines$"):
        replace(gone(made), **wrong)


def test_a_stub_is_laid_out_for_people(tmp_path: Path) -> None:
    made = kept(tmp_path, job())
    removal.remove_session(made, gone(made, "answers.wav"))
    assert (made.path / STUB).read_text("utf-8").splitlines() == [
        "{",
        f' "session": "{made.id}",',
        ' "removed_at": "2026-03-01T08:00:00Z",',
        ' "by": "someone",',
        ' "reason": "asked for",',
        ' "lines": 6,',
        ' "last_hash": "ab",',
        ' "files": [',
        '  "answers.wav"',
        " ]",
        "}",
    ]

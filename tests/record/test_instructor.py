"""A note of the instructor's waits in one file until it is spoken."""

import json
import os
import stat
from pathlib import Path

import pytest

from voiceassist.errors import RecordError
from voiceassist.record.instructor import (
    NOTE,
    leave,
    note_of,
    remove,
    waiting,
)


def test_a_note_waits_for_its_owner_alone_until_it_is_taken_away(tmp_path: Path) -> None:
    note = note_of("  Jo  Meyer ", "look at the plug, 2.5 mm²?")
    assert (note.by, note.words) == ("Jo Meyer", "look at the plug, 2.5 mm²?")
    leave(tmp_path, note)
    assert waiting(tmp_path) == note
    (file,) = tmp_path.iterdir()
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    remove(tmp_path)
    assert waiting(tmp_path) is None
    assert list(tmp_path.iterdir()) == []


def test_one_note_at_a_time(tmp_path: Path) -> None:
    first = note_of("Jo", "look at the plug")
    leave(tmp_path, first)
    with pytest.raises(RecordError) as refused:
        leave(tmp_path, note_of("Jo", "and at the fuse"))
    assert str(refused.value) == (
        "the note before this one was not spoken yet; wait for the next pause"
    )
    assert waiting(tmp_path) == first
    assert [each.name for each in tmp_path.iterdir()] == [NOTE]


def test_a_note_that_cannot_be_left_is_told_with_the_reason(tmp_path: Path) -> None:
    with pytest.raises(RecordError) as refused:
        leave(tmp_path / "none", note_of("Jo", "look at the plug"))
    assert str(refused.value) == "the note cannot be left: the file or its folder is gone"


def test_a_note_and_a_name_may_be_as_long_as_they_can_be_said() -> None:
    longest = note_of("J" * 40, "x" * 200)
    assert (longest.by, longest.words) == ("J" * 40, "x" * 200)


@pytest.mark.parametrize(
    ("by", "words", "found"),
    [
        ("", "look", "the name is empty; write one"),
        ("Jo", " \n ", "the note is empty; write one"),
        ("J" * 41, "look", "the name has 41 characters; write at most 40"),
        ("Jo", "x" * 201, "the note has 201 characters; write at most 200"),
        (
            "Jo",
            "<script>",
            "the note has a character that cannot be said, U+003C; write plain words",
        ),
        ("Jo", "a\x1b[2J", "U+001B"),
        ("Jo", "look\u202eereh", "U+202E"),
        ("Jo\x00", "look", "U+0000"),
        ("Jo, Kim", "look", "U+002C"),
        ("Jo", "{words}", "U+007B"),
        ("Jo", "\ud800", "U+D800"),
    ],
)
def test_what_nobody_says_is_no_note(by: str, words: str, found: str) -> None:
    with pytest.raises(RecordError) as error:
        note_of(by, words)
    assert found in str(error.value)
    assert error.value.remedy


@pytest.mark.parametrize(
    "letters", ["schau den Stecker an: 12,5 V", "좌측 배선", "regarde là", "τάση"]
)
def test_every_language_has_its_letters(letters: str) -> None:
    assert note_of("Jo", letters).words == letters


@pytest.mark.parametrize(
    "content",
    [b"", b"{", b"[]", b'{"id":"1","by":"Jo"}', b"x" * 5000,
     json.dumps({"id": "1", "by": "Jo", "words": "<b>"}).encode(), b"[" * 4000],
)  # fmt: skip
def test_a_file_that_holds_no_note_is_taken_away(tmp_path: Path, content: bytes) -> None:
    (tmp_path / NOTE).write_bytes(content)
    assert waiting(tmp_path) is None
    assert list(tmp_path.iterdir()) == []


def test_a_link_or_pipe_in_its_place_is_not_followed(tmp_path: Path) -> None:
    secret = tmp_path / "secret"
    secret.write_text(json.dumps({"id": "1", "by": "Jo", "words": "look"}))
    folder = tmp_path / "session"
    folder.mkdir()
    (folder / NOTE).symlink_to(secret)
    assert waiting(folder) is None
    assert not (folder / NOTE).is_symlink()
    os.mkfifo(folder / NOTE)
    assert waiting(folder) is None
    assert secret.exists()

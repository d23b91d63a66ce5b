"""Large letters."""

import string

import pytest

from voiceassist.cli.screen.letters import written_large

INK = {" ": "..", "▀": "#.", "▄": ".#", "█": "##"}


def dots(rows: list[str]) -> list[str]:
    """The rows of dots behind the characters, upper half before lower half."""
    width = max(map(len, rows))
    cells = [[INK[letter] for letter in row.ljust(width)] for row in rows]
    return ["".join(cell[half] for cell in row) for row in cells for half in (0, 1)]


def test_a_word_is_drawn_as_one_sees_it() -> None:
    rows = written_large("it", 80)
    assert rows is not None
    assert dots(rows) == ["#.###", "#..#.", "#..#.", "#..#.", "#..#.", "....."]


def test_no_two_letters_look_alike() -> None:
    shapes = [
        tuple(written_large(each, 80) or ()) for each in string.ascii_lowercase + "0123456789Ω"
    ]
    assert len(set(shapes)) == len(shapes)


def test_every_letter_takes_three_rows() -> None:
    for each in string.ascii_letters + string.digits + ".,:!?-'/%()+°Ωµ·;":
        rows = written_large(f"1 {each}", 80)
        assert rows is not None, each
        assert len(rows) == 3
        assert any(row.strip() for row in rows), each


def test_a_unit_is_not_turned_into_another_by_capitals() -> None:
    assert written_large("350 mV", 80) != written_large("350 MV", 80)
    assert written_large("set it to mA", 80) != written_large("set it to MA", 80)
    assert written_large("4.7 kΩ", 80) != written_large("4.7 KΩ", 80)
    assert written_large("feed", 80) == written_large("FEED", 80)


def test_a_text_is_broken_between_words_only() -> None:
    rows = written_large("measure the lamp feed", 34, most_lines=3)
    assert rows is not None
    assert len(rows) in {6, 9}
    assert max(map(len, rows)) <= 34
    assert written_large("measure the lamp feed", 34, most_lines=1) is None


@pytest.mark.parametrize("text", ["", " ", "Prüfung", "전압", "unbreakable" * 5])
def test_what_does_not_fit_or_has_no_glyph_is_left_to_ordinary_letters(text: str) -> None:
    assert written_large(text, 80, 3) is None

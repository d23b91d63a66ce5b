"""Long text is broken where a speaker may stop, and nothing of it is lost."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.speak.pieces import pieces


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("WARNING: it moves. Keep clear.", ("WARNING: it moves.", "Keep clear.")),
        ("It is 12.6 V. Good.", ("It is 12.6 V.", "Good.")),
        ("Is it bright? Say yes!  Go on", ("Is it bright?", "Say yes!", "Go on")),
        ("No. 5 is pin one.", ("No. 5 is pin one.",)),
        ("", ()),
    ],
)
def test_text_breaks_at_its_sentences(text: str, expected: tuple[str, ...]) -> None:
    assert pieces(text) == expected


def test_a_long_sentence_breaks_at_its_clauses() -> None:
    text = ", ".join(f"clause number {n} says a little more of it" for n in range(9)) + "."
    parts = pieces(text)
    assert len(parts) > 2
    assert all(len(part) <= 140 for part in parts)
    assert all(part.endswith((",", ".")) for part in parts)


@given(st.text(alphabet="ab1. ,;:?!V\n", max_size=400))
def test_the_pieces_are_the_text(text: str) -> None:
    assert " ".join(pieces(text)) == " ".join(text.split())

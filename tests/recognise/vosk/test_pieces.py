"""Words that a model lacks are heard in pieces that it has."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.recognise.vosk.pieces import Pieces, pieces

KNOWN = frozenset({"기준", "값", "기", "준", "건너", "뛰기", "건너뛰", "확인", "on", "ly"})


@pytest.mark.parametrize(
    ("word", "parts"),
    [
        ("값", ("값",)),
        ("기준", ("기준",)),
        ("기준값", ("기준", "값")),
        ("건너뛰기", ("건너뛰", "기")),
        ("준준", ("준", "준")),
        ("볼트", None),
        ("기준볼", None),
        ("only", None),
        ("값ly", None),
    ],
)
def test_the_fewest_pieces_are_found(word: str, parts: tuple[str, ...] | None) -> None:
    assert pieces(word, KNOWN.__contains__) == parts


def test_words_without_pieces_are_named() -> None:
    found = Pieces(frozenset({"기준값", "볼트", "only", "on"}), KNOWN.__contains__)
    assert found.missing == ("only", "볼트")


def test_what_was_heard_in_pieces_is_joined_again() -> None:
    found = Pieces(frozenset({"기준값", "확인", "값"}), KNOWN.__contains__)
    assert found.cut("기준값 확인") == "기준 값 확인"
    assert found.joined("기준 값 확인 값") == "기준값 확인 값"


SYLLABLES = st.text(st.sampled_from("가나다"), min_size=1, max_size=4)


@given(st.sets(SYLLABLES, min_size=1), st.data())
def test_a_word_is_its_pieces_put_together(words: set[str], data: st.DataObject) -> None:
    known = data.draw(st.sets(SYLLABLES)) | {"가"}
    found = Pieces(frozenset(words), known.__contains__)
    for word in words - set(found.missing):
        assert found.cut(word).replace(" ", "") == word
        assert set(found.cut(word).split()) <= known
    assert set(found.missing) == {w for w in words if not (set(w) <= known or splits(w, known))}


def splits(word: str, known: set[str]) -> bool:
    """True when the word can be cut into known pieces, tried in every way."""
    return word in known or any(
        word[:n] in known and splits(word[n:], known) for n in range(1, len(word))
    )

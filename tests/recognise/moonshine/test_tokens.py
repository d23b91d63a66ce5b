"""The token file."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.errors import RecogniseError
from voiceassist.recognise.moonshine.tokens import END, START, Tokens, folded, read_tokens

#: A file has the control tokens and all bytes before its first piece of text.
BEFORE = ["<unk>", "<s>", "</s>", *["byte"] * 256]
TEXTS = st.text(st.characters(blacklist_categories=["Cs"], blacklist_characters="▁ "), max_size=90)


def written(texts: list[str]) -> bytes:
    """A token file, as the format is described."""
    data = b""
    for text in texts:
        raw = text.encode()
        size = len(raw)
        length = bytes([size]) if size < 128 else bytes([128 + size % 128, size // 128])
        data += length + raw
    return data


@given(st.lists(TEXTS, min_size=1, max_size=20))
def test_tokens_of_any_length_are_read_as_they_were_written(texts: list[str]) -> None:
    assert read_tokens(written(BEFORE + texts), "here").texts == (*BEFORE, *texts)


@given(st.lists(TEXTS.filter(len), min_size=1, max_size=5), st.integers(1, 1000))
def test_a_file_cut_short_is_refused_or_has_fewer_tokens(texts: list[str], cut: int) -> None:
    whole = written(BEFORE + texts)
    try:
        read = len(read_tokens(whole[: -min(cut, len(whole))], "here").texts)
    except RecogniseError:
        read = 0
    assert read < len(BEFORE + texts)


@pytest.mark.parametrize("data", [b"", b"\x05", b"\xff", b"\x01a" * 100])
def test_what_is_no_token_file_gives_one_clear_sentence(data: bytes) -> None:
    with pytest.raises(RecogniseError, match=r"^here: this is not a whole token file; .*again$"):
        read_tokens(data, "here")


def test_a_word_start_and_the_middle_of_a_word_are_told_apart_and_case_is_folded() -> None:
    made = read_tokens(written([*BEFORE, "▁Tw", "elve", "▁tw", "tw", "’"]), "here")
    first = len(BEFORE)
    assert made.starting == {"tw": (first, first + 2)}
    assert made.inner == {"elve": (first + 1,), "tw": (first + 3,), "'": (first + 4,)}


def test_the_models_own_file_has_the_texts_its_networks_write(tokens: Tokens) -> None:
    assert len(tokens.texts) == 32_768
    assert (tokens.texts[START], tokens.texts[END]) == ("<s>", "</s>")
    (point,) = (t for t in tokens.starting["point"] if tokens.texts[t] == " point")
    (comma,) = tokens.inner[","]
    assert tokens.text([point, comma]) == "point,"


@pytest.mark.parametrize(("text", "same"), [("Volts", "volts"), ("What’s", "what's")])
def test_case_and_the_shape_of_an_apostrophe_do_not_matter(text: str, same: str) -> None:
    assert folded(text) == same

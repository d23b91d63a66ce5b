"""Rows of words tell how likely a word is behind others."""

import pytest

from voiceassist import resources
from voiceassist.errors import RecogniseError
from voiceassist.recognise.ear.lexicon import UNKNOWN
from voiceassist.recognise.ear.word_rows import SAID, WordRows, counted

SAID_OFTEN = ("hang on a minute", "hang on a second", "which pin is it", "where is it")
ROWS = counted((phrase.split(), SAID) for phrase in SAID_OFTEN)


def number(word: str) -> int:
    return ROWS.words.index(word)


@pytest.mark.parametrize(
    "before", [(), ("hang",), ("hang", "on"), ("pin", "on"), ("it", "it"), ("<", "<")]
)
def test_all_words_behind_any_others_come_to_one(before: tuple[str, ...]) -> None:
    # Every word can come but the sign of the beginning, which stands only before the first.
    behind = tuple(map(number, before))
    total = sum(ROWS.chance(behind, word) for word in range(len(ROWS.words)) if word != 0)
    assert total == pytest.approx(1)


def test_what_was_said_is_likelier_than_what_was_not() -> None:
    behind = number("hang"), number("on")
    assert ROWS.chance(behind, number("a")) > 10 * ROWS.chance(behind, number("pin"))


def test_behind_words_that_never_came_together_the_shorter_row_counts() -> None:
    strange = number("pin"), number("on")
    assert ROWS.chance(strange, number("a")) == ROWS.chance((number("on"),), number("a"))


def test_behind_a_word_that_is_not_listed_the_row_without_it_counts() -> None:
    for behind in ((), (number("on"),)):
        assert ROWS.chance((UNKNOWN, *behind), number("a")) == ROWS.chance(behind, number("a"))


def test_rows_are_the_same_after_they_were_written_and_read() -> None:
    again = WordRows.load(ROWS.dump())
    assert again.words == ROWS.words
    behind = number("on"), number("a")
    assert again.chance(behind, number("minute")) == ROWS.chance(behind, number("minute"))


@pytest.mark.parametrize("text", ["", "[]", '{"words": "a"}', '{"words": "a", "rows": "eA=="}'])
def test_what_is_no_rows_of_words_is_refused_by_the_name_of_its_file(text: str) -> None:
    with pytest.raises(RecogniseError, match="not rows of words") as caught:
        WordRows.load(text)
    assert "talk-words.json" in str(caught.value)


def test_the_shipped_rows_know_the_words_of_the_trade_and_are_small() -> None:
    text = resources.grammar_files("en")["talk-words.json"]
    assert len(text) < 1_000_000
    assert {"fuse", "millivolts", "unplugged", "corroded"} <= set(WordRows.load(text).words)

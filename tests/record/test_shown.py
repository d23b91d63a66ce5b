"""What a screen or page shows, in words."""

import pytest

from voiceassist.record.shown import Present, ShownCondition, ShownReading, ShownWords


@pytest.mark.parametrize(
    ("words", "sure"),
    [
        (ShownWords("on", certain=True), "typed"),
        (ShownWords("on", 0.5, certain=True), "typed"),
        (ShownWords("on"), ""),
        (ShownWords("on", 0.0), "0% sure"),
        (ShownWords("on", 0.876), "87% sure"),
        (ShownWords("on", 0.9899), "98% sure"),
        (ShownWords("on", 0.99), "over 99% sure"),
        (ShownWords("on", 1.0), "over 99% sure"),
    ],
)
def test_how_surely_words_were_heard_is_told_and_never_as_quite_sure(
    words: ShownWords, sure: str
) -> None:
    assert words.sure == sure


@pytest.mark.parametrize(
    ("verdict", "told"),
    [
        ("pass", "PASS"),
        ("low", "TOO LOW"),
        ("high", "TOO HIGH"),
        ("", ""),
        ("not valid", "NOT VALID"),
    ],
)
def test_a_verdict_is_told_in_large_letters(verdict: str, told: str) -> None:
    assert ShownReading("feed", "12.5 V", verdict).told == told


def test_a_condition_to_be_brought_about_has_an_arrow() -> None:
    assert ShownCondition("key", "run", met=True).told == "key run"
    assert ShownCondition("key", "run", met=False).told == "key → run"


def test_the_cause_is_the_headline_until_the_repair_begins_and_at_the_end() -> None:
    found = Present(step="feed", found_at="feed", finding=("the fuse is open", "change it"))
    assert found.headline == "the fuse is open"
    repair = Present(step="fit", found_at="feed", finding=found.finding)
    assert repair.headline == ""
    assert Present(step="fit", found_at="feed", finding=found.finding, end="repaired").headline == (
        "the fuse is open"
    )

"""Fractions, slips and spellings of a region, as people say them among numbers."""

from decimal import Decimal

import pytest
from talk.situations import standing_at

from voiceassist.language.meanings import Command, Note, Reading


@pytest.mark.parametrize(
    ("where", "words", "value"),
    [
        ("fuse-pull", "thirty five hundredths of an amp", "0.35"),
        ("drop", "fifteen thousandths", "0.015"),
        ("drop", "three hundredths", "0.03"),
        ("volts", "ten and eighty five hundredths", "10.85"),
        ("volts", "twelve volts and fifty two hundredths if you're fussy", "12.52"),
        ("volts", "twelve and six tenths of a volt", "12.6"),
        ("volts", "thirteen two eh no my bad twelve two", "12.2"),
        ("volts", "twelve point two no hang on my mistake twelve point five", "12.5"),
    ],
)
def test_the_number_is_read_as_it_was_meant(where: str, words: str, value: str) -> None:
    one, before = standing_at(where)
    meaning = one.event(before, words).meanings[0]
    assert isinstance(meaning, Reading)
    assert meaning.value == Decimal(value)


def test_who_asks_to_be_reminded_leaves_no_note() -> None:
    one, before = standing_at("volts")
    for words in ("remember me please which voltage i said", "remember what i said of the feed"):
        assert not any(isinstance(m, Note) for m in one.event(before, words).meanings)
    assert one.event(before, "remember the plug is green").meanings == (Note("the plug is green"),)


def test_a_word_of_a_region_is_known_with_an_ending_too() -> None:
    one, before = standing_at("drop")
    assert one.event(before, "whit's the maist i should see").meanings == (Command("limit"),)
    assert one.event(before, "gie's a minute").meanings == (Command("stand-by"),)

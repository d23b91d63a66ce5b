"""Compared with number libraries nobody here wrote: num2words and text2num, on canonical words."""

from decimal import Decimal

import pytest
from num2words import num2words
from text_to_num import text2num

from voiceassist.language.language import Language
from voiceassist.language.meanings import Reading
from voiceassist.language.step import StepGrammar


def agree(grammar: StepGrammar, words: str, value: str) -> bool:
    found = [m.value for m in grammar.parse(words).meanings if isinstance(m, Reading)]
    return found == [Decimal(value)]


def test_the_words_num2words_makes_are_understood(anything: StepGrammar) -> None:
    for n in (*range(1000), *range(1000, 1_000_000, 7919)):
        assert agree(anything, num2words(n), str(n)), num2words(n)


def test_the_words_we_say_are_understood_by_text2num(english: Language) -> None:
    for n in (*range(1, 400), *range(400, 1_000_000, 7907)):
        assert text2num(english.say(Reading(Decimal(n))), "en") == n


@pytest.mark.slow
@pytest.mark.census
def test_num2words_agrees_up_to_a_hundred_thousand(anything: StepGrammar) -> None:
    wrong = [n for n in range(100_001) if not agree(anything, num2words(n), str(n))]
    assert wrong == []


@pytest.mark.slow
def test_num2words_agrees_on_every_hundredth_up_to_thirty(anything: StepGrammar) -> None:
    hundredths = [Decimal(k) / 100 for k in range(3000)]
    wrong = [v for v in hundredths if not agree(anything, num2words(v), str(v))]
    assert wrong == []

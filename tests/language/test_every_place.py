"""A unit or a number word stands in every place that needs it, in every language of the house.

The places are the units themselves, the rules for what is said, understood and searched by a
recogniser, and the sounds of the words. Where a word stands in one of them alone, a test here
tells its name.
"""

import re
from collections.abc import Iterator
from decimal import Decimal
from functools import cache

import pytest

from voiceassist.language.expectation import Expectation
from voiceassist.language.language import Language
from voiceassist.language.meanings import Reading
from voiceassist.language.step import StepGrammar
from voiceassist.measure.units import PREFIXES, QUANTITIES, Unit, base_unit, units_of
from voiceassist.recognise.dictionary import Dictionary
from voiceassist.resources import grammar_files

NAMES = ("en", "ko")
#: A ten, and the words between a whole number and its first decimal, to put digits behind.
TWENTY = {"en": "twenty", "ko": "이십"}
POINT = {"en": "zero point", "ko": "영 점"}
PREFIXED = {prefix + base for prefix in PREFIXES if prefix for base in QUANTITIES.values()}
PLAIN = [u for q in QUANTITIES for u in units_of(q) if u.symbol not in PREFIXED]


@cache
def language(name: str) -> Language:
    return Language.load(grammar_files(name))


@cache
def step(name: str, quantity: str = "resistance") -> StepGrammar:
    return language(name).compose(Expectation((quantity,), base_unit(quantity)))


def words_in(text: str) -> set[str]:
    """The words of a grammar file, or of a part of it."""
    plain = re.sub(r"//.*|#JSGF.*|grammar \w+;|import|public\b|<[^>]*>|\{[^}]*\}", " ", text)
    return set(re.findall(r"[^\W\d_]+", plain))


def rules(name: str, file: str) -> dict[str, str]:
    """Each rule of a grammar file, by its name."""
    text = re.sub(r"//.*", "", grammar_files(name)[file])
    return dict(re.findall(r"<([\w-]+)> = ([^;]*);", text))


def is_searched(grammar: StepGrammar, phrase: str) -> bool:
    state = grammar.start()
    for word in phrase.split():
        if word not in grammar.next_words(state):
            return False
        state = grammar.advance(state, word)
    return grammar.accepts(state)


# --- units ---


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("each", PLAIN, ids=lambda u: u.symbol)
def test_a_unit_that_can_be_read_can_be_said_and_understood(name: str, each: Unit) -> None:
    """Without prefix; the prefixes that a workshop uses are in the units of the grammars."""
    for value in ("1", "3", "2.5"):
        reading = Reading(Decimal(value), each)
        said = language(name).say(reading)
        assert reading in step(name, each.quantity).parse(said).meanings, said


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("quantity", QUANTITIES)
def test_a_recogniser_searches_for_units_of_each_quantity_that_are_understood(
    name: str, quantity: str
) -> None:
    searched = rules(name, "units.jsgf")[f"heard-{quantity}"]
    number = language(name).say(Reading(Decimal(3)))
    for words in searched.split("|"):
        phrase = f"{number} {words.strip()}"
        found = step(name, quantity).parse(phrase).meanings
        assert any(isinstance(m, Reading) and m.unit for m in found), phrase
        assert is_searched(step(name, quantity), phrase), phrase


@pytest.mark.parametrize("name", NAMES)
def test_each_quantity_of_the_house_has_its_rule_and_stands_among_all(name: str) -> None:
    found = rules(name, "units.jsgf")
    for quantity in QUANTITIES:
        assert {quantity, f"heard-{quantity}"} <= found.keys()
        assert f"<{quantity}>" in found["any"]


# --- numbers ---


def digit_words(name: str) -> Iterator[tuple[str, int]]:
    """Every word of the numbers that alone means one to nine."""
    for word in sorted(words_in(grammar_files(name)["numbers.jsgf"])):
        found = [m for m in step(name).parse(word).meanings if isinstance(m, Reading)]
        yield from ((word, int(m.value)) for m in found if 1 <= m.value <= 9)


@pytest.mark.parametrize("name", NAMES)
def test_a_word_for_a_digit_is_understood_wherever_a_digit_can_stand(name: str) -> None:
    found = list(digit_words(name))
    assert {digit for _, digit in found} == set(range(1, 10))
    for word, digit in found:
        places = {
            f"{TWENTY[name]} {word}": Decimal(20 + digit),
            f"{POINT[name]} {word}": Decimal(digit) / 10,
            f"{word} {word}": Decimal(11 * digit),
        }
        for phrase, value in places.items():
            assert Reading(value) in step(name).parse(phrase).meanings, phrase


@pytest.mark.parametrize("name", NAMES)
def test_a_recogniser_searches_for_every_number_that_is_said(name: str) -> None:
    numbers = [*range(100), *range(100, 1000, 37)]
    said = [language(name).say(Reading(Decimal(n))) for n in numbers]
    said += [language(name).say(Reading(Decimal(n) / 10)) for n in range(100)]
    assert [phrase for phrase in said if not is_searched(step(name), phrase)] == []


# --- sounds ---


@pytest.mark.parametrize("file", ["numbers.jsgf", "units.jsgf", "readings.jsgf"])
def test_every_english_word_of_a_value_has_its_sounds(file: str) -> None:
    """A word without them sounds like nothing: no listener hears it, no proof finds it alike."""
    known = Dictionary(grammar_files("en")["pronunciations.dict"])
    words = words_in(grammar_files("en")[file])
    assert len(words) > 20
    assert sorted(word for word in words if not known(word)) == []


@pytest.mark.parametrize("file", ["numbers.jsgf", "units.jsgf", "readings.jsgf"])
def test_every_korean_word_of_a_value_is_written_in_syllables(file: str) -> None:
    """A model that lacks the word hears it in pieces, which sound as they are written."""
    words = words_in(grammar_files("ko")[file])
    assert words
    assert {w for w in words if not all("가" <= letter <= "힣" for letter in w)} == set()

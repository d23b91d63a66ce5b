"""The texts are phrases that people say, and their rivals are other phrases."""

from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from num2words import num2words

from training.ear import LETTERS
from training.numbers import PAIRS, below_hundred, one_of_a_pair, reading
from training.phonemes import phonemes
from training.rivals import rivals
from training.texts import LONGEST, Mixer, mixer
from voiceassist.app import build
from voiceassist.language.expectation import Expectation
from voiceassist.language.meanings import Reading

SEEDS = st.integers(0, 2**32)


@pytest.fixture(scope="module")
def drawn() -> tuple[Mixer, list[str]]:
    mix, rng = mixer(), Random(3)
    return mix, [mix.draw(rng) for _ in range(400)]


@pytest.mark.parametrize("number", range(100))
def test_small_numbers_are_named_as_num2words_names_them(number: int) -> None:
    assert below_hundred(number) == num2words(number).replace("-", " ")


def test_nearly_every_reading_is_one_that_the_grammar_understands() -> None:
    english = build.Shop(build.settings({"language": "en"})).language
    grammar, rng = english.compose(Expectation.anything()), Random(1)
    readings = [reading(rng) for _ in range(400)]
    understood = [r for r in readings if _is_reading(grammar.parse(r).meanings)]
    assert len(understood) > 0.9 * len(readings)


def _is_reading(meanings: tuple[object, ...]) -> bool:
    return any(isinstance(m, Reading) for m in meanings)


def test_phrases_are_letters_alone_and_not_too_long(drawn: tuple[Mixer, list[str]]) -> None:
    assert all(set(t) <= set(LETTERS[1:]) and 0 < len(t) <= LONGEST for t in drawn[1])


def test_plain_readings_are_the_largest_part(drawn: tuple[Mixer, list[str]]) -> None:
    values = [t for t in drawn[1] if "volt" in t or "amp" in t or "ohm" in t or " point " in t]
    assert len(values) > 0.35 * len(drawn[1])


def test_commands_and_other_talk_are_among_them(drawn: tuple[Mixer, list[str]]) -> None:
    mix, rng = drawn[0], Random(9)
    many = {mix.draw(rng) for _ in range(1500)}
    commands = {"say again", "go back", "skip", "why", "explain", "disregard", "stand by", "help"}
    fetching = ("pass ", "hand ", "give ", "grab ", "fetch ", "chuck ", "bring ", "lend ", "throw ")
    assert len(commands & many) >= 5
    assert any(text.startswith(fetching) for text in many)


@given(SEEDS)
def test_rivals_are_never_the_phrase_itself(seed: int) -> None:
    rng = Random(seed)
    text = reading(rng)
    near = rivals(text, 8, rng)
    assert text not in near
    assert len(set(near)) == len(near) <= 8


@given(SEEDS)
def test_a_teen_has_the_ten_among_its_rivals(seed: int) -> None:
    teen, ten = Random(seed).choice(PAIRS)
    phrase = f"{below_hundred(teen)} volts"
    assert f"{below_hundred(ten)} volts" in rivals(phrase, 60, Random(seed))


def test_one_of_a_pair_holds_a_teen_or_its_ten() -> None:
    words = {below_hundred(n) for pair in PAIRS for n in pair}
    assert all(words & set(one_of_a_pair(Random(k)).split()) for k in range(50))


def test_most_teens_are_stressed_on_their_last_syllable() -> None:
    signs = {sign: number for number, sign in enumerate("ˈˌabcdefghijklmnopqrstuvwxyzθɜɹɪːəʊɔɐæ ")}
    spoken = list(phonemes(["fifteen volts"] * 60, signs, Random(2)))
    late = [s for s in spoken if s.american[1] == signs["ˌ"]]
    assert len(spoken) == 60
    assert 25 < len(late) < 55


def test_kilohms_begin_as_kilovolts_do() -> None:
    signs = {sign: number for number, sign in enumerate("ˈˌaɪklovtəʊmzs ")}
    ohms, volts = phonemes(["kilohms", "kilovolts"], signs, Random(2))
    assert ohms.american[:4] == volts.american[:4]
    assert ohms.british[:4] == volts.british[:4]

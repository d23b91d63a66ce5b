"""A step's grammar as recognisers take it: JSGF text, word list, stepping."""

import random

import pocketsphinx
import pytest

from voiceassist.language.expectation import Choice, Expectation
from voiceassist.language.filling import fill, fill_talk
from voiceassist.language.language import Language
from voiceassist.language.linking import FILLED, link
from voiceassist.language.read_jsgf import read_grammar
from voiceassist.language.shaping import words_of
from voiceassist.language.step import StepGrammar
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import QUANTITIES, base_unit, unit
from voiceassist.resources import grammar_files

EXPECTATIONS = [
    Expectation(),
    Expectation(lamp=True),
    Expectation(choices=(Choice("dim", ("it goes dim",)),)),
    Expectation(identifier="vin"),
    Expectation(identifier="repair-order"),
    Expectation(identifier="odometer"),
    Expectation.anything(),
    *(Expectation((quantity,), base_unit(quantity)) for quantity in QUANTITIES),
]


def pronunciations() -> list[tuple[str, str]]:
    lines = grammar_files("en")["pronunciations.dict"].splitlines()
    return [(word, phones) for word, _, phones in (line.partition(" ") for line in lines)]


@pytest.fixture(scope="module")
def decoder() -> pocketsphinx.Decoder:
    decoder = pocketsphinx.Decoder(lm=None, bestpath=False, loglevel="FATAL")
    for word, phones in pronunciations():
        decoder.add_word(word, phones, False)
    return decoder


@pytest.mark.parametrize("expectation", EXPECTATIONS)
def test_pocketsphinx_reads_the_exported_grammar(
    english: Language, decoder: pocketsphinx.Decoder, expectation: Expectation
) -> None:
    decoder.add_jsgf_string("step", english.compose(expectation).jsgf())
    decoder.activate_search("step")
    assert decoder.current_search() == "step"


def test_every_word_of_the_language_has_a_pronunciation(
    english: Language, decoder: pocketsphinx.Decoder
) -> None:
    spoken = english.words - {","}
    assert sorted(word for word in spoken if decoder.lookup_word(word) is None) == []


def test_the_pronunciations_are_only_of_words_the_language_uses(english: Language) -> None:
    assert {word.partition("(")[0] for word, _ in pronunciations()} <= english.words


@pytest.mark.parametrize("expectation", EXPECTATIONS)
def test_the_exported_grammar_is_one_text_with_the_same_words(
    english: Language, expectation: Expectation
) -> None:
    grammar = english.compose(expectation)
    text = grammar.jsgf("one")
    read = read_grammar(text, "export")
    assert [rule.name for rule in read.rules if rule.public] == ["one"]
    assert "{" not in text
    assert words_of(link([read])) == grammar.words()
    assert "," not in grammar.words()


@pytest.mark.parametrize("expectation", EXPECTATIONS)
def test_everything_understood_can_be_exported_too(
    english: Language, expectation: Expectation
) -> None:
    grammar = english.compose(expectation)
    text = grammar.jsgf(everything=True)
    assert grammar.words() <= grammar.words(everything=True)
    assert words_of(link([read_grammar(text, "export")])) == grammar.words(everything=True)


def test_a_step_that_takes_no_reading_searches_no_numbers(english: Language) -> None:
    assert not {"twelve", "point", "volts"} & english.compose(Expectation()).words()


def test_a_voltage_step_searches_its_own_units_only(voltage: StepGrammar) -> None:
    assert {"volts", "millivolts"} <= voltage.words()
    assert not {"amps", "ohms", "bright"} & voltage.words()


def test_thousands_are_searched_only_where_they_can_occur(english: Language) -> None:
    small = Expectation(("voltage",), unit("V"), highest=Quantity.parse("20 V"))
    large = Expectation(("rotation",), unit("rpm"), highest=Quantity.parse("6000 rpm"))
    assert "thousand" not in english.compose(small).words()
    assert "thousand" in english.compose(large).words()
    assert "thousand" in english.compose(Expectation(("rotation",), unit("rpm"))).words()


def test_three_digits_are_searched_only_where_hundreds_can_occur(english: Language) -> None:
    def heard(highest: str, unit_symbol: str) -> bool:
        step = Expectation(
            (unit(unit_symbol).quantity,), unit(unit_symbol), highest=Quantity.parse(highest)
        )
        grammar = english.compose(step)
        state = grammar.start()
        for word in ("one", "oh", "four"):
            state = grammar.advance(state, word)
        return grammar.accepts(state)

    assert not heard("20 V", "V")
    assert heard("500 mV", "mV")


@pytest.mark.parametrize("expectation", EXPECTATIONS)
def test_stepping_follows_exactly_the_heard_phrases(
    english: Language, expectation: Expectation
) -> None:
    grammar = english.compose(expectation)
    rng = random.Random(3)
    for _ in range(40):
        phrase, _ = grammar.sample(rng, heard=True)
        state = grammar.start()
        for word in phrase.split():
            assert word in grammar.next_words(state)
            state = grammar.advance(state, word)
        assert grammar.accepts(state)
        assert grammar.advance(state, "banana") == ()
    assert not grammar.accepts(())
    assert grammar.next_words(()) == frozenset()


def test_random_steps_always_lead_to_a_phrase_that_is_understood(voltage: StepGrammar) -> None:
    rng = random.Random(4)
    ended = 0
    for _ in range(500):
        state, words = voltage.start(), list[str]()
        while following := sorted(voltage.next_words(state)):
            words.append(rng.choice(following))
            state = voltage.advance(state, words[-1])
            if voltage.accepts(state):
                ended += 1
                assert voltage.parse(" ".join(words)).meanings, words
    assert ended > 500


def test_stepping_through_all_that_is_understood_is_wider(voltage: StepGrammar) -> None:
    state = voltage.understood.start()
    for word in ["it", "jumps", "around", "between", "twelve", "one", "and", "twelve", "four"]:
        state = voltage.understood.advance(state, word)
    assert voltage.understood.accepts(state)


def test_a_step_fills_in_exactly_what_a_grammar_may_use(english: Language) -> None:
    always = set(fill(Expectation.anything(), (), english.rules))
    assert always | set(fill_talk((), {}, ())) == FILLED


def test_an_unknown_identifier_is_a_programmers_mistake(english: Language) -> None:
    with pytest.raises(ValueError, match="'shoe-size' is not an identifier"):
        english.compose(Expectation(identifier="shoe-size"))

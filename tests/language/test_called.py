"""A grammar in which each phrase must follow the assistant's name."""

import random

import languages
import pytest

from voiceassist.errors import LanguageError
from voiceassist.language.expectation import Choice, Expectation
from voiceassist.language.meanings import Answer, Note
from voiceassist.measure.units import unit

LANGUAGE = languages.shipped()
CHOICES = (Choice("burnt", ("it smells burnt",)),)
PLAIN = LANGUAGE.compose(Expectation(("voltage",), unit("V"), lamp=True, choices=CHOICES))
CALLED = PLAIN.called("helper")


@pytest.mark.parametrize(
    "phrase",
    ["twelve point six volts", "12.6 V", "done", "it smells burnt", "correction, eleven volts",
     "note the wire is green", "eight thousand, five hundred"],
)  # fmt: skip
@pytest.mark.parametrize("call", ["helper {}", "Helper, {}", "  HELPER  {}"])
def test_after_the_name_a_phrase_means_what_it_means(phrase: str, call: str) -> None:
    meant = PLAIN.parse(phrase).meanings
    assert meant
    assert CALLED.parse(call.format(phrase)).meanings == meant


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        ("twelve point six volts", "it does not begin with 'helper'"),
        ("done helper", "it does not begin with 'helper'"),
        ("helpers done", "it does not begin with 'helper'"),
        ("helper", "nothing was said after 'helper'"),
        ("helper,", "nothing was said after 'helper'"),
        ("", "it does not begin with 'helper'"),
    ],
)
def test_without_the_name_nothing_is_meant(said: str, reason: str) -> None:
    understood = CALLED.parse(said)
    assert understood.meanings == ()
    assert understood.reason == reason
    assert understood.text == said


@pytest.mark.parametrize("heard", [True, False])
def test_every_phrase_of_the_grammar_begins_with_the_name(*, heard: bool) -> None:
    rng = random.Random(4)
    for _ in range(40):
        phrase, _ = CALLED.sample(rng, heard=heard)
        assert phrase.startswith("helper ")
        assert CALLED.parse(phrase).meanings


def test_a_decoder_can_step_nowhere_without_the_name() -> None:
    assert CALLED.next_words(CALLED.start()) == {"helper"}
    assert CALLED.advance(CALLED.start(), "done") == ()
    named = CALLED.advance(CALLED.start(), "helper")
    assert CALLED.accepts(named)
    assert CALLED.next_words(named) == PLAIN.next_words(PLAIN.start())


def test_a_name_of_two_words_has_to_be_said_whole() -> None:
    grammar = PLAIN.called("hey workshop")
    assert grammar.parse("hey workshop done").meanings == (Answer("done"),)
    assert grammar.parse("workshop done").meanings == ()
    assert {"hey", "workshop"} <= grammar.words()


def test_a_note_keeps_its_words_without_the_name() -> None:
    assert CALLED.parse("helper note check the helper").meanings == (Note("check the helper"),)


@pytest.mark.parametrize("name", ["help", "done", "twelve", "it smells burnt", "stop"])
def test_a_name_that_means_something_is_refused(name: str) -> None:
    with pytest.raises(LanguageError, match="it already means something"):
        PLAIN.called(name)


@pytest.mark.parametrize("name", ["", "Helper", "r2", "a, b", "<phrases>", "helper ", "a|b"])
def test_a_name_that_is_no_plain_word_is_refused(name: str) -> None:
    with pytest.raises(LanguageError, match="plain words"):
        PLAIN.called(name)

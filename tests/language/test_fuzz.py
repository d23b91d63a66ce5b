"""Whatever is heard, nothing breaks, and a stray word is never skipped over."""

import random

import languages
from hypothesis import example, given, settings
from hypothesis import strategies as st

from voiceassist.language.expectation import Expectation
from voiceassist.language.meanings import Command, Identifier, Note, Parsed

ENGLISH = languages.shipped()
GRAMMAR = ENGLISH.compose(Expectation.anything())
WORDS = sorted(ENGLISH.words)
#: Common words that no grammar of ours has.
STRAYS = ("banana", "yesterday", "green", "wire", "hello", "if", "two's", "fort", "niner's")


@given(text=st.text(max_size=200))
def test_any_text_at_all_gives_an_understanding(text: str) -> None:
    understood = GRAMMAR.parse(text)
    assert isinstance(understood, Parsed)
    assert bool(understood.meanings) != bool(understood.reason)


@given(words=st.lists(st.sampled_from(WORDS), max_size=12))
@example(words=["thirteen", "meg"])
@example(words=["four", "point", "seven", "megs"])
@example(words=["nine", "thousand", "meg"])
@example(words=["minus", "thirteen", "million"])
@settings(max_examples=500)
def test_any_words_of_ours_give_meanings_or_a_reason(words: list[str]) -> None:
    understood = GRAMMAR.parse(" ".join(words))
    assert bool(understood.meanings) != bool(understood.reason)
    for meaning in understood.meanings:
        if isinstance(meaning, Identifier):  # said without its name, it needs a step that asks
            asking = ENGLISH.compose(Expectation(identifier=meaning.name))
            assert meaning in asking.parse(ENGLISH.say(meaning)).meanings
        elif not isinstance(meaning, Note):
            assert meaning in GRAMMAR.parse(ENGLISH.say(meaning)).meanings


def test_millions_without_a_unit_are_said_back_as_they_were_said() -> None:
    (reading,) = GRAMMAR.parse("thirteen meg").meanings
    assert ENGLISH.say(reading) == "thirteen meg"
    assert ENGLISH.say(reading, singly=True) == "one three meg"


def test_a_stray_word_never_makes_another_value_or_answer() -> None:
    rng = random.Random(6)
    for _ in range(3000):
        phrase = GRAMMAR.sample(rng)[0]
        words = phrase.split()
        words.insert(rng.randint(0, len(words)), rng.choice(STRAYS))
        strayed = GRAMMAR.parse(" ".join(words)).meanings
        # It may make a real phrase of a command ("wrong wire"), but never another value.
        found = {repr(m) for m in strayed if not isinstance(m, Note | Command)}
        assert found <= {repr(m) for m in GRAMMAR.parse(phrase).meanings}, words


def test_a_phrase_with_its_last_words_said_twice_is_not_another_number() -> None:
    for words in ("twelve point six six point", "eight point four point four", "five volts volts"):
        assert GRAMMAR.parse(words).meanings == ()


def test_very_long_figures_are_refused_like_any_other_word() -> None:
    for figures in ("1" * 5000, "0." + "3" * 5000, "-" + "9" * 40 + " V", "1" * 10):
        assert GRAMMAR.parse(figures).meanings == ()


def test_a_very_long_phrase_is_refused_quickly() -> None:
    understood = GRAMMAR.parse("twelve point six then " * 5000)
    assert understood.meanings == ()
    assert "longer than" in understood.reason

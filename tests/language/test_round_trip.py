"""What is said is understood as what was meant, digits and all."""

import gc
import random
import time
from collections.abc import Iterator
from decimal import Decimal

import languages
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from voiceassist.language.expectation import Expectation
from voiceassist.language.language import Language
from voiceassist.language.meanings import (
    COMMANDS,
    Answer,
    Command,
    Correction,
    Lamp,
    Meaning,
    OverRange,
    Plain,
    Reading,
    Series,
    Spread,
)
from voiceassist.language.step import StepGrammar
from voiceassist.measure.units import unit

SYMBOLS = [
    "V",
    "mV",
    "kV",
    "A",
    "mA",
    "µA",
    "Ω",
    "kΩ",
    "MΩ",
    "mΩ",
    "W",
    "mW",
    "kW",
    "Hz",
    "kHz",
    "MHz",
    "µF",
    "nF",
    "pF",
    "%",
    "°C",
    "s",
    "ms",
    "µs",
    "rpm",
    "N·m",
    "times",
    "kPa",
    "Pa",
]
LANGUAGES = {name: languages.shipped(name) for name in ("en", "ko")}
GRAMMARS = {name: one.compose(Expectation.anything()) for name, one in LANGUAGES.items()}

_whole = st.integers(min_value=-999_999, max_value=999_999)
_decimals = st.integers(min_value=0, max_value=4)


def _decimal(whole: int, places: int, fraction: int) -> Decimal:
    value = Decimal(f"{whole}.{fraction % 10**places:0{places}d}") if places else Decimal(whole)
    return value if value else abs(value)


values = st.builds(_decimal, _whole, _decimals, st.integers(min_value=0, max_value=9999))
units = st.sampled_from([None, *map(unit, SYMBOLS)])
labels = st.sampled_from(["", "", "low", "high"])
readings = st.builds(Reading, values, units, labels)


def _series(given: list[Reading]) -> Series:
    # One unit at the end is for all; so a series has it everywhere or not at its end.
    return Series(tuple(Reading(r.value, given[0].unit, r.label) for r in given))


series = st.lists(readings, min_size=2, max_size=4).map(_series)
spreads = st.builds(
    lambda a, b, u: Spread(Reading(min(a, b), u), Reading(max(a, b), u)), values, values, units
).filter(lambda s: s.low.value < s.high.value)
words: st.SearchStrategy[Plain] = st.sampled_from(
    [
        OverRange(),
        *map(Lamp, ("bright", "dim", "flickering", "off")),
        *map(Answer, ("affirm", "affirm-reading", "negative", "done")),
    ]
)
plain: st.SearchStrategy[Plain] = st.one_of(readings, series, spreads, words)
meanings = st.one_of(
    plain,
    st.builds(Correction, plain),
    st.sampled_from([Command(name) for name in sorted(COMMANDS)]),
)


@given(meaning=meanings)
@settings(max_examples=150)
@pytest.mark.parametrize("name", LANGUAGES)
@pytest.mark.parametrize("singly", [False, True])
def test_what_is_said_means_what_was_meant(name: str, singly: bool, meaning: Meaning) -> None:
    said = LANGUAGES[name].say(meaning, singly=singly)
    # Compared as text, since 12.6 and 12.60 are equal numbers.
    assert [repr(m) for m in GRAMMARS[name].parse(said).meanings] == [repr(meaning)]


def test_a_reading_keeps_its_last_zero(language: Language) -> None:
    for text in ("12.60", "0.0", "5.00", "100.000", "-0.50"):
        said = language.say(Reading(Decimal(text)))
        (meaning,) = language.compose(Expectation.anything()).parse(said).meanings
        assert isinstance(meaning, Reading)
        assert str(meaning.value) == text


@pytest.mark.parametrize(
    ("text", "symbol", "said", "singly"),
    [
        ("12.60", "V", "twelve point six zero volts", "one two point six zero volts"),
        ("15", "A", "fifteen amps", "one five amps"),
        ("1", "V", "one volt", "one volt"),
        ("-0.05", "mV", "minus zero point zero five millivolts", None),
        ("105", "", "one hundred five", "one zero five"),
        ("4.7", "kΩ", "four point seven kilohms", None),
    ],
)
def test_the_words_said_are_the_usual_ones(
    english: Language, text: str, symbol: str, said: str, singly: str | None
) -> None:
    reading = Reading(Decimal(text), unit(symbol) if symbol else None)
    assert english.say(reading) == said
    assert english.say(reading, singly=True) == (singly or said)


def test_a_negative_zero_is_said_as_zero(english: Language) -> None:
    assert english.say(Reading(Decimal("-0.0"))) == "zero point zero"


def every_value() -> Iterator[Decimal]:
    """More than 200 000 values over the whole range and all numbers of decimals."""
    rng = random.Random(11)
    yield from (Decimal(n) for n in range(100_000))
    yield from (Decimal(n).scaleb(-2) for n in range(40_000))
    yield from (Decimal(n).scaleb(-4) for n in range(20_000))
    for _ in range(50_000):
        whole, places = rng.randint(-999_999, 999_999), rng.randint(0, 4)
        yield _decimal(whole, places, rng.randint(0, 9999))


@pytest.mark.slow
@pytest.mark.census
def test_two_hundred_thousand_values_come_back_unchanged(
    english: Language, anything: StepGrammar
) -> None:
    wrong, count = [], 0
    for value in every_value():
        count += 1
        said = english.say(Reading(value))
        found = [str(m.value) for m in anything.parse(said).meanings if isinstance(m, Reading)]
        if found != [str(value)]:
            wrong.append((said, value, found))
    assert wrong == []
    assert count > 200_000


@pytest.mark.parametrize("name", LANGUAGES)
def test_every_sampled_phrase_means_what_it_was_made_from(name: str) -> None:
    rng = random.Random(7)
    for _ in range(3000):
        phrase, meaning = GRAMMARS[name].sample(rng)
        found = GRAMMARS[name].parse(phrase).meanings
        assert repr(meaning) in {repr(m) for m in found}, phrase


@pytest.mark.parametrize("name", LANGUAGES)
def test_every_phrase_a_recogniser_searches_is_understood_in_one_way(name: str) -> None:
    rng = random.Random(8)
    for _ in range(2000):
        phrase, meaning = GRAMMARS[name].sample(rng, heard=True)
        assert GRAMMARS[name].parse(phrase).meanings == (meaning,), phrase


@pytest.mark.slow
@pytest.mark.census
def test_a_hundred_thousand_phrases_are_sampled_and_understood_in_half_a_minute(
    anything: StepGrammar,
) -> None:
    rng = random.Random(9)
    gc.freeze()  # as a session does: what was loaded before is not searched for garbage
    began = time.process_time()  # of this process alone, whatever else the machine does
    for _ in range(100_000):
        phrase, meaning = anything.sample(rng)
        assert repr(meaning) in {repr(m) for m in anything.parse(phrase).meanings}, phrase
    took_s = time.process_time() - began
    gc.unfreeze()
    assert took_s < 30

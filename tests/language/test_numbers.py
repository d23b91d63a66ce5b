"""What numbers are understood as. Right answers are common practice unless a source is named."""

from decimal import Decimal

import pytest

from voiceassist.language.meanings import Reading
from voiceassist.language.step import StepGrammar

#: (words, the one value they have, digits kept)
ONE_VALUE = [
    ("eight point four", "8.4"),
    ("point oh five", "0.05"),
    ("zero point zero five", "0.05"),
    ("oh point five", "0.5"),
    ("one oh four", "104"),
    ("one zero four", "104"),
    ("three three four", "334"),
    ("a hundred and five", "105"),
    ("hundred five", "105"),
    ("hundred and five", "105"),
    ("one hundred and five", "105"),
    ("one hundred five", "105"),
    ("one and a half", "1.5"),
    ("two and a half", "2.5"),
    ("two and a quarter", "2.25"),
    ("three and three quarters", "3.75"),
    ("a quarter", "0.25"),
    ("one half", "0.5"),
    ("three quarters", "0.75"),
    ("minus three point two", "-3.2"),
    ("negative zero point two", "-0.2"),
    ("twelve point sixty", "12.60"),
    ("twelve point twenty five", "12.25"),
    ("twelve point six oh", "12.60"),
    ("twelve point six", "12.6"),
    ("four point seven k", "4700"),
    ("one point two million", "1200000"),
    ("two thousand", "2000"),
    ("fourteen hundred", "1400"),
    ("fourteen hundred and fifty", "1450"),
    ("twenty five hundred", "2500"),
    ("two thousand and five", "2005"),
    ("a thousand", "1000"),
    ("twelve thousand three hundred and forty five", "12345"),
    (
        "nine hundred and ninety nine thousand nine hundred and ninety nine",
        "999999",
    ),
    ("niner", "9"),
    ("tree point fower fife", "3.45"),
    ("twelve decimal six", "12.6"),
    ("double five", "55"),
    ("nil", "0"),
    ("zero", "0"),
    ("zero point zero", "0.0"),
    ("naught point five", "0.5"),
    ("nought point five", "0.5"),
    ("nil point two", "0.2"),
    ("one twenty five point two", "125.2"),
    ("one two point six", "12.6"),
    ("point one two five", "0.125"),
    ("five point double oh", "5.00"),
    ("fifty five", "55"),
    ("eighty one", "81"),
    ("fifteen one five", "15"),
    ("fifty five zero", "50"),
    ("fourteen one four", "14"),
]

#: (words, every value they can have, likeliest first): these must be asked about.
SEVERAL_VALUES = [
    ("twelve six", ["12.6", "126"]),
    ("one twenty", ["120", "1.20"]),
    ("one twenty five", ["125", "1.25"]),
    ("three thirty four", ["334", "3.34"]),
    ("twelve oh six", ["12.06", "1206"]),
    ("twelve sixty", ["12.60", "1260"]),
    ("twenty oh", ["20.0", "200"]),
    ("thirty three four", ["33.4", "334"]),
]

#: Must have no value at all.
NO_VALUE = [
    "fifty fifty",
    "fifteen fifteen",
    "one point two point three",
    "point",
    "minus",
    "minus minus five",
    "twelve point",
    "oh",
    "oh five",
    "zero zero five",
    "hundred hundred",
    "two thousand three thousand",
    "thousand five hundred thousand",
    "twenty hundred",
    "ten ten",
    "five point six point",
    "two to four",
    "for",
    "to point for",
    "won",
    "ate",
    "twelve volts volts",
    "volts",
    "volts twelve",
    "fifteen five one",
    "twelve and",
    "and a half",
    "five mils",
]

#: Wrong values that a naive reader of numbers gives; they must never come out.
#: Source: outputs of the word2number 1.1 library, which adds up what it does not understand.
NEVER = [
    ("point oh five", "0.5"),
    ("one oh four", "5"),
    ("one zero four", "4"),
    ("twelve six", "18"),
    ("one twenty", "21"),
    ("one twenty five", "25"),
    ("three three four", "13"),
    ("three thirty four", "94"),
    ("a hundred and five", "500"),
    ("hundred five", "500"),
    ("one and a half", "1"),
    ("two and a half volts", "2"),
    ("minus three point two", "3.2"),
    ("negative zero point two", "0.2"),
    ("twelve point sixty", "12"),
    ("twelve point twenty five", "12"),
    ("four point seven k", "4.7"),
    ("one point two million", "1"),
    ("fifty fifty", "100"),
    ("double five", "5"),
]


def values(grammar: StepGrammar, words: str) -> list[str]:
    meanings = grammar.parse(words).meanings
    return [str(m.value) if isinstance(m, Reading) else repr(m) for m in meanings]


@pytest.mark.parametrize(("words", "value"), ONE_VALUE)
def test_a_number_has_one_value_and_keeps_its_digits(
    anything: StepGrammar, words: str, value: str
) -> None:
    assert values(anything, words) == [value]


@pytest.mark.parametrize(("words", "every"), SEVERAL_VALUES)
def test_a_number_that_words_alone_do_not_tell_has_several(
    anything: StepGrammar, words: str, every: list[str]
) -> None:
    understood = anything.parse(words)
    assert values(anything, words) == every
    assert understood.ambiguous


@pytest.mark.parametrize("words", NO_VALUE)
def test_nonsense_has_no_value_and_a_reason(anything: StepGrammar, words: str) -> None:
    understood = anything.parse(words)
    assert understood.meanings == ()
    assert understood.reason


@pytest.mark.parametrize(("words", "wrong"), NEVER)
def test_a_known_wrong_value_never_comes_out(anything: StepGrammar, words: str, wrong: str) -> None:
    found = [m for m in anything.parse(words).meanings if isinstance(m, Reading)]
    assert all(m.value != Decimal(wrong) for m in found)


@pytest.mark.parametrize(
    ("words", "value"),
    [("twelve six", "12.6"), ("one twenty", "1.20"), ("twelve oh six", "12.06")],
)
def test_what_the_step_can_read_settles_an_ambiguous_number(
    voltage: StepGrammar, words: str, value: str
) -> None:
    assert values(voltage, words) == [value]


def test_all_values_are_kept_when_none_is_plausible(voltage: StepGrammar) -> None:
    assert values(voltage, "ninety nine six") == ["99.6", "996"]


def test_an_unambiguous_number_is_kept_although_not_plausible(voltage: StepGrammar) -> None:
    assert values(voltage, "five hundred") == ["500"]


@pytest.mark.parametrize(
    ("words", "part"),
    [
        ("one point two point three", "after 'one point two', 'point' does not fit"),
        ("fifty fifty", "after 'fifty', 'fifty' does not fit"),
        ("twelve point", "it stops after 'twelve point'; expected "),
        ("banana", "'banana' does not fit"),
        ("", "nothing was said"),
        ("fifteen five one", "do not fit together"),
    ],
)
def test_the_reason_says_where_understanding_stopped(
    anything: StepGrammar, words: str, part: str
) -> None:
    assert part in anything.parse(words).reason


@pytest.mark.parametrize(
    ("typed", "value", "symbol"),
    [
        ("8.4 V", "8.4", "V"),
        ("8.4V", "8.4", "V"),
        ("12.60", "12.60", None),
        ("-0.2 V", "-0.2", "V"),
        ("it reads 350 mV", "350", "mV"),
        ("Twelve point SIX volts.", "12.6", "V"),
        ("twelve-point-six", "12.6", None),
        ("999999.9999 V", "999999.9999", "V"),
    ],
)
def test_typed_figures_are_read_like_spoken_ones(
    anything: StepGrammar, typed: str, value: str, symbol: str | None
) -> None:
    (meaning,) = anything.parse(typed).meanings
    assert isinstance(meaning, Reading)
    assert str(meaning.value) == value
    assert (meaning.unit.symbol if meaning.unit else None) == symbol

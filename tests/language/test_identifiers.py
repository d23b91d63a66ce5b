"""Vehicle identification numbers and the other identifiers of a job."""

import pytest

from voiceassist.language.expectation import Expectation
from voiceassist.language.identifiers import check_digit, is_vin, passes_check
from voiceassist.language.language import Language
from voiceassist.language.meanings import Identifier
from voiceassist.language.step import StepGrammar
from voiceassist.measure.units import unit

#: The regulation's own sample: 49 CFR 565.15(c), table V.
PUBLISHED = "1G4AH59H45G118341"


@pytest.fixture(scope="module")
def vin_step(english: Language) -> StepGrammar:
    return english.compose(Expectation(identifier="vin"))


@pytest.mark.parametrize(
    ("vin", "digit"),
    [
        (PUBLISHED, "4"),
        # Widely printed sample with remainder 10; from memory, recomputed.
        ("1M8GDM9AXKP042788", "X"),
        # Seventeen times the same digit: sums 89, 178, 445, 0, by hand.
        ("1" * 17, "1"),
        ("2" * 17, "2"),
        ("5" * 17, "5"),
        ("0" * 17, "0"),
    ],
)
def test_the_check_digit_is_the_remainder_by_eleven(vin: str, digit: str) -> None:
    assert check_digit(vin) == digit
    assert passes_check(vin)


def test_a_changed_check_digit_fails() -> None:
    assert not passes_check(PUBLISHED[:8] + "5" + PUBLISHED[9:])


def test_swapped_neighbours_away_from_the_check_digit_fail() -> None:
    # Published property of the weights: none of the 13 swaps outside places 8 to 10 passes.
    swapped = [
        PUBLISHED[:i] + PUBLISHED[i + 1] + PUBLISHED[i] + PUBLISHED[i + 2 :]
        for i in range(16)
        if i not in {7, 8} and PUBLISHED[i] != PUBLISHED[i + 1]
    ]
    assert swapped
    assert not any(passes_check(vin) for vin in swapped)


@pytest.mark.parametrize("text", ["", "1" * 16, "1" * 18, "I" * 17, "1G4AH59H45G11834O"])
def test_what_is_no_vin_has_no_check_digit(text: str) -> None:
    assert not is_vin(text)
    with pytest.raises(ValueError, match="not a vehicle identification number"):
        check_digit(text)


def test_a_spelled_vin_is_understood_and_read_back_in_its_sections(
    english: Language, vin_step: StepGrammar
) -> None:
    said = english.say(Identifier("vin", PUBLISHED))
    assert said == (
        "one golf four , alfa hotel five nine hotel four , five golf one one eight three four one"
    )
    assert vin_step.parse(said).meanings == (Identifier("vin", PUBLISHED),)


@pytest.mark.parametrize(
    "phrase",
    [
        "one golf four alpha hotel five niner hotel four five golf one one eight tree four one",
        "the vin is one golf four alfa hotel five nine hotel four five golf one one eight "
        "three four one",
        "1G4AH59H45G118341",
        "1g4 ah59h4 5g118341",
    ],
)
def test_a_vin_can_be_spelled_or_typed(vin_step: StepGrammar, phrase: str) -> None:
    assert vin_step.parse(phrase).meanings == (Identifier("vin", PUBLISHED),)


def test_a_failed_check_does_not_stop_a_vin_from_being_heard(vin_step: StepGrammar) -> None:
    wrong = PUBLISHED[:8] + "5" + PUBLISHED[9:]
    assert vin_step.parse(wrong).meanings == (Identifier("vin", wrong),)


def test_a_vin_with_a_character_missing_is_refused(vin_step: StepGrammar) -> None:
    understood = vin_step.parse("one golf four alfa")
    assert understood.meanings == ()
    assert "it stops after 'one golf four alfa'" in understood.reason


@pytest.mark.parametrize(
    # ICAO Annex 10, volume II, spelling alphabet; "Alpha", "Juliet" and "Xray" are accepted too.
    "alphabet",
    [
        "alfa bravo charlie delta echo foxtrot golf hotel india juliett kilo lima mike november "
        "oscar papa quebec romeo sierra tango uniform victor whiskey x-ray yankee zulu",
        "alpha bravo charlie delta echo foxtrot golf hotel india juliet kilo lima mike november "
        "oscar papa quebec romeo sierra tango uniform victor whisky xray yankee zulu",
    ],
)
def test_the_spelling_alphabet_is_the_standard_one(english: Language, alphabet: str) -> None:
    grammar = english.compose(Expectation(identifier="repair-order"))
    words = alphabet.split()
    for start, text in ((0, "ABCDEFGHI"), (9, "JKLMNOPQR"), (18, "STUVWXYZ")):
        phrase = " ".join(words[start : start + len(text)])
        assert grammar.parse(phrase).meanings == (Identifier("repair-order", text),)


@pytest.mark.parametrize(
    ("name", "phrase", "text"),
    [
        ("repair-order", "four seven one two", "4712"),
        ("repair-order", "romeo oscar dash oh four seven", "RO-047"),
        ("repair-order", "repair order number forty seven twelve", "4712"),
        ("repair-order", "double zero seven", "007"),
        ("odometer", "eight four three oh oh", "84300"),
        ("odometer", "eighty four thousand three hundred", "84300"),
        ("odometer", "the odometer reads eighty four thousand kilometers", "84000 km"),
        ("odometer", "mileage is five two oh one one oh miles", "520110 mi"),
        ("odometer", "84300", "84300"),
    ],
)
def test_other_identifiers_keep_their_characters(
    english: Language, name: str, phrase: str, text: str
) -> None:
    grammar = english.compose(Expectation(identifier=name))
    assert grammar.parse(phrase).meanings == (Identifier(name, text),)


@pytest.mark.parametrize(
    ("name", "text"),
    [("repair-order", "RO-0471"), ("odometer", "84300"), ("odometer", "84300 km")],
)
def test_an_identifier_said_is_the_one_understood(english: Language, name: str, text: str) -> None:
    grammar = english.compose(Expectation(identifier=name))
    said = english.say(Identifier(name, text))
    assert grammar.parse(said).meanings == (Identifier(name, text),)


@pytest.mark.parametrize(
    ("typed", "text"),
    [
        ("repair order 1042", "1042"),
        ("job number is 47110", "47110"),
        ("my job card number's 1042", "1042"),
    ],
)
def test_a_number_of_the_job_may_be_typed_in_figures(
    english: Language, typed: str, text: str
) -> None:
    grammar = english.compose(Expectation(("voltage",), unit("V"), at="live"))
    (found,) = grammar.parse(typed).meanings
    assert found == Identifier("repair-order", text)


def test_a_typed_number_whose_dash_would_be_lost_is_not_taken(english: Language) -> None:
    grammar = english.compose(Expectation(("voltage",), unit("V"), at="live"))
    assert grammar.parse("repair order 1042-7").meanings == ()


def test_figures_with_no_such_name_stay_a_reading(english: Language) -> None:
    grammar = english.compose(Expectation(("voltage",), unit("V"), at="live"))
    assert [type(m).__name__ for m in grammar.parse("1042").meanings] == ["Reading"]

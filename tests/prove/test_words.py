"""Words that sound alike must not decide between branches."""

from functools import cache
from itertools import combinations

import pytest
from bench import FINDINGS, HEAD

from voiceassist import resources
from voiceassist.language.language import Language
from voiceassist.procedure.model import Procedure
from voiceassist.procedure.read import read_procedure
from voiceassist.prove.phones import apart, between, distance, lost
from voiceassist.prove.words import NEAR, Ear, alike, near_numbers
from voiceassist.recognise.dictionary import Dictionary


@cache
def ear() -> Ear:
    files = resources.grammar_files("en")
    return Ear(Language.load(files).say, Dictionary(files["pronunciations.dict"]))


def far(one: str, other: str) -> float:
    return apart(ear().phones(one), ear().phones(other))


def small(step: str) -> Procedure:
    return read_procedure(f"{HEAD}\nsteps:\n  one: {step}\n{FINDINGS}", "small.yaml")


def found(step: str) -> list[tuple[str, str, bool]]:
    return [(pair.one, pair.other, pair.asked) for pair in alike(small(step), ear())]


def test_teens_and_tens_are_the_whole_numbers_that_sound_alike() -> None:
    """From common practice of reading numbers back ("fifteen, one five"); no others below 100."""
    assert {(a, b) for a, b, _ in near_numbers(ear())} == {(10 + n, 10 * n) for n in range(3, 10)}


@pytest.mark.parametrize(
    ("near", "further"),
    [
        (("fifteen", "fifty"), ("five", "nine")),
        (("left", "lift"), ("left", "right")),
        (("bright", "right"), ("bright", "dim")),
        (("thirteen", "thirty"), ("thirteen", "fifteen")),
        (("bad", "bat"), ("bad", "bus")),
    ],
)
def test_what_people_confuse_is_nearer_than_what_they_do_not(
    near: tuple[str, str], further: tuple[str, str]
) -> None:
    assert far(*near) <= NEAR < far(*further)


def test_the_distance_of_two_phones_is_symmetric_and_at_most_one() -> None:
    phones = ["P", "B", "T", "D", "S", "Z", "M", "N", "L", "IY", "IH", "AA", "OW", "AY", "ER"]
    for a, b in combinations(phones, 2):
        assert 0 < between(a, b) == between(b, a) <= 1
    assert between("P", "B") < between("P", "M")  # voicing weighs less than manner
    assert between("IY", "IH") < between("IY", "AA")
    assert all(between(phone, phone) == 0 for phone in phones)


def test_the_distance_of_two_words_is_no_longer_than_losing_all_and_adding_all() -> None:
    words = [ear().phones(word)[0] for word in ("fifteen", "volts", "no", "eleven")]
    for a, b in combinations(words, 2):
        assert distance(a, b) == pytest.approx(distance(b, a))
        assert distance(a, b) <= sum(map(lost, a + b))
        assert distance(a, b, most=0.1) == float("inf")
    assert distance((), words[0]) == pytest.approx(sum(map(lost, words[0])))


@pytest.mark.parametrize(
    ("limit", "pair"),
    [
        ("accept: at most 20 A", ("thirteen amps", "thirty amps")),
        ("accept: at most 55 mV", ("sixteen millivolts", "sixty millivolts")),
        ("accept: at most 0.055 V", ("sixteen millivolts", "sixty millivolts")),
        ("accept: 100 Ω to 130 Ω", ("one hundred fourteen ohms", "one hundred forty ohms")),
    ],
)
def test_numbers_either_side_of_a_limit_are_told_and_asked_digit_by_digit(
    limit: str, pair: tuple[str, str]
) -> None:
    step = f"{{measure: it, {limit}, fail: bad, then: good}}"
    assert found(step) == [(*pair, True)]
    assert small(step).steps["one"].alike


@pytest.mark.parametrize(
    "limit",
    [
        "accept: 12.0 V to 12.9 V",  # nobody reads 30 V on it
        "accept: at most 5 A",
        "accept: at most 20 A, plausible: 0 A to 25 A",
        "unit: A",
    ],
)
def test_a_limit_that_no_such_pair_straddles_is_left_alone(limit: str) -> None:
    fail = ", fail: bad" if "accept" in limit else ""
    step = f"{{measure: it, {limit}{fail}, then: good}}"
    assert found(step) == []
    assert not small(step).steps["one"].alike


def test_a_limit_by_an_earlier_reading_is_tried_with_a_usual_value() -> None:
    text = (
        "{measure: it, accept: 10 A to 30 A, fail: bad}\n"
        "  two: {measure: more, accept: at most one, fail: bad, then: good}"
    )
    assert small(text).steps["two"].alike  # at most 20 A, as far as anybody can tell


def test_answers_that_sound_alike_and_lead_apart_are_told() -> None:
    step = "{ask: which, answers: {left: {say: [left], go: good}, lift: {say: [lift], go: bad}}}"
    assert found(step) == [("left", "lift", False)]
    same = step.replace("go: bad", "go: good")
    assert found(same) == []
    assert found("{ask: is it so, answers: {yes: good, no: bad}}") == []


def test_an_answer_that_sounds_like_a_command_is_told() -> None:
    """The command is "help"."""
    step = "{ask: which, answers: {held: {say: [hell], go: good}, no: bad}}"
    assert ("hell", "help", False) in found(step)


def test_a_word_that_the_dictionary_lacks_sounds_like_nothing() -> None:
    assert ear().phones("zzyzx") == ()
    assert far("zzyzx", "yes") == float("inf")
    assert ear().phones("farads")  # from the language's own list

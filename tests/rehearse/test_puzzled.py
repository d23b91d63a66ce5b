"""A wish that cannot be gets one sentence that says what is not known, and what is."""

from dataclasses import replace

import pytest
from bench import BOOK, FAN

from voiceassist import resources
from voiceassist.procedure.read import read_procedure
from voiceassist.rehearse.puzzled import instead, no_such_cause, no_such_change
from voiceassist.rehearse.wishes import Wish, choices, read_ways

PROCEDURE = read_procedure(FAN, "fan.yaml")
WAYS = read_ways(resources.grammar_files("en")["rehearse.toml"], "rehearse.toml")
SAID = {way for choice in choices(PROCEDURE, WAYS) for way in choice.phrases}


def told(words: str) -> str:
    return instead(words, PROCEDURE, WAYS, BOOK, SAID.__contains__)


@pytest.mark.parametrize(
    ("words", "begins", "holds"),
    [
        ("voltage from the moon to body earth", "One of these places is not known", "feed pin"),
        ("Red on the moon black on body earth", "One of these places is not known", "body earth"),
        ("resistance between feed pin and nowhere", "One of these places is not known", "motor"),
        ("test lamp from feed pin to nowhere", "One of these places is not known", "command wire"),
        ("current in the moon", "That is not known here. A current can be read", "motor wire"),
        ("change the moon", "That part is not known here.", "fan module"),
        ("fit a new moon", "That part is not known here.", "fan motor"),
        ("unplug the module and key to run", "One thing at a time", "the first"),
        ("unplug the module then read the meter", "One thing at a time", "the second"),
    ],
)
def test_a_wish_that_cannot_be_tells_what_can(words: str, begins: str, holds: str) -> None:
    assert told(words).startswith(begins)
    assert holds in told(words)


@pytest.mark.parametrize(
    ("words", "begins"),
    [
        ("unplug the module and pull the relay", "unplug the module can be done here, but pull"),
        ("pull the relay then unplug the module", "unplug the module can be done here, but pull"),
        ("key to run and voltage from the moon to body earth", "key to run can be done here, but"),
        ("pull the relay and then remove the fan", "neither is known here"),
    ],
)
def test_of_two_wishes_it_is_told_which_can_be_and_what_else_can(words: str, begins: str) -> None:
    said = told(words)
    assert said.startswith("One thing at a time")
    assert begins in said
    assert "say what to do with the current clamp, or module plug, or key, or" in said


def test_where_no_current_can_be_read_so_it_says_that() -> None:
    assert PROCEDURE.circuit is not None
    bare = replace(PROCEDURE.circuit, probes={})
    said = instead(
        "current in the moon", replace(PROCEDURE, circuit=bare), WAYS, BOOK, SAID.__contains__
    )
    assert said == "Nothing of that kind can be done in this procedure."


def test_a_cause_that_is_none_is_told_with_some_that_are() -> None:
    said = no_such_cause("It is the moon", PROCEDURE, BOOK)
    assert said.startswith("No such cause is known here. Name what is bad, such as ")
    assert said.count(", or ") == 2
    assert "motor" in said
    assert no_such_cause("current in the moon", PROCEDURE, BOOK) == ""


def test_a_change_that_cannot_be_tells_what_can_be_changed() -> None:
    said = no_such_change("Unplug the relay", PROCEDURE, WAYS, BOOK)
    assert said == (
        "That is not known here. What can be changed is the current clamp, or module plug, or key,"
        " or fan control."
    )
    for words in ("unplugged", "the relay", "unplug the module and it is a bit hot"):
        assert no_such_change(words, PROCEDURE, WAYS, BOOK) == ""


@pytest.mark.parametrize(
    "words",
    [
        "",
        "purple elephants",
        "unplug the module and it is a bit hot",
        "eight point four volts",
        "and",
        "i do",
    ],
)
def test_what_is_no_wish_is_left_to_others(words: str) -> None:
    assert told(words) == ""


def test_questions_to_the_instructor_in_records_of_earlier_versions_are_still_read() -> None:
    assert Wish.named("wish sure||") is not None
    assert Wish.named("wish against|module|") is not None

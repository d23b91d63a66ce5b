"""Asked for a pin, a place or a lamp by name, it tells of that and not of the step at hand."""

import pytest
from talk.situations import Talker, talker

from voiceassist.session.outputs import Listen
from voiceassist.session.session import Detail, Turn

TO_THE_EARTH = ("affirm", "done", "twelve point six", "twelve point five", "affirm", "done", "yes")


def at(procedure: str, *lines: str) -> tuple[Talker, Turn]:
    one = talker(procedure, Detail.NORMAL)
    turn = one.begin()
    for line in lines:
        turn = one.say(turn, line)
    return one, turn


def told(procedure: str, lines: tuple[str, ...], words: str) -> str:
    one, before = at(procedure, *lines)
    after = one.say(before, words)
    assert after.session.at_step == before.session.at_step, "a question moves nothing"
    return " ".join(o.text for o in after.outputs if not isinstance(o, Listen))


@pytest.mark.parametrize(
    ("words", "answer"),
    [
        ("which pin is the left indicator", "Left turn pin: pin one, yellow wire."),
        ("which pin is the stop lamp", "Stop pin: pin six, red wire."),
        ("what colour is the fog wire", "Fog pin: blue."),
        ("which wire is the right tail", "Right tail pin: pin five, brown wire."),
        ("which pin is it", "Earth pin: pin three, white wire."),
    ],
)
def test_a_pin_that_is_asked_for_by_name_is_told_and_not_the_one_of_the_step(
    words: str, answer: str
) -> None:
    assert told("trailer-socket", TO_THE_EARTH, words) == answer


def test_where_a_pin_stands_in_the_data_its_connector_is_told_too() -> None:
    answer = told("rear-lamps", ("affirm",), "which pin is the indicator")
    assert answer == "Turn feed: pin 4 of the lamp plug."


def test_of_a_part_of_the_circuit_it_is_told_what_it_lies_between_and_that_no_more_is_said() -> (
    None
):
    answer = told("trailer-socket", TO_THE_EARTH, "where's that earth joint")
    between = "Earth joint: between earth ring and battery minus post."
    assert answer == f"{between} Where that lies, the maker's drawing tells."


def test_a_place_that_stands_beside_a_test_point_is_told_by_that() -> None:
    answer = told("trailer-socket", TO_THE_EARTH, "where's the joint box")
    assert answer.endswith("joint box behind left lamp.")


def test_how_to_do_the_step_is_still_told_where_nothing_else_is_named() -> None:
    answer = told("trailer-socket", TO_THE_EARTH, "where do i put the black lead")
    assert "black lead on earth pin" in answer


@pytest.mark.parametrize(
    "words", ["will a bulb do", "will a bulb do for the test lamp", "will an LED do"]
)
def test_whether_a_bulb_does_for_the_lamp_is_told_by_the_lamp_that_is_named(words: str) -> None:
    answer = told("trailer-socket", TO_THE_EARTH, words)
    assert answer.startswith("It names: test lamp of 21 watts. A filament bulb of that power does")


def test_where_no_test_lamp_is_named_no_bulb_is_called_right() -> None:
    answer = told("rear-lamps", ("affirm",), "will a bulb do")
    assert answer == "The procedure names no test lamp, so it does not say."


def test_a_tool_is_told_once_though_two_procedures_name_it() -> None:
    answer = told("trailer-socket", TO_THE_EARTH, "what tools do i need")
    assert answer.count("multimeter with long leads") == 1
    assert not answer.endswith("multimeter.")

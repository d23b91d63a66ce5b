"""What is wrong, told in one's own words before it is asked, chooses the way or is noted."""

import pytest
from talk.situations import Talker, talker

from voiceassist.session.outputs import FindingReached, Listen, NoteTaken
from voiceassist.session.session import Detail, Turn


def at(procedure: str, *lines: str) -> tuple[Talker, Turn]:
    one = talker(procedure, Detail.NORMAL)
    turn = one.begin()
    for line in lines:
        turn = one.say(turn, line)
    return one, turn


def told(turn: Turn) -> str:
    return " ".join(output.text for output in turn.outputs if not isinstance(output, Listen))


POWER = ("affirm", "done", "twelve point six", "twelve point five")
TO_EARTH = (*POWER, "affirm", "done", "yes")


@pytest.mark.parametrize(
    "words",
    [
        "it's the left indicator",
        "left indicator's dead",
        "customer says the left indicator doesn't work",
        "it's just the left blinker",
    ],
)
def test_the_lamp_that_the_complaint_names_is_named_back_and_measured_first(words: str) -> None:
    _, turn = at("trailer-socket", words)
    assert told(turn).startswith("Noted: left turn. Say affirm")
    one, turn = at("trailer-socket", words, *TO_EARTH, "twelve point two")
    assert turn.session.step == "left-turn"
    assert "Left turn first." in told(turn)
    assert one.say(turn, "twelve point one").session.step == "left-tail", "the others come then"


def test_the_lamp_can_be_named_while_others_are_still_to_come() -> None:
    one, turn = at("trailer-socket", *TO_EARTH, "it's the fog lamp")
    assert "Noted: fog." in told(turn)
    assert one.say(turn, "twelve point two").session.step == "fog"


def test_the_earth_that_they_share_comes_before_the_lamp_that_was_named() -> None:
    _, turn = at("trailer-socket", *TO_EARTH, "it's the left indicator")
    assert turn.session.step == "earth"


def test_the_finding_of_the_lamp_that_was_named_does_not_wait_for_the_other_lamps() -> None:
    lines = ("twelve point two", "zero point two", "yes", "twelve point one")
    _, turn = at("trailer-socket", "it's the left indicator", *TO_EARTH, *lines)
    assert [o.name for o in turn.outputs if isinstance(o, FindingReached)] == ["socket-wire"]


def test_a_lamp_that_was_measured_already_is_not_measured_again_for_its_name() -> None:
    _, turn = at("trailer-socket", *TO_EARTH, "twelve point two", "twelve", "left tail is dead")
    assert "measured already" in told(turn)


@pytest.mark.parametrize(
    ("words", "shown", "step"),
    [
        ("customer says it won't park", "park", "stop-midway"),
        ("they don't park", "park", "stop-midway"),
        ("only the fast speed works", "slow", "slow-volts"),
        ("slow's dead", "slow", "slow-volts"),
        ("they keep running", "off", "stop-at-rest"),
    ],
)
def test_an_answer_told_before_its_question_is_kept_until_the_job_is_there(
    words: str, shown: str, step: str
) -> None:
    _, turn = at("wiper-park", words)
    assert f"Noted: {shown}. Say affirm" in told(turn)
    _, turn = at("wiper-park", words, *POWER)
    assert turn.session.step == step
    assert f"As you said: {shown}." in told(turn)
    assert "WARNING: the wiper may start" in told(turn), "it is warned all the same"


def test_an_answer_told_at_the_caution_of_its_question_is_taken_at_once() -> None:
    _, turn = at("wiper-park", *POWER, "they don't park")
    assert (turn.session.step, turn.session.state.value) == ("stop-midway", "caution")


def test_the_question_that_was_answered_early_can_be_gone_back_to() -> None:
    one, turn = at("wiper-park", "they don't park", *POWER, "go back", "affirm")
    assert "What fails" in told(turn)
    assert one.say(turn, "slow").session.step == "slow-volts"


@pytest.mark.parametrize(
    ("words", "step"),
    [
        ("only the left rear one's dead", "swing"),
        ("it's just the left rear door", "swing"),
        ("just the passenger's", "swing"),
    ],
)
def test_to_whether_it_is_the_only_one_the_one_may_be_named(words: str, step: str) -> None:
    assert at("door-wires", words)[1].session.step == step


def test_to_whether_it_is_the_only_one_all_of_them_is_no() -> None:
    assert at("door-wires", "all the doors are dead")[1].session.finding == "all-doors"
    assert at("one-wire-data", "none of them answer")[1].session.step == "talking"


def test_where_the_one_is_only_pointed_at_the_question_is_asked_once_more() -> None:
    _, turn = at("door-wires", "it's the left rear")
    assert told(turn) == "Yes or no? Is this the only door that fails?"


@pytest.mark.parametrize("words", ["the bulb warning's on", "a bulb's gone", "one bulb is dim"])
def test_a_complaint_that_chooses_nothing_is_noted_and_said_so(words: str) -> None:
    _, turn = at("rear-lamps", words)
    assert told(turn) == "Noted."
    assert [o.words for o in turn.outputs if isinstance(o, NoteTaken)] == [words]


@pytest.mark.parametrize("words", ["my phone's dead", "pass me the lamp", "who left the door open"])
def test_what_is_no_complaint_of_the_job_is_not_noted(words: str) -> None:
    _, turn = at("rear-lamps", words)
    assert not [o for o in turn.outputs if isinstance(o, NoteTaken)]


@pytest.mark.parametrize("words", ["is it the left indicator", "left turn twelve point one"])
def test_who_asks_or_tells_a_value_names_no_complaint(words: str) -> None:
    _, turn = at("trailer-socket", words)
    assert not turn.session.wished


@pytest.mark.parametrize(
    "words", ["fan only goes on full", "the fan doesn't stop", "fan's stuck on full"]
)
def test_of_one_word_of_the_complaint_and_how_it_fails_it_is_noted_too(words: str) -> None:
    _, turn = at("heater-fan-module", words)
    assert [o.words for o in turn.outputs if isinstance(o, NoteTaken)] == [words]

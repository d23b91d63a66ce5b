"""Questions and answers in one's own words: what it is, where a lead goes, what was held."""

import pytest
from talk.situations import Talker, after, spoken, standing_at, talker

from voiceassist.language.meanings import Answer, Command, Meaning
from voiceassist.session.session import Detail, Turn
from voiceassist.session.states import State


def taken(place: str, words: str) -> Meaning | None:
    one, turn = standing_at(place)
    meanings = one.event(turn, words).meanings
    return meanings[0] if len(meanings) == 1 else None


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("how do i tell if it's the wire or the control", "Ruled out by command fast, 2.5 V"),
        ("so how would i know whether it's the motor", "Ruled out by motor current, 6 A"),
        ("how can i tell if it's the wire", "Ruled out by motor current, 6 A"),
    ],
)
def test_how_to_tell_what_it_is_is_answered_by_the_reading_that_told(words: str, told: str) -> None:
    one, turn = standing_at("offer")
    assert spoken(one.say(turn, words)).startswith(told)


@pytest.mark.parametrize(
    "words",
    [
        "where was i meant to put the lamp",
        "what am i putting the black lead on",
        "where did you want the lamp again",
    ],
)
def test_where_a_lead_or_the_lamp_goes_is_told_by_its_places(words: str) -> None:
    one, turn = standing_at("lamp")
    assert spoken(one.say(turn, words)).startswith("Feed pin: pin one")


def test_it_is_told_while_standing_by_as_well() -> None:
    one, turn = standing_at("volts")
    waiting = one.say(turn, "hold up")
    asked = one.say(waiting, "what am i putting the black lead on")
    assert "black lead on body earth" in spoken(asked)
    assert asked.session.state is State.STAND_BY


@pytest.mark.parametrize(
    "words",
    ["off for a smoke", "nipping to the shop", "just popping to the van, back in five"],
)
def test_who_goes_off_is_waited_for(words: str) -> None:
    assert taken("volts", words) == Command("stand-by")


@pytest.fixture(scope="module")
def window() -> Talker:
    return talker("window-motor", Detail.NORMAL)


@pytest.fixture(scope="module")
def held(window: Talker) -> Turn:
    turn = after(window, "yes", "12.6", "yes", "done", "0.1", "affirm")
    assert "Did you hold the passenger switch?" in spoken(turn)
    return turn


@pytest.mark.parametrize(
    ("words", "answer"),
    [
        ("i held it right up", "affirm"),
        ("held it up the whole time", "affirm"),
        ("aye, kept my thumb on it", "affirm"),
        ("it was held", "affirm"),
        ("no i'd let go", "negative"),
        ("i let go too soon", "negative"),
        ("oh i didn't hold it long enough", "negative"),
    ],
)
def test_whether_a_switch_was_held_is_told_by_how(
    window: Talker, held: Turn, words: str, answer: str
) -> None:
    assert window.event(held, words).meanings == (Answer(answer),)

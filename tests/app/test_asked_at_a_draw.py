"""What is asked at a draw while key and doors are as they are, and where the clamp belongs."""

import pytest
from talk.situations import Talker, after, spoken, talker

from voiceassist.session.session import Detail, Turn

TO_THE_CLAMP = ("no", "yes", "12.6", "0.02")


@pytest.fixture(scope="module")
def one() -> Talker:
    return talker("key-off-draw", Detail.NORMAL)


@pytest.fixture(scope="module")
def clamped(one: Talker) -> Turn:
    turn = after(one, *TO_THE_CLAMP)
    assert turn.session.step == "rough-draw"
    return turn


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("key's in my pocket is that alright", "A key nearby keeps the modules awake"),
        ("the door's open does that matter", "An open door keeps the modules awake"),
        ("lights are still on is that ok", "If the headlamps were still on"),
    ],
)
def test_whether_a_state_will_do_is_answered_by_what_it_does(
    one: Talker, clamped: Turn, words: str, told: str
) -> None:
    turn = one.say(clamped, words)
    assert spoken(turn).startswith(told)
    assert turn.session.at_step == clamped.session.at_step


def test_where_the_clamp_goes_is_told_by_what_is_read(one: Talker, clamped: Turn) -> None:
    text = spoken(one.say(clamped, "where do you want the clamp"))
    assert text.startswith("Current in the minus cable")


def test_how_a_state_is_made_is_told_only_while_it_is_asked_for(one: Talker, clamped: Turn) -> None:
    assert "Latched by hand" in spoken(one.say(clamped, "how do i do that"))
    asleep = one.say(one.say(clamped, "0.8"), "yes")
    assert spoken(one.say(asleep, "how do i know it's asleep")) == "Asleep, the current stays down."

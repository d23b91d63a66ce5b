"""What is to be changed does not give: how it is brought off is told, and what else may be done.

The advice itself: common practice, no source.
"""

import pytest
from talk.situations import FAN, Talker, spoken, standing_at

from voiceassist.language.meanings import Answer
from voiceassist.session.session import Turn
from voiceassist.session.states import State

CATCH, SKIP = "press its catch", "or skip"


@pytest.fixture(scope="module")
def fan() -> Talker:
    return Talker(FAN)


@pytest.fixture(scope="module")
def at_the_plug(fan: Talker) -> Turn:
    """The module is to be unplugged, and a voltage read in the same turn."""
    turn = fan.begin()
    for line in ("affirm", "12.6 volts", "affirm"):
        turn = fan.say(turn, line)
    assert "Unplug the module." in spoken(turn)
    assert turn.session.state is State.MEASURE
    return turn


@pytest.mark.parametrize(
    "words",
    [
        "the module won't unplug",
        "I can't get the plug off",
        "the plug's stuck",
        "it won't come off",
        "it's seized",
        "I can't unplug it",
    ],
)
def test_how_a_plug_comes_off_is_told_and_that_the_step_may_be_skipped(
    fan: Talker, at_the_plug: Turn, words: str
) -> None:
    after = fan.say(at_the_plug, words)
    said = spoken(after)
    assert CATCH in said
    assert "To open: glove box." in said
    assert SKIP in said
    assert after.session.conditions == at_the_plug.session.conditions
    assert after.session.state is State.MEASURE


def test_a_clamp_has_its_own_way(fan: Talker, at_the_plug: Turn) -> None:
    assert "twist the clamp" in spoken(fan.say(at_the_plug, "the clamp won't come off"))


def test_what_does_not_go_in_is_not_to_be_pulled(fan: Talker, at_the_plug: Turn) -> None:
    said = spoken(fan.say(at_the_plug, "the plug won't go in"))
    assert CATCH not in said
    assert SKIP in said


def test_an_engine_that_does_not_start_is_nothing_to_pull_either(
    fan: Talker, at_the_plug: Turn
) -> None:
    said = spoken(fan.say(at_the_plug, "the engine won't start"))
    assert "Without the engine" in said
    assert CATCH not in said


def test_a_plug_that_does_not_come_off_does_not_answer_a_question() -> None:
    one, turn = standing_at("question")
    after = one.say(turn, "I can't get the plug off")
    assert after.session.latest(turn.session.step) is None
    assert "Say skip" in spoken(after)
    assert "Does the fan wheel turn freely by hand?" in spoken(after)


@pytest.mark.parametrize("words", ["it won't turn", "it's stuck", "it's seized solid"])
def test_what_the_question_itself_asks_about_is_an_answer(words: str) -> None:
    one, turn = standing_at("question")
    assert one.event(turn, words).meanings == (Answer("negative"),)


@pytest.mark.parametrize(
    "words",
    [
        "it won't go in",
        "new one is in but not clicked",
        "one click only, second plug i can not push",
        "it only went halfway",
        "it's in but loose",
        "not seated properly",
    ],
)
def test_what_does_not_go_home_is_not_done_and_is_not_to_be_forced(words: str) -> None:
    one, turn = standing_at("repair")
    after = one.say(turn, words)
    assert spoken(after).startswith("Do not force it.")
    assert after.session.at_step == turn.session.at_step


@pytest.mark.parametrize("words", ["new one's in and it's clicked", "clicked in nicely"])
def test_what_has_clicked_is_done(words: str) -> None:
    one, turn = standing_at("repair")
    assert one.event(turn, words).meanings == (Answer("done"),)

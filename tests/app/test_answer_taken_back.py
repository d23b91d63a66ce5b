"""An answer that was given is put right in plain words, and no other answer by that."""

import pytest
from talk.situations import FAN, PLACES, Talker, spoken

from voiceassist.session.session import Turn
from voiceassist.session.states import State


@pytest.fixture(scope="module")
def fan() -> Talker:
    return Talker(FAN)


@pytest.fixture(scope="module")
def turns(fan: Talker) -> Turn:
    """Asked whether it turns freely; the question behind it is of the pins."""
    return fan.to(PLACES["question"])


def after(one: Talker, turn: Turn, *lines: str) -> Turn:
    for line in lines:
        turn = one.say(turn, line)
    return turn


def answers(turn: Turn) -> dict[str, str]:
    counting = (r for r in turn.session.ledger if not r.superseded)
    return {r.step: r.outcome for r in counting if r.outcome in {"affirm", "negative"}}


@pytest.mark.parametrize(
    "words",
    [
        "correction, it doesn't turn",
        "no wait it doesn't turn",
        "i said yes but it doesn't turn",
        "actually that was a no",
        "make that a no",
        "my mistake, it's stuck",
    ],
)
def test_the_answer_before_is_put_right_and_named_though_another_question_waits(
    fan: Talker, turns: Turn, words: str
) -> None:
    turn = after(fan, turns, "yes", words)
    assert spoken(turn).startswith("Turns freely corrected: no.")
    assert answers(turn) == {"turns-freely": "negative"}


@pytest.mark.parametrize(
    "words",
    [
        "correction, pins aren't clean",
        "i said yes but they're burnt",
        "scratch that, the pins are burnt",
        "actually the pins are burnt",
        "no wait, one pin is loose",
        "actually that was a no",
    ],
)
def test_so_it_is_where_a_value_waits(fan: Talker, turns: Turn, words: str) -> None:
    turn = after(fan, turns, "yes", "yes", words)
    assert spoken(turn).startswith("Plug pins corrected: no.")
    assert answers(turn) == {"turns-freely": "affirm", "plug-pins": "negative"}


@pytest.mark.parametrize(
    "words", ["no wait it does turn", "correction yes", "i said no but it turns"]
)
def test_a_finding_goes_with_the_answer_that_was_wrong(
    fan: Talker, turns: Turn, words: str
) -> None:
    found = after(fan, turns, "no")
    assert found.session.finding
    turn = fan.say(found, words)
    assert spoken(turn).startswith("Turns freely corrected: yes. That changes the path.")
    assert (turn.session.finding, turn.session.step) == ("", "plug-pins")


@pytest.mark.parametrize("words", ["correction, no", "no wait, no", "actually no"])
def test_where_either_question_may_be_meant_it_is_asked_which(
    fan: Talker, turns: Turn, words: str
) -> None:
    asked = after(fan, turns, "yes", words)
    assert (asked.session.state, answers(asked)) == (State.WHOSE, {"turns-freely": "affirm"})
    assert "Is no for this one, or for the last one?" in spoken(asked)
    assert answers(fan.say(asked, "the last one")) == {"turns-freely": "negative"}
    both = {"turns-freely": "affirm", "plug-pins": "negative"}
    assert answers(fan.say(asked, "this one")) == both


def test_an_answer_further_back_is_put_right_by_who_says_what_he_said(
    fan: Talker, turns: Turn
) -> None:
    turn = after(fan, turns, "yes", "yes", "i said yes but it doesn't turn")
    assert spoken(turn).startswith("Turns freely corrected: no.")


def test_what_may_be_told_of_the_step_at_hand_is_offered_by_the_name_of_the_other(
    fan: Talker, turns: Turn
) -> None:
    turn = after(fan, turns, "yes", "yes", "hang on, the fan doesn't turn")
    assert turn.session.state is State.MEANT
    assert spoken(turn) == "Did you mean turns freely, no? Say affirm or negative."
    assert answers(turn) == {"turns-freely": "affirm", "plug-pins": "affirm"}
    assert answers(fan.say(turn, "yes")) == {"turns-freely": "negative"}


@pytest.mark.parametrize("words", ["no", "no, they are burnt", "not clean"])
def test_an_answer_that_takes_nothing_back_is_that_of_the_question_at_hand(
    fan: Talker, turns: Turn, words: str
) -> None:
    turn = after(fan, turns, "yes", words)
    assert answers(turn) == {"turns-freely": "affirm", "plug-pins": "negative"}


@pytest.mark.parametrize("words", ["no wait", "hang on", "scratch that", "wait, which pins"])
def test_without_an_answer_such_words_mean_what_they_did(
    fan: Talker, turns: Turn, words: str
) -> None:
    assert "corrected" not in spoken(after(fan, turns, "yes", "yes", words))


@pytest.mark.parametrize(
    "words",
    ["the pins are burnt", "one pin is burnt", "the plug is melted", "most of the pins are black"],
)
def test_asked_for_good_pins_bad_ones_are_a_no_and_no_fire(
    fan: Talker, turns: Turn, words: str
) -> None:
    assert answers(after(fan, turns, "yes", words))["plug-pins"] == "negative"

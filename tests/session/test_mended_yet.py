"""Asked whether it is mended, it says what is not proved yet; once it is, yes."""

import pytest
from talk.situations import Talker, standing_at

from voiceassist.session.outputs import Listen
from voiceassist.session.session import Stage, Turn
from voiceassist.session.states import State

ASKED = (
    "so that's it fixed then",
    "is that it then",
    "are we done",
    "is it mended now",
    "are we finished",
    "is that it sorted then",
)


def told(turn: Turn) -> str:
    return " ".join(output.text for output in turn.outputs if not isinstance(output, Listen))


def proving() -> tuple[Talker, Turn]:
    one, turn = standing_at("repair")
    for words in ("done", "done", "affirm"):
        turn = one.say(turn, words)
    assert turn.session.stage is Stage.PROVE
    return one, turn


@pytest.mark.parametrize("words", ASKED)
def test_before_the_proof_it_is_said_what_is_not_proved_yet(words: str) -> None:
    one, turn = proving()
    after = one.say(turn, words)
    assert told(after).startswith("Not proved yet: motor slow")
    assert after.session.step == turn.session.step


@pytest.mark.parametrize("words", ASKED)
def test_after_the_proof_it_is_yes(words: str) -> None:
    one, turn = proving()
    for words_of_proof in ("four point five", "twelve point three", "yes"):
        turn = one.say(turn, words_of_proof)
    assert turn.session.state is State.AFTER
    assert turn.session.ending == "repaired"
    assert told(one.say(turn, words)) == "Yes, the repair is proved."


def test_in_the_repair_and_on_the_way_to_the_cause_it_is_not() -> None:
    one, turn = standing_at("repair")
    assert told(one.say(turn, "is it fixed now")).startswith("It is not mended yet.")
    one, turn = standing_at("volts")
    assert told(one.say(turn, "so that's it fixed then")).startswith("No cause is found yet.")


def test_where_the_repair_was_left_it_is_not_mended() -> None:
    one, turn = standing_at("after")
    assert told(one.say(turn, "is it fixed then")).startswith("No, the cause is found, and nothing")


def test_who_would_stop_inside_the_proof_is_told_what_is_not_proved() -> None:
    one, turn = proving()
    assert told(one.say(turn, "finish")).startswith("Not proved yet: motor slow")

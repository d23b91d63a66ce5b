"""Of a list of work, who tells a part of it as done is asked for the rest."""

import pytest
from talk.situations import Talker, spoken

from voiceassist.session.session import Turn
from voiceassist.session.states import State

TO_THE_LAST_WORK = (
    *("no", "affirm", "yes", "12.4", "affirm", "12.3", "affirm", "14.2", "2.3"),
    *("affirm", "affirm", "done", "done", "affirm"),
)


@pytest.fixture(scope="module")
def charging() -> Talker:
    return Talker("no-charging")


@pytest.fixture(scope="module")
def at_work(charging: Talker) -> Turn:
    turn = charging.begin()
    for line in TO_THE_LAST_WORK:
        turn = charging.say(turn, line)
    assert (turn.session.step, turn.session.state) == ("on-battery", State.DO)
    return turn


@pytest.mark.parametrize(
    ("words", "rest"),
    [
        ("ok minus clamp is on now", "tools out, and charge the battery"),
        ("tools out and minus clamp on", "charge the battery"),
    ],
)
def test_a_part_that_is_told_leaves_the_rest_asked_for(
    charging: Talker, at_work: Turn, words: str, rest: str
) -> None:
    turn = charging.say(at_work, words)
    assert (turn.session.step, turn.session.ledger) == ("on-battery", at_work.session.ledger)
    assert spoken(turn).startswith(f"There is still: {rest}.")
    assert charging.say(turn, "done").session.step != "on-battery"


@pytest.mark.parametrize(
    "words", ["done", "all done, minus clamp on", "tools are out, clamp's on and it is charged"]
)
def test_all_of_it_told_is_done(charging: Talker, at_work: Turn, words: str) -> None:
    assert charging.say(at_work, words).session.step != "on-battery"

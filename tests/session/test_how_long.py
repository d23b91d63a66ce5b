"""How long something is to be done: the time that the step or its advice names, and no job's."""

import pytest
from talk.situations import Talker, spoken, standing_at

from voiceassist.session.events import TimeUp
from voiceassist.session.session import Turn
from voiceassist.session.states import State


@pytest.mark.parametrize(
    ("procedure", "lines", "words", "told"),
    [
        ("key-off-draw", ("no", "affirm"), "how long must it sleep", "20 minutes"),
        ("slow-cranking", ("no", "affirm"), "how long must it rest", "for hours"),
        ("slow-cranking", ("no", "affirm"), "how long do i leave the headlamps on", "a minute"),
        ("slow-cranking", ("no", "affirm", "12.6", "20", "affirm"), "how long do i crank",
         "at most 5 seconds"),
    ],
)  # fmt: skip
def test_the_time_that_the_file_names_for_it_is_told(
    procedure: str, lines: tuple[str, ...], words: str, told: str
) -> None:
    one = Talker(procedure)
    turn = one.begin()
    for line in lines:
        turn = one.say(turn, line)
    said = one.say(turn, words)
    assert told in spoken(said)
    assert "more steps" not in spoken(said)
    assert said.session.at_step == turn.session.at_step


@pytest.mark.parametrize("words", ["how long on the charger", "how long does it have to idle"])
def test_where_it_names_none_it_says_so(words: str) -> None:
    one, turn = standing_at("volts")
    assert spoken(one.say(turn, words)) == "The procedure does not say."


def test_while_it_waits_the_rest_of_the_wait_is_told() -> None:
    one, turn = standing_at("wait")
    assert "still to go" in spoken(one.say(turn, "how long must it sleep"))


@pytest.mark.parametrize("words", ["how long will this take", "how long does it take"])
def test_how_long_the_job_takes_is_asked_in_other_words(words: str) -> None:
    one, turn = standing_at("volts")
    assert "more steps" in spoken(one.say(turn, words))


# --- a value before the time that its step waits for ---


def under_lamps() -> tuple[Talker, Turn]:
    one = Talker("no-crank")
    turn = one.say(one.say(one.begin(), "no"), "done")
    assert (turn.session.step, turn.session.state) == ("under-lamps", State.WAIT)
    return one, turn


def test_a_value_that_comes_sooner_does_not_count_and_the_rest_of_the_wait_is_told() -> None:
    one, turn = standing_at("wait")
    early = one.say(turn, "30 milliamps")
    assert "I do not take a value yet" in spoken(early)
    assert "still to go" in spoken(early)
    assert early.session.ledger == turn.session.ledger


@pytest.mark.parametrize(
    "words",
    ["it has run already", "the lamps have been on a minute", "lights have been burning a while"],
)
def test_who_has_waited_already_goes_on_and_then_the_value_counts(words: str) -> None:
    one, turn = under_lamps()
    on = one.say(turn, words)
    assert on.session.step == "battery"
    read = one.say(one.say(on, "affirm"), "12.3").session.latest("battery")
    assert read is not None
    assert read.shown == "12.3 V"


def test_that_they_burn_is_not_that_they_have_burnt() -> None:
    one, turn = under_lamps()
    assert one.say(turn, "the lamps are on").session.state is State.WAIT


def test_when_the_time_is_up_the_value_counts() -> None:
    one, turn = under_lamps()
    over = one.engine.handle(turn.session, TimeUp(60))
    assert one.say(one.say(over, "affirm"), "12.3").session.latest("battery") is not None

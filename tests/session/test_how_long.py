"""How long something is to be done: the time that the step or its advice names, and no job's."""

import pytest
from talk.situations import Talker, standing_at

from voiceassist.session.events import TimeUp
from voiceassist.session.session import Turn
from voiceassist.session.states import State


def spoken(turn: Turn) -> str:
    return " ".join(output.text for output in turn.outputs if output.text)


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


def at_idle() -> tuple[Talker, Turn]:
    one = Talker("no-charging")
    turn = one.begin()
    for line in ("no", "affirm", "yes", "affirm", "12.6", "affirm", "done"):
        turn = one.say(turn, line)
    assert turn.session.state is State.WAIT
    return one, turn


def test_a_value_that_comes_sooner_does_not_count_and_the_rest_of_the_wait_is_told() -> None:
    one, turn = at_idle()
    early = one.say(turn, "14.2")
    assert "I do not take a value yet" in spoken(early)
    assert "About 2 minutes still to go." in spoken(early)
    assert early.session.latest("idle-volts") is None


@pytest.mark.parametrize(
    "words", ["it has run already", "it's been idling two minutes", "engine's been running a while"]
)
def test_who_has_waited_already_goes_on_and_then_the_value_counts(words: str) -> None:
    one, turn = at_idle()
    on = one.say(one.say(turn, "14.2"), words)
    assert on.session.step == "idle-volts"
    read = one.say(on, "14.2").session.latest("idle-volts")
    assert read is not None
    assert read.shown == "14.2 V"


def test_that_it_runs_is_not_that_it_has_run() -> None:
    one, turn = at_idle()
    assert one.say(turn, "it's running").session.state is State.WAIT


def test_when_the_time_is_up_the_value_counts() -> None:
    one, turn = at_idle()
    over = one.engine.handle(turn.session, TimeUp(120))
    assert one.say(over, "14.2").session.latest("idle-volts") is not None

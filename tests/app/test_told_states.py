"""What is told of the vehicle in free words: with a value, at a caution, or instead of "done"."""

import pytest
from talk.situations import CAN, DRAW, FAN, Place, Talker

from voiceassist.session.outputs import ConditionChange, ReadingTaken
from voiceassist.session.session import Detail, Turn
from voiceassist.session.states import State

TO_EARTH_DROP = ("affirm", "12.6", "affirm", "12.5", "bright", "bright", "0.05")


@pytest.fixture(scope="module")
def fan() -> Talker:
    return Talker(FAN)


def after(one: Talker, *lines: str) -> Turn:
    turn = one.begin()
    for line in lines:
        turn = one.say(turn, line)
    return turn


def spoken(turn: Turn) -> str:
    return " ".join(output.text for output in turn.outputs if output.text)


def told(turn: Turn) -> set[tuple[str, str]]:
    """What was told of the vehicle, and counts as so."""
    return {(o.name, o.state) for o in turn.outputs if isinstance(o, ConditionChange) and o.met}


def asked(turn: Turn) -> list[tuple[str, str]]:
    return [(o.name, o.state) for o in turn.outputs if isinstance(o, ConditionChange) and not o.met]


# --- at a caution ---


@pytest.mark.parametrize(
    "words",
    [
        "key's off and she's sitting at twelve point six",
        "the key's off and the battery's at twelve point six",
        "ignition is off already and i read twelve point six volts",
    ],
)
def test_a_state_and_a_value_told_at_a_caution_leave_it_to_be_understood(
    fan: Talker, words: str
) -> None:
    turn = after(fan, words)
    assert (turn.session.state, turn.session.ledger) == (State.CAUTION, ())
    assert told(turn) == {("key", "off")}
    assert "caution first" in spoken(turn)
    assert after(fan, words, "understood").session.state is State.MEASURE


@pytest.mark.parametrize(
    "words", ["this step is too dangerous for me we go past", "i leave it now no more today"]
)
def test_where_affirm_is_for_the_caution_nothing_else_is_offered_for_it(
    fan: Talker, words: str
) -> None:
    offered = after(fan, words)
    assert offered.session.state is State.CAUTION
    assert "if you mean that. Say affirm when understood." in spoken(offered)
    heeded = fan.say(offered, "understood")
    assert (heeded.session.step, heeded.session.state) == ("battery", State.MEASURE)


def test_what_may_be_danger_is_asked_about_at_a_caution_too(fan: Talker) -> None:
    assert after(fan, "too late it started and chewed up my lead").session.state is State.MEANT


# --- changes ---


@pytest.mark.parametrize(
    "words",
    [
        "module's unplugged and the key's on",
        "plug's out, ignition's live",
        "key is in run and the module is disconnected",
        "right, unplugged the module and turned the key on",
    ],
)
def test_two_changes_told_in_one_breath_are_both_made(fan: Talker, words: str) -> None:
    turn = after(fan, "affirm", "12.6", "affirm", words)
    assert told(turn) == {("module plug", "out"), ("key", "run")}
    assert asked(turn) == []
    assert spoken(turn) == "Voltage from feed pin to body earth."


def test_of_more_changes_those_that_are_not_told_are_still_asked_for(fan: Talker) -> None:
    turn = after(fan, *TO_EARTH_DROP, "key off and the module's plugged in")
    assert told(turn) == {("key", "off"), ("module plug", "in")}
    assert asked(turn) == [("fan control", "lowest"), ("key", "run")]


@pytest.mark.parametrize(
    ("words", "is_asked"),
    [
        ("module's unplugged and the key's off", [("key", "run")]),
        ("plug's out but the key's still off", [("key", "run")]),
        (
            "key's on but the plug's still in",
            [("key", "off"), ("module plug", "out"), ("key", "run")],
        ),
    ],
)
def test_what_is_told_to_be_otherwise_is_not_taken_for_done(
    fan: Talker, words: str, is_asked: list[tuple[str, str]]
) -> None:
    assert asked(after(fan, "affirm", "12.6", "affirm", words)) == is_asked


def test_a_change_told_before_the_work_of_a_step_is_not_the_work() -> None:
    one = Talker(FAN)
    begun = one.to(Place(FAN, "take-out", State.DO))
    turn = one.say(begun, "the module's unplugged")
    assert (turn.session.step, turn.session.state) == ("take-out", State.DO)
    assert turn.session.latest("take-out") is None


@pytest.mark.parametrize(
    "words",
    [
        "is the key on now",
        "the key's on the hook in the office love",
        "he said the key's on and the plug's out",
    ],
)
def test_what_is_asked_quoted_or_lies_somewhere_is_no_state(words: str) -> None:
    one = Talker(FAN, Detail.TEACHING)
    turn = one.to(Place(FAN, "feed", State.CONDITION))
    assert ("module plug", "in") not in told(one.say(turn, words))
    assert ("key", "run") not in told(one.say(turn, words))


# --- a value with the state it was read in ---


@pytest.mark.parametrize(
    "words",
    [
        "4.2 when it's on low",
        "two point five when it's on low",
        "2.5 on low",
        "with the fan on low it's two point five",
        "two point five at the lowest",
        "two point five with the key off",
    ],
)
def test_a_value_read_in_another_state_does_not_count(fan: Talker, words: str) -> None:
    at_fast = after(fan, *TO_EARTH_DROP, "8.4")
    assert at_fast.session.step == "command-fast"
    turn = fan.say(at_fast, words)
    assert (turn.session.step, turn.session.state) == ("command-fast", State.MEASURE)
    assert not [o for o in turn.outputs if isinstance(o, ReadingTaken)]
    assert spoken(turn).startswith("Read like that, it does not count here.")
    assert "Fan control highest." in spoken(turn)


@pytest.mark.parametrize(
    "words", ["two point five on high", "2.5 with the fan control at highest", "2.5 on the highest"]
)
def test_a_value_read_as_it_should_be_is_no_other(fan: Talker, words: str) -> None:
    turn = after(fan, *TO_EARTH_DROP, "8.4", words)
    assert "does not count" not in spoken(turn)
    assert turn.session.step == "motor-slow" or turn.session.state is State.CONFIRM


@pytest.mark.parametrize(
    "words", ["two point five on the low side", "two point five volts on the low range"]
)
def test_the_low_side_and_the_low_range_are_no_setting_of_the_vehicle(
    fan: Talker, words: str
) -> None:
    turn = after(fan, *TO_EARTH_DROP, "8.4", words)
    assert "does not count" not in spoken(turn)
    assert told(turn) in (set(), {("fan control", "highest")})


@pytest.mark.parametrize(
    ("words", "step"),
    [
        ("thirty milliamps with fuse two out", "without-one"),
        ("four hundred milliamps with fuse one in my hand", "without-two"),
        ("four hundred milliamps with that one out", "without-two"),
    ],
)
def test_a_current_counts_with_the_fuse_out_that_was_asked_for(words: str, step: str) -> None:
    one = Talker(DRAW)
    turn = one.to(Place(DRAW, "without-one", State.MEASURE))
    said = one.say(turn, words)
    if said.session.state is State.CONFIRM:
        said = one.say(said, "affirm")
    assert said.session.step == step


def test_a_resistance_of_the_data_line_is_not_read_with_the_battery_on() -> None:
    one = Talker(CAN)
    turn = one.to(Place(CAN, "line", State.MEASURE))
    said = one.say(turn, "sixty ohms with the minus clamp on")
    assert said.session.step == "line"
    assert not [o for o in said.outputs if isinstance(o, ReadingTaken)]

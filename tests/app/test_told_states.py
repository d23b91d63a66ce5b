"""What is told of the vehicle in free words: with a value, at a caution, or instead of "done"."""

import pytest
from talk.situations import CAN, DRAW, FAN, Place, Talker, after, spoken

from voiceassist.language.meanings import Answer
from voiceassist.session.outputs import ConditionChange, ReadingTaken
from voiceassist.session.session import Detail, Turn
from voiceassist.session.states import State

TO_EARTH_DROP = ("affirm", "12.6", "affirm", "12.5", "bright", "bright", "0.05")


AT_IDLE = ("no", "affirm", "yes", "12.4", "affirm")


@pytest.fixture(scope="module")
def fan() -> Talker:
    return Talker(FAN)


@pytest.fixture(scope="module")
def van() -> Talker:
    return Talker("no-charging")


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
    assert after(fan, "it jumped at me just now").session.state is State.MEANT


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


FRONT, REAR, DOOR, CLAMP = "front plug", "rear plug", "door plug", "minus clamp"


@pytest.mark.parametrize(
    ("words", "made"),
    [
        ("clamp's off, front and rear plugged in", {(CLAMP, "off"), (FRONT, "in"), (REAR, "in")}),
        ("front and rear plugged in", {(FRONT, "in"), (REAR, "in")}),
        ("clamp's off and the radio code is noted", {(CLAMP, "off")}),
    ],
)
def test_a_guess_that_all_is_done_does_not_cover_changes_that_were_not_told(
    words: str, made: set[tuple[str, str]]
) -> None:
    one = Talker(CAN)
    at = one.say(one.say(one.say(one.begin(), "affirm"), "done"), "12.6")
    turn = one.say(at, words)
    assert told(turn) == made
    every = {(FRONT, "in"), (REAR, "in"), (DOOR, "in"), (CLAMP, "off")}
    assert set(asked(turn)) == every - made


@pytest.mark.parametrize(
    "words",
    [
        "front, rear and door plugged in, clamp off",
        "front rear and door plugged in and the clamp's off",
        "clamp's off, all three plugged in",
        "clamp's off, done",
    ],
)
def test_all_that_was_asked_for_told_in_one_breath_is_made(words: str) -> None:
    one = Talker(CAN)
    at = one.say(one.say(one.say(one.begin(), "affirm"), "done"), "12.6")
    turn = one.say(at, words)
    assert told(turn) == {(FRONT, "in"), (REAR, "in"), (DOOR, "in"), (CLAMP, "off")}
    assert asked(turn) == []


def test_one_state_of_several_things_that_is_denied_is_not_told() -> None:
    one = Talker(CAN)
    at = one.say(one.say(one.say(one.begin(), "affirm"), "done"), "12.6")
    assert not told(one.say(at, "front and rear not plugged in"))


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


@pytest.mark.parametrize(
    "words",
    [
        "sixty ohms with the minus clamp on",
        "60 ohms with the battery still connected",
        "60 with the key on",
        "sixty with the front module unplugged",
        "the door module's unplugged, 120",
    ],
)
def test_a_resistance_of_the_data_line_is_not_read_with_the_battery_on_or_a_module_off(
    words: str,
) -> None:
    one = Talker(CAN)
    said = one.say(one.to(Place(CAN, "line", State.MEASURE)), words)
    assert said.session.step == "line"
    assert "does not count" in spoken(said)
    assert not [o for o in said.outputs if isinstance(o, ReadingTaken)]


def test_a_draw_read_with_a_door_open_does_not_count() -> None:
    one = Talker(DRAW)
    at = one.to(Place(DRAW, "rough-draw", State.MEASURE))
    said = one.say(at, "400 milliamps with the door open")
    assert said.session.step == "rough-draw"
    assert "does not count" in spoken(said)
    assert said.session.condition("doors") in {"", "shut"}
    assert one.say(at, "400 milliamps with the doors shut").session.step != "rough-draw"


def test_who_tells_that_a_change_is_still_to_be_made_is_asked_for_it_again(van: Talker) -> None:
    turn = after(van, *AT_IDLE, "engine's off")
    assert "Start the engine." in spoken(turn)


def test_a_resistance_read_with_the_battery_off_counts() -> None:
    one = Talker(CAN)
    turn = one.to(Place(CAN, "line", State.MEASURE))
    assert one.say(turn, "60 ohms, the battery's disconnected").session.step == "high-to-earth"


# --- what is told of the engine, of things by the words of the change, of the lamp ---


@pytest.mark.parametrize(
    "words",
    [
        "12.3 with the engine off",
        "12.3 with the key off",
        "twelve point three and the lights are on",
        "12.3 with headlights and blower on",
    ],
)
def test_a_charging_voltage_does_not_count_without_the_engine_or_with_the_lamps_on(
    van: Talker, words: str
) -> None:
    turn = after(van, *AT_IDLE, words)
    assert (turn.session.step, turn.session.state) == ("idle-volts", State.MEASURE)
    assert "does not count" in spoken(turn)


def test_a_charging_voltage_at_idle_counts(van: Talker) -> None:
    assert after(van, *AT_IDLE, "12.3 at idle").session.step == "stud-volts"


@pytest.mark.parametrize(
    ("words", "counts"),
    [
        ("key's on engine's off, 2.2", True),
        ("engine's still running, 2.2", False),
        ("0.1 with the key off", False),
    ],
)
def test_the_engine_stands_with_the_key_on_as_well(van: Talker, words: str, counts: bool) -> None:
    turn = after(van, *AT_IDLE, "12.3", "affirm", "11.9", words)
    assert turn.session.state is (State.OFFER if counts else State.MEASURE)


def test_things_are_told_on_or_off_by_the_words_of_the_change(van: Talker) -> None:
    turn = after(van, "no", "engine's off, lights off, 12.4")
    assert told(turn) >= {("loads", "off")}
    assert turn.session.state is State.CAUTION
    assert turn.session.ledger[-1].step == "hybrid"


@pytest.mark.parametrize("words", ["0.03 with the lamp out", "0.03 without the test lamp"])
def test_a_drop_read_without_its_lamp_does_not_count(fan: Talker, words: str) -> None:
    turn = after(fan, *TO_EARTH_DROP[:-1], words)
    assert turn.session.step == "earth-drop"
    assert "does not count" in spoken(turn)
    assert not [name for name, _ in turn.session.conditions if "lamp" in name]
    assert after(fan, *TO_EARTH_DROP[:-1], "0.03").session.step == "command-slow"


# --- a caution that is not understood without reserve ---


@pytest.mark.parametrize(
    "words",
    [
        "understood, but what about the airbag",
        "understood, but i have no gloves",
        "got it, though my rings won't come off",
        "understood but the fan's still turning",
        "i don't have eye protection",
        "my ring won't come off",
        "can i touch it",
    ],
)
def test_who_takes_something_back_has_not_understood_the_caution(fan: Talker, words: str) -> None:
    turn = after(fan, words)
    assert turn.session.state in {State.CAUTION, State.MEANT}
    assert turn.session.acknowledged == frozenset()


@pytest.mark.parametrize(
    "words", ["understood, hands are clear", "got it, rings off", "yeah got it"]
)
def test_who_tells_more_beside_it_has(fan: Talker, words: str) -> None:
    assert after(fan, words).session.state is State.MEASURE


def test_a_wire_of_another_colour_is_noted_with_a_warning(fan: Talker) -> None:
    turn = after(fan, "affirm", "12.6", "affirm", "pin one is red here")
    assert "the drawing may not fit this vehicle" in spoken(turn)


# --- a question whether something was forgotten ---


@pytest.fixture(scope="module")
def at_the_key(fan: Talker) -> Turn:
    turn = after(fan, "affirm", "12.6", "affirm", "0.2")
    assert turn.session.state is State.FORGOTTEN
    assert "Is the key in run?" in spoken(turn)
    return turn


@pytest.mark.parametrize("words", ["key's on yeah", "key is in run yes", "the key was on"])
def test_the_state_that_is_asked_about_with_a_yes_is_a_yes(
    fan: Talker, at_the_key: Turn, words: str
) -> None:
    assert fan.event(at_the_key, words).meanings == (Answer("affirm"),)


def test_so_is_a_plug_that_is_asked_about(fan: Talker) -> None:
    at_plug = after(fan, *TO_EARTH_DROP, "0.2")
    assert "module plug" in spoken(at_plug) or "module in" in spoken(at_plug)
    assert fan.event(at_plug, "plug's in yeah").meanings == (Answer("affirm"),)


@pytest.mark.parametrize("words", ["the key's in run", "it's in run now"])
def test_without_one_it_may_be_so_only_now_and_is_read_once_more(
    fan: Talker, at_the_key: Turn, words: str
) -> None:
    assert fan.event(at_the_key, words).meanings == (Answer("done"),)


@pytest.mark.parametrize("words", ["plug's out yeah", "yeah plug's out"])
def test_the_state_of_another_thing_does_not_answer_for_the_key(
    fan: Talker, at_the_key: Turn, words: str
) -> None:
    turn = fan.say(at_the_key, words)
    assert turn.session.at_step.step == "feed"
    assert "Is the key in run?" in spoken(turn)


def test_a_state_that_is_told_otherwise_takes_the_value_back(fan: Talker, at_the_key: Turn) -> None:
    turn = fan.say(at_the_key, "yeah the key's off")
    assert "does not count" in spoken(turn)
    assert ("key", "run") in asked(turn)


# --- a question, answered in its own words ---


@pytest.mark.parametrize(
    ("words", "answer"),
    [
        ("belt's fine but tight enough", "affirm"),
        ("belt's fine, tight enough", "affirm"),
        ("belt's whole and dry, tight too", "affirm"),
        ("whole and dry and tight", "affirm"),
        ("belt's fine but not tight", "negative"),
        ("belt's fine but a bit slack", "negative"),
        ("belt's whole and tight but wet", "negative"),
    ],
)
def test_good_words_of_a_question_answer_it_and_a_bad_one_among_them_turns_it(
    van: Talker, words: str, answer: str
) -> None:
    at = after(van, "no", "affirm")
    assert at.session.step == "belt"
    assert van.event(at, words).meanings == (Answer(answer),)


@pytest.mark.parametrize("words", ["belt's dry but worn", "fine but cracked"])
def test_a_bad_word_of_another_kind_among_them_is_no_yes(van: Talker, words: str) -> None:
    at = after(van, "no", "affirm")
    assert Answer("affirm") not in van.event(at, words).meanings


# --- a state by itself, where it is awaited ---


@pytest.mark.parametrize("words", ["right that's off", "that's off", "okay, that's off now"])
def test_a_state_by_itself_makes_the_changes_that_all_wait_for_it(fan: Talker, words: str) -> None:
    turn = after(fan, "affirm", words)
    assert ("key", "off") in told(turn)
    assert asked(turn) == []
    assert turn.session.state is State.MEASURE


def test_of_several_changes_it_makes_the_only_one_that_waits_for_it() -> None:
    one = Talker(CAN)
    at = one.say(one.say(one.say(one.begin(), "affirm"), "done"), "12.6")
    turn = one.say(at, "right that's off")
    assert told(turn) == {(CLAMP, "off")}
    assert len(asked(turn)) == 3


def test_where_no_change_waits_for_it_is_asked_about(fan: Talker) -> None:
    turn = after(fan, "affirm", "done", "right that's off")
    assert turn.session.state is State.MEANT
    assert not told(turn)


# --- a plug that is in again ---


@pytest.mark.parametrize(
    "words",
    [
        "plug is in again",
        "plug's back on",
        "plug's back in",
        "plug back on",
        "i've put the plug back",
        "i put the plug back on",
        "i've plugged it back in",
        "i pushed the plug home again",
        "connector's back on",
        "i've reconnected the plug",
        "i've refitted the plug",
    ],
)
@pytest.mark.parametrize(
    ("lines", "state"),
    [
        (("affirm", "12.6", "affirm"), State.MEASURE),
        (("affirm", "12.6", "affirm", "done"), State.MEASURE),
        (("affirm", "12.6", "affirm", "12.5"), State.LAMP),
    ],
)
def test_where_the_plug_has_to_be_out_who_tells_in_any_words_that_it_is_in_is_told_to_unplug(
    fan: Talker, lines: tuple[str, ...], state: State, words: str
) -> None:
    turn = after(fan, *lines, words)
    assert told(turn) <= {("module plug", "in")}
    assert ("module plug", "out") in asked(turn)
    assert turn.session.condition("module plug") == "in"
    assert turn.session.state is state


@pytest.mark.parametrize(
    "words", ["plug's back on", "i've put the plug back", "plugged it back in"]
)
def test_where_the_plug_has_to_be_in_the_same_words_are_as_good_as_done(
    fan: Talker, words: str
) -> None:
    turn = after(fan, *TO_EARTH_DROP, "affirm", "key's off and the fan's on low", words)
    assert turn.session.step == "command-slow"
    assert turn.session.condition("module plug") == "in"
    assert ("module plug", "in") not in asked(turn)


# --- of what was asked for, in short ---

AT_THE_PUMP = ("no", "affirm", "12.6", "12.5", "affirm")
TO_ITS_PROOF = (*AT_THE_PUMP, "12.4", "4.2", "affirm", "done", "done", "affirm", "12.35")


@pytest.fixture(scope="module")
def pump() -> Talker:
    return Talker("fuel-pump-pwm")


@pytest.mark.parametrize(
    ("before", "words", "state"),
    [
        (AT_THE_PUMP[:2], "twelve comma six, lamps are off", ("headlamps", "off")),
        (AT_THE_PUMP[:3], "twelve comma five, the lamps are on", ("headlamps", "on")),
        (AT_THE_PUMP, "twelve comma four, it is still plugged in", ("module plug", "in")),
        (AT_THE_PUMP, "twelve comma four, still connected", ("module plug", "in")),
        (AT_THE_PUMP, "twelve comma four with the plug in", ("module plug", "in")),
    ],
)
def test_no_value_counts_that_is_told_with_another_state_of_what_was_asked_for_in_short(
    pump: Talker, before: tuple[str, ...], words: str, state: tuple[str, str]
) -> None:
    here = after(pump, *before)
    turn = pump.say(here, words)
    assert turn.session.ledger == here.session.ledger
    assert spoken(turn).startswith("Read like that, it does not count here.")
    assert turn.session.condition(state[0]) == state[1]
    assert state[0] in {name for name, _ in asked(turn)}


@pytest.mark.parametrize(
    "words",
    [
        "twelve comma four, its unplugged",
        "twelve comma four with the plug out",
        "twelve comma four and the lamp is on",
    ],
)
def test_a_value_told_with_what_was_asked_for_in_short_counts(pump: Talker, words: str) -> None:
    here = after(pump, *AT_THE_PUMP)
    assert len(pump.say(here, words).session.ledger) == len(here.session.ledger) + 1


@pytest.mark.parametrize("words", ["now its unplugged", "it is still unplugged"])
def test_that_it_is_as_it_must_not_be_is_no_word_that_it_is_done(pump: Talker, words: str) -> None:
    turn = after(pump, *TO_ITS_PROOF, words)
    assert spoken(turn).startswith("Not like that here.")
    assert ("module plug", "in") in asked(turn)


def test_that_it_is_unplugged_is_done_where_that_was_asked_for(pump: Talker) -> None:
    turn = after(pump, *AT_THE_PUMP, "now its unplugged")
    assert ("module plug", "out") in told(turn)

"""Whole lines that a new hand types, said to the real session: what comes of them."""

import pytest
from bench import volts
from lines import Lines
from talk.situations import Talker, spoken

from voiceassist.session.events import Heard
from voiceassist.session.outputs import ConditionChange
from voiceassist.session.session import Turn
from voiceassist.session.states import State


def after(procedure: str, *lines: str) -> Turn:
    """The turn after ``lines``, said one after another; an empty one is a wait that is over."""
    one = Talker(procedure)
    turn = one.begin()
    for line in lines:
        turn = one.say(turn, line) if line else one.wait(turn)
    return turn


def ordered(turn: Turn) -> list[str]:
    """The conditions of the vehicle that are to be changed, in the order told."""
    return [o.name for o in turn.outputs if isinstance(o, ConditionChange) and not o.met]


TO_EARTH_DROP = ("understood", "12.5", "yes", "yes")
RING = (*TO_EARTH_DROP, "done", "1.8 volts", "1.2 volts")


def test_no_lamp_is_switched_off_and_on_again_in_one_breath() -> None:
    turn = after("rear-lamps", *TO_EARTH_DROP)
    assert ordered(turn) == ["lamp plug", "side lamps", "brake", "turn", "key"]


def test_a_vehicle_that_was_put_in_reverse_is_put_in_gear_before_it_is_left() -> None:
    good = ("done", "0.1 volts", "12.2 volts", "12.2 volts", "12.2 volts")
    turn = after("rear-lamps", *TO_EARTH_DROP, *good)
    assert "the vehicle can roll over you" in spoken(turn)
    assert "gear" not in ordered(turn)
    left = after("rear-lamps", *TO_EARTH_DROP, *good, "affirm", "12.1 volts", "finish", "yes")
    assert "Select park or first gear." in spoken(left)


# --- at the finding ---


@pytest.mark.parametrize(
    "words", ["I haven't cleaned it yet, I'll do it now", "no, not done yet", "not yet"]
)
def test_who_is_still_at_an_offered_repair_keeps_it(words: str) -> None:
    turn = after("rear-lamps", *RING, words)
    assert turn.session.state is State.OFFER
    assert spoken(turn).startswith("Take your time. Clean the ring")


@pytest.mark.parametrize("words", ["no", "leave it", "not now"])
def test_who_does_not_want_an_offered_repair_leaves_it(words: str) -> None:
    assert after("rear-lamps", *RING, words).session.state is State.AFTER


DIM = ("affirm", "12.6 volts", "affirm", "12.5 volts", "dim")


def test_a_lamp_that_is_bright_after_all_is_corrected_at_the_finding_it_led_to() -> None:
    turn = after("heater-fan-module", *DIM, "no, it is bright after all, lead had slipped")
    assert (turn.session.step, turn.session.finding) == ("earth-lamp", "")
    asked = after("heater-fan-module", *DIM, "it is bright after all")
    assert "bright?" in spoken(asked)


def test_a_plain_no_at_the_finding_corrects_nothing() -> None:
    turn = after("heater-fan-module", *DIM, "no, don't bother")
    assert (turn.session.state, turn.session.finding) == (State.AFTER, "feed-side")


def test_a_number_that_is_told_after_a_no_at_the_finding_is_asked_about() -> None:
    """It may be of another place."""
    turn = after("rear-lamps", *RING, "no, I was on the wrong bolt, it's point oh five volts")
    assert turn.session.finding == "ring"
    assert "zero point zero five volts?" in spoken(turn)


PROVED = (*RING, "done", "4.1 amps", "0.05 volts", "affirm")


@pytest.mark.parametrize(
    "words", ["reversing lamp's dead", "the reversing lamp is dead", "stop lamp doesn't work",
              "the indicator's still fast", "one lamp stays dark"]
)  # fmt: skip
def test_one_lamp_that_fails_where_all_are_tried_is_no_proof(words: str) -> None:
    turn = after("rear-lamps", *PROVED, words)
    assert turn.session.ending != "repaired"
    assert spoken(turn).startswith("No proves nothing yet.")
    assert spoken(Talker("rear-lamps").say(turn, "yes")).startswith("No. The repair is not proved.")


@pytest.mark.parametrize("words", ["brake light's good", "his lamp was dead too", "Tom, that on"])
def test_what_else_is_said_of_a_lamp_there_fails_nothing(words: str) -> None:
    assert after("rear-lamps", *PROVED, words).session.state is State.ASK


# --- a value that waits ---


def at_a_doubtful_value() -> Lines:
    bench = Lines("heater-fan-module")
    bench.walk("command-slow", battery="12.6 volts", feed="12.5 volts",
               feed_lamp="bright", earth_lamp="bright", earth_drop="0.05 volts")  # fmt: skip
    bench.give(Heard("two point five volts", (volts("2.5"),), doubtful=True))
    assert bench.state is State.CONFIRM
    return bench


def test_two_figures_in_place_of_a_value_with_a_point_are_asked_about() -> None:
    bench = at_a_doubtful_value()
    asked = bench.type("two four")
    assert "2.4 V" in asked
    assert "24 V" in asked
    bench.type("two point four volts")
    assert bench.counting["command-slow"] == "2.4 V"


def test_a_value_in_full_replaces_the_one_that_waits_without_a_question_of_its_point() -> None:
    assert "24 V" not in at_a_doubtful_value().type("two point four volts")
    assert "2.4 V" not in at_a_doubtful_value().type("twelve")


# --- an earlier value that is put right ---

FUSES = ("no", "affirm", "12.4 volts", "0.06 volts", "0.8 amps", "done", "", "850 milliamps",
         "affirm", "22 milliamps")  # fmt: skip
REOPENED = (*FUSES, "I misread it", "no it's right, it was twenty two")


@pytest.mark.parametrize("words", ["still eight fifty milliamps", "850 milliamps"])
def test_a_value_that_may_be_of_the_step_at_hand_clears_no_earlier_suspect_unasked(
    words: str,
) -> None:
    turn = after("key-off-draw", *REOPENED, words)
    assert turn.session.state is State.CONFIRM
    assert "Without one, 850 mA" in spoken(turn)
    assert "No change: not fuse one." in spoken(turn)


def test_the_earlier_value_that_waits_is_taken_when_it_is_affirmed() -> None:
    turn = after("key-off-draw", *REOPENED, "affirm reading")
    assert turn.session.step == "lid-lamp"


# --- one of those that were asked about ---


@pytest.mark.parametrize(
    ("words", "step"),
    [("without fuse one", "without-one"), ("the draw", "draw"), ("rough draw", "rough-draw")],
)
def test_the_reading_to_change_is_known_by_all_words_of_its_name(words: str, step: str) -> None:
    turn = after("key-off-draw", *FUSES, "change a reading", words)
    assert (turn.session.state, turn.session.step) == (State.MEASURE, step)


def test_a_reading_that_was_not_offered_is_not_taken_for_one_that_was() -> None:
    turn = after("key-off-draw", *FUSES, "change a reading", "without fuse two")
    assert turn.session.state is State.PICK


FORTY = ("affirm", "12.6 volts", "affirm", "12.5 volts", "bright", "bright", "forty")


@pytest.mark.parametrize("words", ["millivolts", "it's forty millivolts, point oh four"])
def test_where_only_the_unit_is_asked_for_it_may_be_said_alone_or_with_the_value_twice(
    words: str,
) -> None:
    assert after("heater-fan-module", *FORTY).session.state is State.WHICH
    assert spoken(after("heater-fan-module", *FORTY, words)).startswith("40 mV. Good.")


@pytest.mark.parametrize("words", ["forty volts, point oh four", "forty"])
def test_where_the_unit_is_still_open_it_is_asked_for_again(words: str) -> None:
    assert after("heater-fan-module", *FORTY, words).session.state is State.WHICH


def test_the_right_value_told_with_the_mistake_is_taken_at_once() -> None:
    words = "I read that wrong, it was two hundred and twenty milliamps"
    told = after("key-off-draw", *FUSES, words)
    assert spoken(told).startswith("Without one corrected: 220 mA.")
    dim = after("heater-fan-module", *FORTY[:-2], "I misread that, it was dim")
    assert dim.session.finding == "feed-side"


def test_of_two_ways_to_hear_it_the_right_one_is_asked_for() -> None:
    turn = after("key-off-draw", *FUSES, "no wait, I read that wrong, it was two twenty")
    assert turn.session.state is State.WHICH
    assert "220 mA" in spoken(turn)


@pytest.mark.parametrize("words", ["I misread it", "I read that wrong, it was 12.1 volts"])
def test_a_mistake_told_without_a_value_that_can_be_asks_for_the_right_one(words: str) -> None:
    turn = after("heater-fan-module", *FORTY[:-2], words)
    assert (turn.session.step, turn.session.correcting) == ("feed-lamp", True)

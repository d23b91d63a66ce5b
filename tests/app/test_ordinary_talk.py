"""What holds a word of danger amid an ordinary statement is no cry, and no cry is lost."""

import pytest
from talk.situations import standing_at

from voiceassist.language.meanings import Command, Lamp, OverRange
from voiceassist.session.states import State

PLACES = ("volts", "change", "lamp", "question", "wait", "repair")
ORDINARY = [
    "fan's blowing full blast",
    "the fan is blowing hot air",
    "the lamp is extinguished",
    "there's no smoke",
    "no burning smell anywhere",
    "the relay's clicking",
    "the engine's fired up",
]
CRIES = [
    "no smoke at all but my hand is burning",
    "fan's running and there's smoke",
    "the fan's blowing and the wire's melting",
    "the fan started by itself",
    "smoke smoke",
    "the relay's clicking and sparking",
    "the engine's on fire",
]


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("words", ORDINARY)
def test_an_ordinary_statement_neither_stops_the_work_nor_is_offered_as_a_cry(
    place: str, words: str
) -> None:
    one, turn = standing_at(place)
    event = one.event(turn, words)
    assert Command("danger") not in (*event.meanings, event.guess)
    assert one.say(turn, words).session.state is not State.STAND_BY


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("words", CRIES)
def test_a_cry_of_danger_beside_it_stops_the_work_at_once(place: str, words: str) -> None:
    one, turn = standing_at(place)
    assert one.say(turn, words).session.state is State.STAND_BY


@pytest.mark.parametrize("place", PLACES)
def test_no_alone_before_the_word_may_begin_a_cry(place: str) -> None:
    one, turn = standing_at(place)
    event = one.event(turn, "no smoke")
    assert Command("danger") in (*event.meanings, event.guess)


@pytest.mark.parametrize("words", ["it won't start", "the engine won't start", "she won't crank"])
def test_what_does_not_start_is_no_value_that_moves(words: str) -> None:
    one, turn = standing_at("volts")
    assert Command("unstable") not in one.event(turn, words).meanings


def test_nothing_that_burns_is_no_voltage_of_nothing() -> None:
    one, turn = standing_at("volts")
    assert not one.event(turn, "nothing's burning").meanings


def test_an_extinguished_lamp_is_off() -> None:
    one, turn = standing_at("lamp")
    assert one.event(turn, "it is extinguished").meanings == (Lamp("off"),)


@pytest.mark.parametrize("place", ["ohms", "volts", "amps"])
@pytest.mark.parametrize(
    "words",
    [
        "my savings are off the scale",
        "bob's driving is off the chart",
        "the heat in here is off the scale",
    ],
)
def test_what_is_no_meter_is_over_no_range(place: str, words: str) -> None:
    one, turn = standing_at(place)
    assert OverRange() not in one.event(turn, words).meanings
    assert one.say(turn, words).session.ledger == turn.session.ledger


@pytest.mark.parametrize(
    "words", ["the reading is off the scale", "the line's off the scale", "off the scale"]
)
def test_what_is_measured_is_over_range_in_the_same_words(words: str) -> None:
    one, turn = standing_at("ohms")
    assert one.event(turn, words).meanings == (OverRange(),)

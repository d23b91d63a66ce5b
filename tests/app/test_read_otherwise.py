"""Who tells that the vehicle was otherwise when he measured has those readings taken back."""

import pytest
from talk.situations import Talker, after, spoken

from voiceassist.session.outputs import FindingWithdrawn, Withdrawn
from voiceassist.session.session import Turn
from voiceassist.session.states import State

TO_ONE_END = ("affirm", "12.6", "one hundred twenty ohms")
TO_THE_FINDING = (*TO_ONE_END, "done", "one hundred twenty ohms")


@pytest.fixture(scope="module")
def bus() -> Talker:
    return Talker("can-termination")


@pytest.fixture(scope="module")
def pump() -> Talker:
    return Talker("fuel-pump-pwm")


def taken_back(turn: Turn) -> list[str]:
    return [output.step for output in turn.outputs if isinstance(output, Withdrawn)]


@pytest.mark.parametrize(
    "words",
    [
        "wait i dont take minus off yet",
        "i have not taken the minus clamp off",
        "the reading before was with battery connected",
        "i forgot the minus clamp",
    ],
)
def test_a_reading_that_was_taken_without_what_it_needs_is_taken_back_by_its_name(
    bus: Talker, words: str
) -> None:
    turn = after(bus, *TO_ONE_END, words)
    assert taken_back(turn) == ["line"]
    assert spoken(turn).startswith(
        "Line taken back: the minus clamp was still on. Measure it again."
    )
    assert "minus clamp off" in spoken(turn)
    assert (turn.session.step, turn.session.state) == ("line", State.MEASURE)
    again = bus.say(turn, "sixty ohms")
    assert [r.shown for r in again.session.ledger if not r.superseded] == ["12.6 V", "60 Ω"]


def test_of_readings_in_a_row_that_hang_on_it_all_are_taken_back(bus: Talker) -> None:
    turn = after(bus, *TO_THE_FINDING)
    gone = bus.say(turn, "i have not taken the minus clamp off")
    assert taken_back(gone) == ["line", "one-end"]
    assert gone.session.step == "line"


def test_a_finding_that_hangs_on_it_is_withdrawn(pump: Talker) -> None:
    turn = after(pump, "no", "affirm", "12.6", "12.5", "affirm", "12.4", "4.2")
    assert (turn.session.finding, turn.session.state) == ("earth-side", State.OFFER)
    gone = pump.say(turn, "i have not unplugged the pump module")
    assert [o.name for o in gone.outputs if isinstance(o, FindingWithdrawn)] == ["earth-side"]
    assert taken_back(gone) == ["feed", "earth"]
    assert not gone.session.finding


def test_of_a_change_that_is_asked_for_now_the_word_before_tells_that_it_was_so_earlier(
    pump: Talker,
) -> None:
    turn = after(pump, "no", "affirm", "12.6")
    gone = pump.say(turn, "oh i forget headlamps they were off before")
    assert taken_back(gone) == ["power-loaded"]
    for words in ("the headlamps are off", "i forgot the headlamps"):
        assert taken_back(pump.say(turn, words)) == []


@pytest.mark.parametrize(
    "words",
    ["i forgot the front plug", "the clamp is off", "i have not unplugged the front module"],
)
def test_what_no_reading_hangs_on_takes_none_back(bus: Talker, words: str) -> None:
    turn = after(bus, *TO_ONE_END, words)
    assert (taken_back(turn), turn.session.step) == ([], "one-end")

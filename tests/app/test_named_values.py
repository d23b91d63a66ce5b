"""A value that names another step of the job, or its state, is never taken for the step at hand."""

import pytest
from talk.situations import Talker, after, spoken

from voiceassist.session.session import Turn
from voiceassist.session.states import State

AT_THE_STUD = ("no", "affirm", "yes", "12.4", "affirm", "12.3", "affirm")
TO_OTHER_END = ("affirm", "12.6", "one hundred twenty", "fifty nine")


@pytest.fixture(scope="module")
def charging() -> Talker:
    return Talker("no-charging")


@pytest.fixture(scope="module")
def bus() -> Talker:
    return Talker("can-termination")


def counted(turn: Turn) -> dict[str, str]:
    return {r.step: r.shown for r in turn.session.ledger if not r.superseded}


@pytest.mark.parametrize("words", ["battery is still 12.3 what now", "the battery is 12.3"])
def test_a_value_of_another_step_answers_no_question_about_the_one_at_hand(
    charging: Talker, words: str
) -> None:
    asked = after(charging, *AT_THE_STUD, "i look again now is fourteen point six oh")
    assert asked.session.state is State.CONFIRM
    told = charging.say(asked, words)
    assert counted(told) == counted(asked)
    assert told.session.step == "stud-volts"
    assert "not asked for" in spoken(told).lower()


@pytest.mark.parametrize("words", ["14.6", "stud volts is fourteen point six"])
def test_the_value_at_hand_still_answers_it(charging: Talker, words: str) -> None:
    asked = after(charging, *AT_THE_STUD, "i look again now is fourteen point six oh")
    assert counted(charging.say(asked, words))["stud-volts"] == "14.60 V"


def test_a_value_told_with_the_state_of_an_earlier_step_puts_that_one_right(bus: Talker) -> None:
    turn = after(bus, *TO_OTHER_END, "the front out one is O L")
    assert counted(turn)["one-end"] == "over range"
    assert "other-end" not in counted(turn)
    assert spoken(turn).startswith("One end corrected: over range.")


def test_it_is_confirmed_there_where_another_finding_hangs_on_it(bus: Talker) -> None:
    turn = after(bus, *TO_OTHER_END, "with the front out it is one hundred twenty ohms")
    assert turn.session.state is State.CONFIRM
    assert spoken(turn).startswith("One end, 120 Ω?")


def test_a_value_told_with_the_state_of_the_step_at_hand_is_its_own(bus: Talker) -> None:
    turn = after(bus, *TO_OTHER_END, "with the rear out it is fifty nine ohms")
    assert "other-end" in {turn.session.step, *counted(turn)}
    assert counted(turn)["one-end"] == "59 Ω"


@pytest.mark.parametrize("words", ["that is wrong, i mix it", "sorry i mixed them up"])
def test_who_mixed_up_his_readings_at_a_finding_is_asked_which_one_is_wrong(
    bus: Talker, words: str
) -> None:
    turn = after(bus, *TO_OTHER_END, "O L")
    assert turn.session.state is State.OFFER
    asked = bus.say(turn, words)
    assert asked.session.state is State.PICK
    assert spoken(asked).startswith("Which reading? You can say other end, or one end, or line")

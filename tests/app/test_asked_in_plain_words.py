"""What a man with few words of English asks and tells, by typed lines."""

import pytest
from talk.situations import Talker, spoken, talker

from voiceassist.language.meanings import Answer
from voiceassist.session.outputs import VoiceAdjusted
from voiceassist.session.session import Detail, Turn
from voiceassist.session.states import State

TO_THE_OFFER = (
    *("neither", "yes", "yes", "12.4 volts", "affirm", "12.3 volts", "affirm"),
    *("14.6 volts", "2.3 volts"),
)
TO_THE_LAMP = ("yes", "done", "done", "affirm", "done", "affirm", "140 millivolts", "affirm")
TO_THE_PUMP = ("no", "affirm", "12.5 volts", "12.4 volts", "affirm")


def after(procedure: str, *lines: str) -> tuple[Talker, Turn]:
    one = talker(procedure, Detail.NORMAL)
    turn = one.begin()
    for line in lines:
        turn = one.say(turn, line)
    return one, turn


def test_a_lamp_told_as_off_answers_whether_it_stays_out() -> None:
    one, turn = after("no-charging", *TO_THE_OFFER, *TO_THE_LAMP, "14.02 volts")
    assert turn.session.step == "lamp-out"
    assert "Repair proved" in spoken(one.say(turn, "lamp is off"))
    assert "Repair proved" not in spoken(one.say(turn, "lamp is on"))


@pytest.mark.parametrize("words", ["door module is answering, window moves", "door window works"])
def test_a_door_that_answers_and_a_window_that_moves_are_told_as_working(words: str) -> None:
    one, turn = after("no-charging", *TO_THE_OFFER, *TO_THE_LAMP, "14.02 volts")
    assert one.event(turn, words).meanings == (Answer("affirm"),)


def test_what_a_tester_shows_at_the_trial_never_changes_how_much_is_explained() -> None:
    one, turn = after("no-charging", *TO_THE_OFFER, *TO_THE_LAMP, "14.02 volts")
    told = one.say(turn, "the tester talks with all modules now")
    assert not any(isinstance(o, VoiceAdjusted) for o in told.outputs)
    assert told.session.detail is turn.session.detail
    assert "stay out now" in spoken(told)


@pytest.mark.parametrize("words", ["so is good or not", "what it should be"])
def test_where_a_question_has_no_limit_that_of_the_value_just_given_is_told(words: str) -> None:
    one, turn = after("no-charging", *TO_THE_OFFER, *TO_THE_LAMP, "14.02 volts")
    assert spoken(one.say(turn, words)) == (
        "Idle volts, 14.02 V: good. It should be 13.5 V to 14.8 V."
    )


def test_who_does_not_know_at_a_warning_is_told_it_in_full_and_nothing_is_acknowledged() -> None:
    one, turn = after("no-charging", "neither")
    told = one.say(turn, "i dont know")
    assert "battery gas explodes" in spoken(told)
    assert told.session.state is State.CAUTION


def test_who_does_not_know_how_is_told_how_to_go_about_it() -> None:
    one, turn = after("fuel-pump-pwm", *TO_THE_PUMP)
    assert "Red lead on feed pin" in spoken(one.say(turn, "i dont know how"))


@pytest.mark.parametrize(
    ("words", "answer"),
    [
        ("what is tester drive", "choose the pump among its tests"),
        ("what means eighty percent tester drive how i make it", "set as many percent"),
        ("what means too close", "the meter may be off"),
        ("what is take the pedal", "speeds up at once"),
        # Common practice, no source: how a fuse is tried, and which clamp comes off first.
        ("how i know if fuse is bad", "its strip is broken"),
        ("which first minus or plus", "Minus comes off first, and goes on last"),
        ("how tight should belt be", "its maker says"),
        ("must new module be coded", "the vehicle maker says"),
        ("how i know vehicle sleeps", "A vehicle sleeps"),
    ],
)
def test_a_word_or_a_knack_of_the_trade_is_explained_and_nothing_moves(
    words: str, answer: str
) -> None:
    one, turn = after("fuel-pump-pwm", *TO_THE_PUMP)
    told = one.say(turn, words)
    assert answer in spoken(told)
    assert (told.session.step, told.session.ledger) == (turn.session.step, turn.session.ledger)

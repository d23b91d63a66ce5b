"""What was said on whole jobs played by typed lines, and was taken amiss at first."""

import pytest
from lines import Lines
from talk.situations import Talker

from voiceassist.language.meanings import Answer, Command
from voiceassist.session.states import State

DOOR = {"only_here": "only this one", "swing": "negative", "pillar_volts": "eleven point nine"}


def hybrid() -> Lines:
    return Lines("slow-cranking").walk("hybrid")


def battery_pair() -> Lines:
    bench = Lines("battery-pair").walk("first")
    bench.type("twelve point seven", "eleven point nine")
    assert bench.state is State.AFTER
    return bench


# --- a question is answered in its own words ---


@pytest.mark.parametrize(
    "words", ["no it's a diesel", "just a petrol", "yeah it's a diesel", "normal car"]
)
def test_who_names_his_engine_has_told_that_it_is_no_hybrid(words: str) -> None:
    assert hybrid().meanings(words) == (Answer("negative"),)


@pytest.mark.parametrize("words", ["yes it's a hybrid", "fully electric", "er plug in hybrid"])
def test_who_names_another_drive_has_told_that_it_is_one(words: str) -> None:
    assert hybrid().meanings(words) == (Answer("affirm"),)


@pytest.mark.parametrize("words", ["er yeah just the left front one", "only this one"])
def test_the_one_door_that_fails_may_be_named(words: str) -> None:
    assert Lines("door-wires").walk("only-here").meanings(words) == (Answer("affirm"),)


def test_every_time_tells_that_the_door_follows_and_not_that_less_is_to_be_said() -> None:
    bench = Lines("door-wires")
    bench.walk("latch-free", **DOOR, through_door="three point four", grey_short="two megohms")
    bench.type("yes")
    assert bench.step == "works"
    bench.type("every time yeah")
    assert bench.state is State.AFTER


@pytest.mark.parametrize(
    ("words", "answer"),
    [("yeah, it locks every time", "affirm"), ("no, it missed one", "negative")],
)
def test_an_answer_is_no_correction_where_the_words_behind_it_say_the_same(
    words: str, answer: str
) -> None:
    talker = Talker("door-wires")
    turn = talker.begin()
    walk = "only this one, no, done, eleven point nine, three point four, two megohms, yes"
    for said in walk.split(", "):
        turn = talker.say(turn, said)
    assert (turn.session.step, turn.session.state) == ("works", State.ASK)
    assert talker.event(turn, words).meanings == (Answer(answer),)


# --- a caution is acknowledged by what it asks for ---


@pytest.mark.parametrize("words", ["glasses on", "yep glasses on carry on", "rings off glasses on"])
def test_who_wears_what_a_warning_asks_for_has_understood_it(words: str) -> None:
    bench = hybrid()
    bench.type("no")
    assert bench.state is State.CAUTION
    assert bench.meanings(words) == (Answer("affirm"),)


@pytest.mark.parametrize("words", ["aye she's in neutral", "neutral, brake's on, clear"])
def test_who_has_parked_as_a_warning_asks_for_has_understood_it(words: str) -> None:
    bench = hybrid()
    bench.type("no", "affirm", "twelve point six", "fifteen degrees")
    assert (bench.step, bench.state) == ("crank-volts", State.CAUTION)
    assert bench.meanings(words) == (Answer("affirm"),)


@pytest.mark.parametrize("words", ["glasses on", "she's in neutral"])
def test_what_another_warning_asks_for_acknowledges_none(words: str) -> None:
    bench = Lines("heater-fan-module")
    bench.walk("battery").type("twelve point six")
    assert (bench.step, bench.state) == ("feed", State.CAUTION)
    assert bench.meanings(words) == ()


# --- where things are, and what is left as it was ---


@pytest.mark.parametrize("words", ["where's the lock fuse", "where do i find the fuse"])
def test_who_looks_for_the_fuse_is_not_told_where_the_probes_go(words: str) -> None:
    bench = Lines("door-wires").walk("through-door", **DOOR)
    assert bench.meanings(words) == (Command("how", "asked/fuse"),)


@pytest.mark.parametrize("words", ["leave it", "no leave it", "skip"])
def test_a_value_that_was_to_be_put_right_is_left_as_it_was(words: str) -> None:
    bench = battery_pair()
    bench.type("i read it wrong")
    assert "go back to keep it" in bench.texts()
    bench.type(words)
    assert bench.state is State.AFTER
    assert bench.counting["second"] == "11.9 V"

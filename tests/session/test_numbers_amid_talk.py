"""Numbers told amid talk: what is said around them is not passed over, and ends no job alone."""

import pytest
from lines import Lines
from talk.situations import standing_at

from voiceassist.language.meanings import Reading
from voiceassist.session.outputs import FindingReached, ReadingTaken
from voiceassist.session.session import Turn
from voiceassist.session.states import State


def typed(where: str, words: str) -> Turn:
    one, turn = standing_at(where)
    return one.say(turn, words)


def taken(turn: Turn) -> list[str]:
    return [each.shown for each in turn.outputs if isinstance(each, ReadingTaken)]


def doubted(turn: Turn) -> list[str]:
    waiting = turn.session.pending if turn.session.state in {State.CONFIRM, State.WHICH} else ()
    return [str(each.value) for each in waiting if isinstance(each, Reading)]


def ends(turn: Turn) -> bool:
    return any(isinstance(each, FindingReached) for each in turn.outputs)


@pytest.mark.parametrize(
    "between",
    ["make that", "make it", "no", "sorry", "i mean", "or rather", "scratch that", "or make it"],
)
def test_a_number_in_the_place_of_another_has_its_unit(between: str) -> None:
    assert taken(typed("drop", f"ninety millivolts {between} nineteen")) == ["19 mV"]


def test_less_than_one_of_a_small_unit_is_shown_by_no_meter() -> None:
    assert taken(typed("drop", "ninety millivolts sorry point oh nine")) == ["0.09 V"]
    assert doubted(typed("drop", "ninety millivolts no point two")) == ["0.2"]


def test_a_unit_of_its_own_counts_in_the_place_of_another() -> None:
    assert taken(typed("drop", "ninety volts no nineteen millivolts")) == ["19 mV"]


def test_a_number_in_the_place_of_another_has_its_unit_amid_other_words_too() -> None:
    turn = typed("drop", "reckon it was ninety millivolts no wait nineteen like")
    assert "19 mV" in turn.outputs[0].text
    assert not ends(turn)


def test_a_value_just_told_is_corrected_in_its_unit() -> None:
    fan = Lines("heater-fan-module").walk(
        "earth-drop",
        battery="twelve point six",
        feed="twelve point five",
        feed_lamp="bright",
        earth_lamp="bright",
    )
    fan.type("ninety millivolts")
    assert "19 mV" in fan.type("correction nineteen")
    assert fan.counting["earth-drop"] == "19 mV"


def test_a_doubted_value_is_corrected_in_its_unit() -> None:
    one, turn = standing_at("drop")
    turn = one.say(turn, "nine hundred millivolts", certain=False)
    assert doubted(turn) == ["900"]
    assert "19 mV" in one.say(turn, "no nineteen").outputs[0].text


@pytest.mark.parametrize(
    ("where", "words"),
    [
        ("drop", "not so much as a millivolt"),
        ("drop", "not one millivolt"),
        ("drop", "absolute nowt not even a millivolt"),
        ("fuse-pull", "not a single milliamp"),
    ],
)
def test_not_one_of_a_unit_is_none(where: str, words: str) -> None:
    assert taken(typed(where, words))[0].startswith("0 ")


def test_where_none_is_doubtful_not_one_is_asked_about_as_none() -> None:
    assert "0 mA" in typed("amps", "not one milliamp running").outputs[0].text


@pytest.mark.parametrize(
    ("where", "words", "value"),
    [
        ("fuse-pull", "clamp reckons one and a quarter amps", "1.25"),
        ("volts", "meter reckons two and a half volts on here", "2.5"),
        ("volts", "gaffer says twelve and three quarters mate", "12.75"),
        ("volts", "four seven", "4.7"),
        ("volts", "four seven and it ought to be ashamed of itself", "4.7"),
        ("volts", "nine seven bit sad innit", "9.7"),
        ("volts", "forty seven", "47"),
    ],
)
def test_a_number_is_asked_about_as_it_can_be(where: str, words: str, value: str) -> None:
    assert doubted(typed(where, words)) == [value]


@pytest.mark.parametrize(
    ("where", "words", "values"),
    [
        ("ohms", "five one low as anything", ["51", "5.1"]),
        ("amps", "three seven flowing and nobody home", ["37", "3.7"]),
    ],
)
def test_two_digits_amid_other_words_may_have_lost_their_point(
    where: str, words: str, values: list[str]
) -> None:
    assert doubted(typed(where, words)) == values


def test_two_digits_by_themselves_are_as_they_are_said_where_they_can_be() -> None:
    assert taken(typed("ohms", "six four")) == ["64 Ω"]


@pytest.mark.parametrize(
    "behind", ["right", "on", "easy", "certain", "simple this one", "slow today"]
)
def test_dead_before_some_words_is_no_zero(behind: str) -> None:
    assert not taken(typed("fuse-pull", f"dead {behind}"))


def test_dead_by_itself_is_zero() -> None:
    assert taken(typed("fuse-pull", "it's dead mate")) == ["0 mA"]


@pytest.mark.parametrize(
    ("words", "shown"),
    [("three score and three", "63 Ω"), ("three score", "60 Ω"), ("four score ohms", "80 Ω")],
)
def test_a_score_is_twenty(words: str, shown: str) -> None:
    assert taken(typed("ohms", words)) == [shown]


@pytest.mark.parametrize(
    "words", ["it should be twelve", "that should be twelve", "no it ought to be twelve"]
)
def test_what_a_doubted_value_should_be_ends_no_job(words: str) -> None:
    turn = typed("confirm", words)
    assert not taken(turn)
    assert not ends(turn)


def test_a_value_told_as_that_of_another_step_is_none_of_this_one() -> None:
    turn = typed("ohms", "twelve point six was the battery")
    assert not taken(turn)
    assert not doubted(turn)
    assert taken(typed("volts", "twelve point five was the feed")) == ["12.5 V"]


@pytest.mark.parametrize(
    ("where", "words", "values"),
    [
        ("drop", "it's nearly four", ["4", "4"]),  # volts or millivolts
        ("drop", "about two", ["2", "2"]),
        ("volts", "nearly twelve", ["12"]),
    ],
)
def test_about_a_whole_number_ends_no_job_where_less_decides(
    where: str, words: str, values: list[str]
) -> None:
    assert doubted(typed(where, words)) == values


def test_about_a_number_far_from_the_limit_is_taken() -> None:
    turn = typed("volts", "about nine")
    assert taken(turn) == ["9 V"]

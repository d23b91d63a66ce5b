"""A number amid talk is taken with all its digits and its unit, or is asked about, or is none."""

import pytest
from talk.situations import standing_at

from voiceassist.language.meanings import Command, Correction, Reading
from voiceassist.session.outputs import FindingReached, ReadingTaken
from voiceassist.session.session import Turn
from voiceassist.session.states import State


def typed(where: str, words: str) -> Turn:
    one, turn = standing_at(where)
    return one.say(turn, words)


def told(turn: Turn) -> list[str]:
    """Each value that was taken or is asked about."""
    taken = [each for each in turn.outputs if isinstance(each, ReadingTaken)]
    shown = [f"{o.value.normalize():f} {o.unit}" for o in taken if o.value is not None]
    return shown or asked(turn)


def asked(turn: Turn) -> list[str]:
    waiting = turn.session.pending if turn.session.state in {State.CONFIRM, State.WHICH} else ()
    plain = [one for one in waiting if isinstance(one, Reading)]
    return [f"{one.value} {one.unit.symbol if one.unit else ''}".strip() for one in plain]


def meant(where: str, words: str) -> tuple[object, ...]:
    one, turn = standing_at(where)
    return one.event(turn, words).meanings


def moves_nothing(where: str, words: str) -> bool:
    before = standing_at(where)[1].session
    after = typed(where, words)
    ended = any(isinstance(each, FindingReached) for each in after.outputs)
    return not ended and not asked(after) and after.session.ledger == before.ledger


@pytest.mark.parametrize(
    ("where", "words", "value"),
    [
        ("volts", "the screen over there reckons eleven seven one", "11.71 V"),
        ("fuse-pull", "fuse two's in my pocket and we have three one oh in milli", "310 mA"),
        ("ohms", "one thirty four and a half", "134.5 Ω"),
        ("ohms", "six two sixty two", "62 Ω"),
        ("ohms", "two k four", "2.4 kΩ"),
        ("volts", "ten volts and four six behind the point", "10.46 V"),
        ("amps", "zero thirty six amps", "0.36 A"),
        ("drop", "seventeen hundredths", "0.17 V"),
        ("drop", "a fifth of a volt", "0.2 V"),
        ("ohms", "two ohms and a half", "2.5 Ω"),
        ("ohms", "half a dozen", "6 Ω"),
        ("volts", "eleven an' a half", "11.5 V"),
    ],
)
def test_no_digit_of_a_number_is_left_out(where: str, words: str, value: str) -> None:
    assert told(typed(where, words)) in ([value], [value.removesuffix(" V")])


@pytest.mark.parametrize(
    ("words", "value"),
    [
        ("two one five in the little volts", "215 mV"),
        ("thirty six small volts", "36 mV"),
        ("this is in milli three hundred and ten of the things", "310 mV"),
        ("seventy of them millivolts", "70 mV"),
        ("millivolts i make it sixty five", "65 mV"),
        ("a hundred and forty em vee", "140 mV"),
    ],
)
def test_a_unit_belongs_to_its_number_wherever_it_is_told(words: str, value: str) -> None:
    assert told(typed("drop", words)) == [value]


@pytest.mark.parametrize(
    ("words", "values"),
    [
        ("i call that forty millivolts but then maybe four hundred eh", ["40 mV", "400 mV"]),
        ("four point six er nought point four six silly sod", ["4.6", "0.46"]),
        ("two point five sorry i squinted it's point six", ["0.6", "2.6"]),
    ],
)
def test_of_two_values_both_are_asked_about(words: str, values: list[str]) -> None:
    assert asked(typed("drop", words)) == values


@pytest.mark.parametrize(
    ("where", "words", "values"),
    [
        ("amps", "just under one nought point eight", ["10.8 A", "0.8 A"]),
        ("volts", "eleven with three", ["11.3", "11"]),
        ("volts", "twelve six sorry ten", ["10", "10.6"]),
        ("volts", "one nine volts where there should be plenty", ["19 V", "1.9 V"]),
    ],
)
def test_digits_that_may_be_of_two_numbers_are_asked_about(
    where: str, words: str, values: list[str]
) -> None:
    assert asked(typed(where, words)) == values


@pytest.mark.parametrize(
    ("where", "words", "value"),
    [
        ("volts", "barely a seven six point nine it says", "6.9 V"),
        ("volts", "a shade under eleven so ten eight", "10.8 V"),
        ("amps", "just north of two amps two point one", "2.1 A"),
        ("drop", "a quarter of a volt point two four", "0.24 V"),
        ("amps", "a tad less than forty thirty eight", "38 mA"),
    ],
)
def test_of_a_round_number_and_the_one_behind_it_the_second_counts(
    where: str, words: str, value: str
) -> None:
    assert told(typed(where, words)) == [value]


def test_a_number_far_from_the_one_before_is_not_what_that_nearly_is() -> None:
    assert told(typed("volts", "just under one two point four")) != ["2.4 V"]


@pytest.mark.parametrize(
    ("where", "words", "value"),
    [
        ("drop", "twenty millivolts check that two hundred", "200 mV"),
        ("drop", "two hundred millivolts hold up twenty", "20 mV"),
        ("volts", "eleven point two sorry four eleven point four", "11.4 V"),
        ("volts", "thirteen one no no wait mate twelve one", "12.1 V"),
        ("fuse-pull", "six hundred did i say six hundred i meant sixty", "60 mA"),
        ("volts", "fifteen one oh no wrong way round eleven five", "11.5"),
    ],
)
def test_what_takes_the_place_of_a_number_is_taken_for_it(
    where: str, words: str, value: str
) -> None:
    assert told(typed(where, words)) == [value]


@pytest.mark.parametrize(
    ("words", "value"),
    [
        ("you wanted twelve and a half but i've only got eleven two", "11.2 V"),
        ("the last van gave me twelve six this one gives ten nine", "10.9 V"),
    ],
)
def test_of_what_it_should_be_and_what_it_is_the_second_counts(words: str, value: str) -> None:
    assert told(typed("volts", words)) == [value]


def test_a_minus_by_crossed_leads_is_a_plus() -> None:
    words = "minus fifty five milli but i had my leads swapped so it's plus"
    assert told(typed("drop", words)) == ["55 mV"]


def test_not_one_and_a_number_behind_it_is_that_number() -> None:
    assert told(typed("volts", "not even one volt point seven")) == ["0.7 V"]
    assert told(typed("fuse-pull", "gone not an amp")) == ["0 mA"]
    assert told(typed("ohms", "nearly a dead short nought point six")) == ["0.6"]


@pytest.mark.parametrize(
    ("where", "words"),
    [
        ("volts", "twelve volt charger's in the boot boys"),
        ("drop", "point three of a ton that axle weighs"),
        ("drop", "it was point five on the tipper back in june"),
        ("ohms", "sixty that's how old the gaffer is"),
        ("ohms", "it'll be infinite mark my words"),
        ("confirm", "five more than that"),
    ],
)
def test_a_number_of_something_else_moves_nothing(where: str, words: str) -> None:
    before = standing_at(where)[1].session
    after = typed(where, words).session
    assert after.ledger == before.ledger
    assert after.pending == before.pending or after.state is State.MEANT


@pytest.mark.parametrize(
    "words", ["would ten and a half do", "thirteen four that okay or not", "will eleven pass"]
)
def test_whether_a_number_would_do_asks_for_the_limit(words: str) -> None:
    assert meant("volts", words) == (Command("limit"),)


def test_a_meter_that_did_not_twitch_reads_not_the_same_as_at_another_place() -> None:
    assert moves_nothing("volts", "the needle never so much as twitched")


@pytest.mark.parametrize("words", ["a tick lower two three", "a touch less two four i'd say"])
def test_two_digits_for_a_doubtful_value_are_never_taken_without_their_point(words: str) -> None:
    turn = typed("confirm", words)
    assert turn.session.ledger == standing_at("confirm")[1].session.ledger


def test_a_digit_in_the_place_of_another_is_asked_about_with_its_number() -> None:
    turn = typed("confirm", "it's eight not five on the end")
    assert turn.session.state is State.MEANT
    assert "two point eight" in turn.outputs[0].text


def test_the_last_digit_of_a_number_is_no_number() -> None:
    found = meant("confirm", "eight at the end not five two point eight")
    assert [str(each.meaning) for each in found if isinstance(each, Correction)] == [
        str(each.meaning)
        for each in meant("confirm", "no two point eight")
        if isinstance(each, Correction)
    ]


@pytest.mark.parametrize("words", ["all noughts", "pure zero", "null", "a row of zeros"])
def test_zeros_at_a_resistance_are_none(words: str) -> None:
    assert told(typed("ohms", words)) == ["0 Ω"]


@pytest.mark.parametrize(
    "words", ["same as with the probes in the air", "overflows", "it's endless"]
)
def test_without_end_is_over_range(words: str) -> None:
    assert "Over range" in typed("ohms", words).outputs[0].text

"""A headlamp is told by its kind and its looks, and not by yes and no alone."""

import pytest
from talk.situations import talker

from voiceassist.session.session import Detail

BOTH = ("dim-headlamp", "dim-headlamp-lorry")


@pytest.mark.parametrize("procedure", BOTH)
@pytest.mark.parametrize(
    ("words", "finding"),
    [
        ("bog standard halogen", ""),
        ("just a halogen", ""),
        ("normal bulb", ""),
        ("it's xenon", "other-lamp"),
        ("they're leds", "other-lamp"),
    ],
)
def test_the_kind_of_lamp_answers_whether_it_is_a_filament_bulb(
    procedure: str, words: str, finding: str
) -> None:
    one = talker(procedure, Detail.NORMAL)
    assert one.say(one.begin(), words).session.finding == finding


@pytest.mark.parametrize(
    ("words", "finding"),
    [("it's gone yellow", "cloudy-lens"), ("the lens is cloudy", "cloudy-lens"), ("all clear", "")],
)
def test_the_looks_of_the_lens_answer_whether_it_is_clear(words: str, finding: str) -> None:
    one = talker("dim-headlamp", Detail.NORMAL)
    turn = one.begin()
    said = ("yes", "affirm", "twelve point six", "twelve point three", "affirm")
    for line in (*said, "eleven point eight", "four point one amps", words):
        turn = one.say(turn, line)
    assert turn.session.finding == (finding or "no-fault")

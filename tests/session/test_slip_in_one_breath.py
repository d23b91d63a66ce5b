"""A slip, its value and the reason in one breath; what only forgets a value never becomes one."""

from decimal import Decimal

import pytest
from talk.situations import FAN, Talker, spoken

from voiceassist.language.meanings import Correction, Reading
from voiceassist.session.session import Turn

TWELVE_SIX = Correction(Reading(Decimal("12.6")))


@pytest.fixture(scope="module")
def fan() -> Talker:
    return Talker(FAN)


@pytest.fixture(scope="module")
def just_read(fan: Talker) -> Turn:
    turn = fan.begin()
    for line in ("affirm", "12.4", "affirm", "12.4"):
        turn = fan.say(turn, line)
    assert turn.session.latest("feed") is not None
    return turn


@pytest.mark.parametrize(
    "words",
    [
        "no, twelve point six, the display jumped",
        "no twelve point six the display jumped",
        "no wait, 12.6, it jumped",
        "sorry, twelve point six, I misread it",
        "no, it jumped, twelve point six",
        "no, twelve point six, the meter was still settling",
    ],
)
def test_the_value_is_corrected_and_its_step_is_named(
    fan: Talker, just_read: Turn, words: str
) -> None:
    assert fan.event(just_read, words).meanings == (TWELVE_SIX,)
    after = fan.say(just_read, words)
    assert spoken(after).startswith("Feed corrected: 12.6 V.")
    assert after.session.latest("feed") is not None


def test_where_it_was_bad_the_right_value_changes_the_way(fan: Talker) -> None:
    turn = fan.begin()
    for line in ("affirm", "12.4", "affirm", "11.8"):
        turn = fan.say(turn, line)
    after = fan.say(turn, "no, twelve point four, the display jumped")
    assert "That changes the path." in spoken(after)
    assert after.session.step == "feed-lamp"


@pytest.mark.parametrize(
    "words",
    [
        "ignore that one",
        "ignore that one, the display jumped",
        "no, ignore that one",
        "no ignore that one it jumped",
        "no, that one jumped",
        "no, that one, the display jumped",
        "no, the display jumped",
        "ignore one",
    ],
)
def test_that_one_is_no_volt(fan: Talker, just_read: Turn, words: str) -> None:
    meanings = fan.event(just_read, words).meanings
    assert not any(isinstance(meaning, Correction | Reading) for meaning in meanings)
    latest = fan.say(just_read, words).session.latest("feed")
    assert latest is None or latest.shown == "12.4 V"

"""Who tells that he follows a warning is asked for his yes; and who tells a mate what to do."""

import pytest
from talk.situations import FAN, PLACES, Talker, after, spoken

from voiceassist.session.states import State

TO_IDLE = ("no", "affirm", "yes", "12.4")


@pytest.fixture(scope="module")
def van() -> Talker:
    return Talker("no-charging")


@pytest.fixture(scope="module")
def fan() -> Talker:
    return Talker(FAN)


@pytest.mark.parametrize(
    "words",
    [
        "specs are on and me ring's in me pocket",
        "handbrake's on and she's in neutral",
        "hair's tied back, exhaust hose is on",
        "i'm outside with the doors open",
    ],
)
def test_who_tells_that_he_does_as_a_warning_says_is_asked_whether_that_is_a_yes(
    van: Talker, words: str
) -> None:
    before = after(van, *TO_IDLE)
    turn = van.say(before, words)
    assert spoken(turn) == "Is that a yes? Say affirm when understood."
    assert turn.session.acknowledged == before.session.acknowledged
    assert van.say(turn, "yes").session.state is State.MEASURE
    assert van.say(turn, "no").session.state is State.CAUTION


@pytest.mark.parametrize(
    "words",
    [
        "righto specs are on and me ring's in me pocket",
        "yeah handbrake's on",
        "aye got my gloves on",
        "okay she's chocked",
        "right, my hair's tied back",
    ],
)
def test_a_word_that_it_is_heard_beside_what_he_has_done_is_a_yes(van: Talker, words: str) -> None:
    before = after(van, *TO_IDLE)
    assert van.say(before, words).session.state is State.MEASURE


@pytest.mark.parametrize("words", ["okay chocks are off", "yeah but the brake's not on"])
def test_a_word_that_it_is_heard_before_a_denial_is_none(van: Talker, words: str) -> None:
    before = after(van, *TO_IDLE)
    assert van.say(before, words).session.acknowledged == before.session.acknowledged


@pytest.mark.parametrize(
    "words",
    [
        "the exhaust hose is not on",
        "where's the exhaust hose",
        "my hair isn't tied",
        "the clamps fell off",
    ],
)
def test_a_denial_a_question_and_other_talk_are_no_yes_to_it(van: Talker, words: str) -> None:
    before = after(van, *TO_IDLE)
    turn = van.say(before, words)
    assert "Is that a yes?" not in spoken(turn)
    assert turn.session.acknowledged == before.session.acknowledged


MATE = [
    "got it got it let go your end",
    "yeah yeah got it, lift your side",
    "got it dave you can let go",
    "okay let go",
    "right hold your end up",
]


@pytest.mark.parametrize("words", MATE)
@pytest.mark.parametrize("place", ["repair", "volts", "offer"])
def test_who_tells_a_mate_what_to_do_has_told_nothing_as_done(
    fan: Talker, place: str, words: str
) -> None:
    before = fan.to(PLACES[place])
    turn = fan.say(before, words)
    assert spoken(turn) == ""
    here = (before.session.step, before.session.state)
    assert (turn.session.step, turn.session.state) == here


@pytest.mark.parametrize("words", MATE)
def test_and_has_acknowledged_no_warning_which_is_told(fan: Talker, words: str) -> None:
    turn = fan.say(fan.to(PLACES["caution"]), words)
    assert turn.session.state is State.CAUTION
    assert "Say affirm" in spoken(turn)


@pytest.mark.parametrize("words", ["got it", "got it out", "old one's out, mind your fingers"])
def test_the_same_words_without_a_mate_tell_that_it_is_done(fan: Talker, words: str) -> None:
    before = fan.to(PLACES["repair"])
    assert fan.say(before, words).session.step != before.session.step

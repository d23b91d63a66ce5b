"""Questions behind a breath, and those that are asked while it stands by."""

import pytest
from talk.situations import FAN, PLACES, Talker, spoken

from voiceassist.session.outputs import NoteTaken
from voiceassist.session.session import Turn
from voiceassist.session.states import State


@pytest.fixture(scope="module")
def fan() -> Talker:
    return Talker(FAN)


@pytest.fixture(scope="module")
def warned(fan: Talker) -> Turn:
    return fan.to(PLACES["caution"])


@pytest.mark.parametrize(
    ("words", "answer"),
    [
        ("hold up, what am i putting the black lead on", "black lead on body earth"),
        ("hang on, where does the red lead go", "Red lead on feed pin"),
        ("just a sec, which pin is it", "pin 1 of the module plug"),
        ("hold up what's the limit here", "12.1 V to 12.8 V"),
    ],
)
@pytest.mark.parametrize("place", ["caution", "volts"])
def test_who_takes_a_breath_and_asks_is_answered_and_not_kept_waiting(
    fan: Talker, place: str, words: str, answer: str
) -> None:
    before = fan.to(PLACES[place])
    after = fan.say(before, words)
    assert answer in spoken(after)
    assert after.session.state is before.session.state


@pytest.mark.parametrize("words", ["hold up", "hang on, i drop the lead", "wait a minute, boss"])
def test_who_only_takes_a_breath_is_waited_for(fan: Talker, warned: Turn, words: str) -> None:
    assert fan.say(warned, words).session.state is State.STAND_BY


@pytest.mark.parametrize(
    ("words", "answer"),
    [
        ("what was it again", "the fan may start by itself"),
        ("which pin", "pin 1 of the module plug"),
        ("what's the limit", "12.1 V to 12.8 V"),
        ("why", "the module can switch only what arrives"),
        ("how do i do that", "Red lead on feed pin"),
        ("read back the battery", "12.6 V"),
    ],
)
def test_a_question_is_answered_while_it_stands_by_and_goes_on_standing_by(
    fan: Talker, warned: Turn, words: str, answer: str
) -> None:
    asked = fan.say(fan.say(warned, "stand by"), words)
    assert answer in spoken(asked)
    assert asked.session.state is State.STAND_BY
    back = fan.say(asked, "go ahead")
    assert (back.session.step, back.session.state) == (warned.session.step, State.CAUTION)


def test_a_note_is_taken_while_it_stands_by(fan: Talker, warned: Turn) -> None:
    noted = fan.say(fan.say(warned, "stand by"), "note the plug is green")
    assert [o.words for o in noted.outputs if isinstance(o, NoteTaken)] == ["the plug is green"]
    assert noted.session.state is State.STAND_BY


@pytest.mark.parametrize("words", ["affirm", "done", "12.5", "skip", "bright"])
def test_nothing_that_would_move_the_job_counts_while_it_stands_by(
    fan: Talker, warned: Turn, words: str
) -> None:
    said = fan.say(fan.say(warned, "stand by"), words)
    assert said.session.state is State.STAND_BY
    assert said.session.resume == warned.session


@pytest.mark.parametrize("words", ["say again", "what now"])
def test_behind_a_cry_of_danger_the_safe_words_are_said_again_and_no_step(
    fan: Talker, words: str
) -> None:
    cried = fan.say(fan.to(PLACES["volts"]), "something is burning")
    again = fan.say(cried, words)
    assert spoken(again) == spoken(cried)
    assert again.session.state is State.STAND_BY


@pytest.mark.parametrize(
    ("words", "state"),
    [
        ("engine is on now go ahead", State.MEASURE),
        ("the motor is running now, go on", State.MEASURE),
        ("engine is not on go ahead", State.STAND_BY),
        ("motor is running now", State.STAND_BY),
    ],
)
def test_while_standing_by_go_ahead_is_heard_behind_what_is_ready_now(
    words: str, state: State
) -> None:
    one = Talker("no-charging")
    turn = one.begin()
    for line in ("no", "affirm", "yes", "12.4", "affirm", "stand by", words):
        turn = one.say(turn, line)
    assert turn.session.state is state

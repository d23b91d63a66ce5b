"""What is said to a mate, a customer or the telephone is heard, kept, and not answered."""

from io import StringIO

import pytest
from talk.situations import standing_at

from voiceassist.app.ears.earcons import first_tone
from voiceassist.cli.show import People
from voiceassist.language.meanings import Command
from voiceassist.record.lines import Heard as HeardLine
from voiceassist.record.said import understood
from voiceassist.session.events import EventKind, Heard, kind_of
from voiceassist.session.outputs import Listen, Output
from voiceassist.session.session import Turn
from voiceassist.session.states import State

TO_OTHERS = (
    ("volts", "bob pass me the long nosed pliers"),
    ("change", "yeah I'll be ten minutes love"),
    ("ohms", "did you get your tea bob"),
    ("question", "tell the customer it won't be ready before tomorrow"),
    ("offer", "hello yes we are open until five today"),
    ("repair", "who left the door open it's freezing in here"),
)
MATE = TO_OTHERS[0][1]
BY = "Standing by. Say go ahead when you are ready."


def spoken(turn: Turn) -> list[Output]:
    return [output for output in turn.outputs if not isinstance(output, Listen)]


@pytest.mark.parametrize(("where", "words"), TO_OTHERS)
def test_what_is_said_to_others_is_not_answered_and_changes_nothing(where: str, words: str) -> None:
    one, before = standing_at(where)
    after = one.say(before, words)
    assert spoken(after) == []
    assert after.session.at_step.state is before.session.state
    assert after.session.ledger == before.session.ledger


def test_where_a_warning_waits_it_is_told_what_is_awaited() -> None:
    one, before = standing_at("caution")
    assert "Say affirm" in one.say(before, "did you get your tea bob").outputs[0].text


def test_what_is_likely_for_it_and_not_understood_is_answered() -> None:
    one, before = standing_at("wait")
    said = one.say(before, "and then what is the continuation").outputs[0].text
    assert "I did not understand" in said


def test_of_three_in_a_row_the_last_is_answered_and_then_it_is_quiet_again() -> None:
    one, turn = standing_at("volts")
    answered = []
    for _, words in TO_OTHERS[:4]:
        turn = one.say(turn, words)
        answered.append(bool(spoken(turn)))
    assert answered == [False, False, True, False]


def test_who_was_answered_in_between_is_not_counted_on() -> None:
    one, turn = standing_at("volts")
    for words in (MATE, TO_OTHERS[1][1], "why", TO_OTHERS[2][1]):
        turn = one.say(turn, words)
    assert spoken(turn) == []


@pytest.mark.parametrize("hail", ["hey", "helper", "okay helper"])
def test_who_hails_it_is_answered(hail: str) -> None:
    one, before = standing_at("volts")
    assert spoken(one.say(before, f"{hail} {MATE}"))


def test_an_offer_still_waits_while_others_are_spoken_to() -> None:
    one, turn = standing_at("volts")
    offered = one.engine.handle(turn.session, Heard("again or so", guess=Command("why")))
    assert offered.session.state is State.MEANT
    after = one.say(offered, MATE)
    assert (after.session.state, spoken(after)) == (State.MEANT, [])
    assert one.say(after, "yes").outputs[0].text.startswith("Why")


def test_it_makes_no_tone() -> None:
    one, before = standing_at("volts")
    event = one.event(before, MATE)
    assert kind_of(event) is EventKind.LET_PASS
    assert first_tone(event, one.engine.handle(before.session, event)) is None


@pytest.mark.parametrize(
    "words",
    [
        "can i nip out for a brew",
        "back in five",
        "need a slash",
        "i'm just off for a smoke",
        "bursting for the loo",
        "i'll be back in ten minutes",
    ],
)
def test_who_wants_a_break_has_it_and_goes_on_when_he_is_back(words: str) -> None:
    one, before = standing_at("volts")
    paused = one.say(before, words)
    assert [output.text for output in spoken(paused)] == [BY]
    back = one.say(paused, "back")
    assert (back.session.state, spoken(back)) == (State.MEASURE, list(before.session.prompt))


@pytest.mark.parametrize("words", ["can you get a coffee bob", "he's off for a smoke again"])
def test_another_may_have_his_break(words: str) -> None:
    one, before = standing_at("volts")
    assert one.say(before, words).session.state is not State.STAND_BY


# --- as it is shown and kept ---

LINE = HeardLine.made(text=MATE, words=MATE, let_pass=True)


def test_who_typed_it_sees_that_it_was_let_pass() -> None:
    screen = StringIO()
    people = People(screen)
    people.entered()
    people(LINE)
    assert screen.getvalue().strip() == "(for others)"


def test_the_transcript_tells_that_it_was_not_answered() -> None:
    assert understood(LINE) == "not answered: said to others"


@pytest.mark.parametrize(
    "words",
    [
        "go ahead it's safe",
        "go ahead nothing's burning",
        "it was only the lamp it's fine go ahead",
        "all clear now carry on",
    ],
)
def test_who_was_stopped_by_danger_goes_on_in_his_own_words(words: str) -> None:
    one, before = standing_at("volts")
    stopped = one.say(before, "there's smoke")
    assert stopped.session.state is State.STAND_BY
    assert one.say(stopped, words).session.state is not State.STAND_BY


@pytest.mark.parametrize(
    "words",
    ["don't go ahead", "it's not safe to go ahead", "wait it's hot go ahead with the fan bob"],
)
def test_who_does_not_go_on_stays_stopped(words: str) -> None:
    one, before = standing_at("volts")
    stopped = one.say(before, "there's smoke")
    assert one.say(stopped, words).session.state is State.STAND_BY

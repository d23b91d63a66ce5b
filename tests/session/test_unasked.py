"""A value that nobody asked for is noted and counts for nothing; it is told what would count."""

import pytest
from talk.situations import standing_at

from voiceassist.session.outputs import Listen, NoteTaken, ReadingTaken
from voiceassist.session.session import Turn
from voiceassist.session.states import State

EVERYWHERE = ("caution", "change", "volts", "question", "offer", "repair", "after")


def said(where: str, words: str) -> tuple[Turn, Turn, str]:
    one, before = standing_at(where)
    after = one.say(before, words)
    assert not [o for o in after.outputs if isinstance(o, ReadingTaken)]
    assert after.session.ledger == before.session.ledger
    return before, after, " ".join(o.text for o in after.outputs if not isinstance(o, Listen))


@pytest.mark.parametrize("where", EVERYWHERE)
@pytest.mark.parametrize("words", ["battery's twelve four", "twelve point four on the battery"])
def test_a_value_of_an_earlier_step_is_noted_and_changes_nothing(where: str, words: str) -> None:
    before, after, text = said(where, words)
    assert after.session.at_step.state is before.session.state
    assert text.startswith("Not asked for now; noted. Battery stays 12.6 V: to change it,")
    assert [o.words for o in after.outputs if isinstance(o, NoteTaken)] == [words]


def test_what_it_tells_to_say_changes_it() -> None:
    one, before = standing_at("volts")
    after = one.say(
        one.say(before, "battery's twelve four"), "correction battery twelve point four"
    )
    latest = after.session.latest("battery")
    assert latest is not None
    assert latest.shown == "12.4 V"


@pytest.mark.parametrize("where", ["caution", "change", "volts"])
def test_a_value_of_a_step_to_come_is_to_be_said_again_there(where: str) -> None:
    _, _, text = said(where, "earth drop is point oh five")
    assert text == "Not asked for now; noted. Say it again when earth drop is asked for."


def test_a_value_of_the_step_itself_does_not_pass_its_caution() -> None:
    _, after, text = said("caution", "feed's twelve four")
    assert after.session.state is State.CAUTION
    assert text == "That reading does not count yet: say affirm to the caution first."
    _, after, text = said("change", "feed is twelve four")
    assert after.session.state is State.CONDITION
    assert text.startswith("That reading does not count yet: unplug the module")


@pytest.mark.parametrize("where", ["question", "offer", "repair", "after"])
def test_a_value_without_a_name_is_noted_where_none_is_awaited(where: str) -> None:
    before, after, text = said(where, "twelve point four volts")
    assert after.session.state is before.session.state
    assert text.startswith("Not asked for now; noted.")
    assert [o.words for o in after.outputs if isinstance(o, NoteTaken)]


def test_a_value_is_never_let_pass_in_silence() -> None:
    _, _, text = said("question", "the motor draws six amps")
    assert text


@pytest.mark.parametrize(
    ("where", "words", "shown"),
    [
        ("volts", "feed is twelve point four", "12.4 V"),
        ("volts", "twelve point four at the feed pin", "12.4 V"),
        ("volts", "twelve point four", "12.4 V"),
        ("drop", "earth drop is point oh five", "0.05 V"),
        ("amps", "three hundred milliamps", "300 mA"),
    ],
)
def test_a_value_of_the_step_at_hand_counts_by_any_name(where: str, words: str, shown: str) -> None:
    one, before = standing_at(where)
    after = one.say(before, words)
    taken = [o.shown for o in after.outputs if isinstance(o, ReadingTaken)]
    assert taken == [shown] or after.session.state is State.CONFIRM


@pytest.mark.parametrize("words", ["is the battery twelve four", "if the battery's twelve four"])
def test_what_is_asked_or_supposed_is_no_value(words: str) -> None:
    one, before = standing_at("caution")
    after = one.say(before, words)
    assert not [o for o in after.outputs if isinstance(o, NoteTaken)]


@pytest.mark.parametrize("words", ["two hundred thousand on the clock", "two minutes"])
def test_a_time_or_a_number_without_its_unit_is_no_value(words: str) -> None:
    one, before = standing_at("offer")
    assert not [o for o in one.say(before, words).outputs if isinstance(o, NoteTaken)]


def test_who_is_at_a_value_already_has_not_acknowledged_the_caution() -> None:
    one, before = standing_at("caution")
    after = one.say(before, "right, fan flat out, twelve point one")
    assert after.session.state is State.CAUTION

"""A meter in trouble, a helper that is called, and values told with those before them."""

import pytest
from talk.situations import PLACES, Talker, spoken, standing_at, talker

from voiceassist.session.session import Detail, Turn
from voiceassist.session.states import State

ONE_BY_PLACE: dict[str, Talker] = {}


def said(place: str, words: str) -> tuple[Turn, Turn]:
    """The turn before ``words`` are said at ``place``, and the one they lead to."""
    at = PLACES[place]
    one = ONE_BY_PLACE.setdefault(at.procedure, Talker(at.procedure))
    before = one.to(at)
    return before, one.say(before, words)


def stays(before: Turn, after: Turn) -> bool:
    here = (before.session.step, before.session.state, before.session.ledger)
    return here == (after.session.step, after.session.state, after.session.ledger)


@pytest.mark.parametrize(
    "words",
    [
        "meter says err",
        "the meter's gone flat, battery symbol's flashing",
        "i think i blew the fuse in the meter",
        "meter's switched itself off",
        "the low battery sign came on",
    ],
)
@pytest.mark.parametrize("place", ["volts", "ohms", "amps"])
def test_what_a_meter_tells_of_itself_is_no_value(place: str, words: str) -> None:
    before, after = said(place, words)
    assert stays(before, after)
    assert spoken(after).startswith("Then nothing it shows counts.")


@pytest.mark.parametrize(
    "words", ["meter reads zero", "nothing on the meter", "meter shows nothing"]
)
def test_what_it_shows_of_the_vehicle_still_is_one(words: str) -> None:
    _, after = said("volts", words)
    assert "0 V" in spoken(after)


@pytest.mark.parametrize("words", ["it beeped", "it's beeping", "it buzzed", "beeps"])
def test_a_meter_that_beeps_shows_next_to_no_resistance_and_never_over_range(words: str) -> None:
    _, after = said("ohms", words)
    assert after.session.ledger[-1].shown == "0 Ω"


@pytest.mark.parametrize("words", ["i've zeroed the clamp", "the meter's zeroed", "zeroed it out"])
def test_a_clamp_that_was_zeroed_has_read_nothing_yet(words: str) -> None:
    before, after = said("amps", words)
    assert after.session.ledger == before.session.ledger
    assert after.session.state is not State.FORGOTTEN


@pytest.mark.parametrize("words", ["are you there", "can you hear me", "you there mate"])
@pytest.mark.parametrize("place", ["volts", "caution", "question", "repair", "wait", "offer"])
def test_a_helper_that_is_called_answers_with_what_it_waits_for(place: str, words: str) -> None:
    before, after = said(place, words)
    assert stays(before, after)
    assert spoken(after)
    assert "understand" not in spoken(after)


@pytest.mark.parametrize(
    "words", ["you misheard me", "that's not what i said", "you got that wrong"]
)
def test_who_was_misheard_is_asked_for_the_right_value(words: str) -> None:
    _, after = said("volts", words)
    assert spoken(after) == "Battery was 12.6 V. Say what is right, or go back to keep it."


@pytest.mark.parametrize(
    "words", ["it's showing a minus in front of it", "there's a minus sign on the display"]
)
def test_a_minus_without_its_value_is_told_as_leads_the_wrong_way_round(words: str) -> None:
    before, after = said("volts", words)
    assert stays(before, after)
    assert "Swap them" in spoken(after)


def test_of_two_values_in_a_row_only_those_that_can_be_are_asked_about() -> None:
    _, after = said("volts", "it was twelve five but now it's dropped to eleven nine")
    assert spoken(after).startswith("Was that 12.5 V, or 11.9 V?")


def test_who_tells_what_he_has_done_and_asks_what_now_goes_on() -> None:
    _, after = said("repair", "old one's out, what now")
    assert after.session.step == "put-in"


@pytest.mark.parametrize("words", ["there's no pin one on this plug", "plug's only got three pins"])
def test_a_plug_unlike_the_drawing_is_noted_and_warned_of(words: str) -> None:
    before, after = said("volts", words)
    assert stays(before, after)
    assert "the drawing may not fit this vehicle" in spoken(after)


def test_who_asks_for_another_earth_is_told_which_it_is() -> None:
    _, after = said("volts", "is it alright if i use the chassis bolt for earth")
    assert "Body earth: bare metal of the body." in spoken(after)


def test_of_a_span_only_what_can_be_is_taken() -> None:
    _, after = said("volts", "between twelve four and twelve six")
    assert after.session.ledger[-1].shown == "12.4 V to 12.6 V"


@pytest.mark.parametrize("words", ["do i need the key on for this", "is the plug meant to be out"])
def test_who_asks_whether_a_state_is_needed_is_told_why_it_is(words: str) -> None:
    before, after = said("volts", words)
    assert stays(before, after)
    assert any(told in spoken(after) for told in ("With the key off", "Plugged in, the part"))


@pytest.mark.parametrize("words", ["do i need gloves", "do i have to wear goggles for that"])
def test_who_asks_at_a_warning_what_to_wear_is_told_the_warning_again(words: str) -> None:
    before, after = said("caution", words)
    assert stays(before, after)
    assert spoken(after).startswith("WARNING: the fan may start by itself.")


def test_who_cannot_do_as_a_warning_says_does_not_begin_the_step() -> None:
    before, after = said("caution", "i can't keep clear, there's no room")
    assert stays(before, after)
    assert spoken(after).startswith("The step does not begin")


@pytest.mark.parametrize("words", ["wrong part in the box", "the new one doesn't fit"])
def test_with_the_wrong_part_nothing_is_done_yet(words: str) -> None:
    before, after = said("repair", words)
    assert stays(before, after)
    assert spoken(after).startswith("Take your time.")


@pytest.mark.parametrize("words", ["do it later", "leave it for now"])
def test_a_repair_that_is_left_for_later_is_left(words: str) -> None:
    _, after = said("offer", words)
    assert after.session.state is State.AFTER


@pytest.mark.parametrize(
    "words", ["it's raining, i'll carry on tomorrow", "let's finish it tomorrow"]
)
def test_who_goes_on_tomorrow_has_the_job_parked(words: str) -> None:
    _, after = said("volts", words)
    assert after.session.state is State.TO_PARK


@pytest.mark.parametrize(
    "words",
    [
        "it's live",
        "there's volts there",
        "it's got power",
        "yes there's power",
        "full battery voltage",
        "full voltage",
    ],
)
def test_that_there_is_voltage_is_never_none_and_the_value_is_asked_for(words: str) -> None:
    before, after = said("volts", words)
    assert stays(before, after)
    assert spoken(after) == "What does it show?"


@pytest.mark.parametrize(
    "words", ["no volts", "there's no power there", "no power", "it's not live"]
)
def test_that_there_is_none_still_is_a_value_or_asked_about(words: str) -> None:
    _, after = said("volts", words)
    assert spoken(after) != "What does it show?"


@pytest.mark.parametrize("place", ["volts", "question", "offer", "fuse-pull"])
def test_who_goes_for_a_break_is_waited_for(place: str) -> None:
    _, after = said(place, "I'm going for a cuppa, back in ten")
    assert after.session.state is State.STAND_BY


@pytest.mark.parametrize("words", ["right I'm back", "still as it was"])
def test_who_is_back_at_a_finding_hears_it_again_and_begins_no_repair(words: str) -> None:
    before, after = said("offer", words)
    assert stays(before, after)
    assert spoken(after).endswith("Shall I guide the repair?")


def test_who_must_find_it_first_is_waited_for() -> None:
    _, after = said("offer", "not yet, I've got to find it first")
    assert after.session.state is State.STAND_BY


def test_that_the_key_is_on_and_the_fan_runs_is_no_value_and_the_reading_is_asked_for() -> None:
    one, turn = standing_at("repair")
    for words in ("done", "done", "affirm"):
        turn = one.say(turn, words)
    assert turn.session.condition("key") != "run"
    after = one.say(turn, "key on, fan runs on all speeds now")
    assert stays(turn, after)
    assert after.session.condition("key") == "run"
    assert spoken(after).startswith("Voltage from motor wire to earth pin.")


def rear_lamps(*words: str) -> Turn:
    one = talker("rear-lamps", Detail.NORMAL)
    turn = one.begin()
    for line in ("affirm", "twelve and a half volts", *words):
        turn = one.say(turn, line)
    return turn


@pytest.mark.parametrize("words", ["they're all right", "yeah they're the right ones"])
def test_bulbs_that_are_the_right_ones_are_a_yes(words: str) -> None:
    assert rear_lamps(words).session.step == "whole"


@pytest.mark.parametrize("words", ["filaments good, contacts a bit green", "contacts are green"])
def test_green_contacts_are_a_no(words: str) -> None:
    assert rear_lamps("yes", words).session.finding == "bulb"


@pytest.mark.parametrize("place", ["volts", "lamp"])
def test_who_doubts_where_a_lead_was_is_told_how_to_read_again(place: str) -> None:
    before, after = said(place, "hang on I had that lamp on the battery minus, that ok?")
    assert before.session.step == after.session.step
    assert "say go back to take it again" in spoken(after)


def test_who_asks_what_for_is_told_why_and_no_limit() -> None:
    _, after = said("volts", "what for, lights are fine")
    assert spoken(after).startswith("Why: the module can switch only what arrives.")


def test_nothing_is_to_be_taken_off_that_was_never_put_on() -> None:
    one = talker("trailer-side", Detail.NORMAL)
    turn = one.say(one.begin(), "affirm")
    assert spoken(turn).startswith("With a lamp at the vehicle's socket")
    closed = one.say(one.say(turn, "negative"), "finish")
    assert spoken(closed).strip() == "Job closed."

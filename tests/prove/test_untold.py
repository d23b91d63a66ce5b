"""What no fault of the file shows: faults it does not tell, ways none takes, idle or odd limits."""

import pytest
from prove.shop import LAMP, changed, proved

from voiceassist.prove.proof_text import failures, to_json

#: The lamp is a part that is condemned, once its feed and its earth are proved at work.
CONDEMNED = changed(
    LAMP,
    (
        "lamp: {cause: the lamp has failed, correction: change it}",
        "lamp: {cause: the lamp has failed, correction: change it, condemns: side lamp, "
        "proved-by: {feed: feed, earth: earth-loaded}, prove-with: [whole]}",
    ),
    (
        "  whole:\n",
        "  earth-loaded:\n"
        "    needs: {lights: off, lamp plug: out}\n"
        "    caution: battery-gas\n"
        "    lamp: between the battery plus post and the lamp earth\n"
        "    fail: earth-side\n"
        "  whole:\n",
    ),
)


def told(text: str, words: str) -> list[str]:
    """The messages with ``words`` in them that fail the proof."""
    procedure, proof = proved(text)
    found = [f for f in failures(procedure, proof) if words in f.message]
    assert not any(failure.only_warns for failure in found)
    return [f"{failure.step}: {failure.message}" for failure in found]


def kept(text: str, key: str) -> object:
    return to_json(proved(text)[1])[key]


@pytest.mark.parametrize("key", ["untold", "untaken", "contrary", "unloaded"])
def test_nothing_is_told_of_a_sound_procedure(key: str) -> None:
    assert kept(CONDEMNED, key) == []


# --- faults that the file does not tell ---

TAIL = changed(
    CONDEMNED,
    (
        "from: lamp feed, to: lamp earth, behind: lamp plug}",
        "from: tail, to: lamp earth, behind: lamp plug}\n"
        "    tail wire: {wire: 1 m, size: 0.75 mm², from: lamp feed, to: tail, behind: lamp plug}",
    ),
    (
        "resistance across the side lamp",
        "resistance from the lamp feed behind the lamp plug to the lamp earth behind the lamp plug",
    ),
    (
        "  points:\n",
        "  probes:\n    whole: resistance from lamp feed behind lamp plug to lamp earth behind "
        "lamp plug\n  points:\n",
    ),
)


def test_a_good_lamp_that_is_condemned_for_a_broken_wire_no_fault_tells_of_is_an_error() -> None:
    message = (
        "whole: 'open at tail wire', which no fault of the file tells, condemns the good "
        "'side lamp': step 'whole' reads over range and leads to 'lamp'"
    )
    found = [one for one in told(TAIL, "which no fault of the file tells") if message in one]
    assert len(found) == 1
    assert "as this very finding where it belongs to that part" in found[0]


def test_a_wire_whose_faults_are_found_as_the_lamp_belongs_to_it() -> None:
    mended = changed(
        TAIL, ("  lamp-gone:", "  tail-gone: {open: tail wire, found-as: lamp}\n  lamp-gone:")
    )
    assert kept(mended, "untold") == []


def test_a_walk_that_a_question_of_told_faults_decides_counts_for_nothing() -> None:
    asked = changed(
        TAIL,
        ("    fail: lamp\n", "    fail: burnt\n"),
        (
            "findings:\n",
            "  burnt: {ask: is the glass black, answers: {yes: lamp, no: lamp}}\nfindings:\n",
        ),
        ("  points:\n    battery", "  answers: {burnt: yes}\n  points:\n    battery"),
        ("found-as: lamp}", "found-as: lamp, answers: {burnt: no}}"),
    )
    assert kept(asked, "untold") == []


# --- ways that no fault takes ---


def test_a_way_to_a_condemned_part_that_no_fault_takes_is_an_error() -> None:
    odd = changed(
        CONDEMNED, ("    fail: feed-side\n  earth:", "    low: feed-side\n    high: lamp\n  earth:")
    )
    message = (
        "feed: 'feed' leads straight to 'lamp', which condemns a part, and with no single fault "
        "of the file does it so; tell a fault that reads so, or lead to a step that proves it"
    )
    assert told(odd, "leads straight") == [message]
    assert kept(odd, "untaken") == [{"step": "feed", "finding": "lamp"}]


def test_a_way_that_a_step_asked_for_before_the_part_is_condemned_comes_between_is_taken() -> None:
    fitted = changed(CONDEMNED, ("prove-with: [whole]", "before-fitting: [battery]"))
    assert kept(fitted, "untaken") == []


# --- limits that contradict each other ---


def test_a_reading_that_one_step_passes_and_another_at_the_same_place_fails_is_an_error() -> None:
    twice = changed(
        LAMP,
        ("accept: battery - 0.5 V to battery + 0.1 V", "accept: at least 0.0001 V"),
        (
            "  earth:\n",
            "  again:\n"
            "    needs: {lamp plug: in, lights: on}\n"
            "    measure: voltage from the lamp feed to the frame, once more\n"
            "    accept: at least battery - 0.5 V\n"
            "    low: feed-side\n"
            "  earth:\n",
        ),
    )
    (message,) = told(twice, "give both the same limit")
    assert message.startswith("feed: 'feed' calls")
    assert "and 'again', which reads the same on a good vehicle, calls it low" in message


def test_two_steps_that_read_otherwise_on_a_good_vehicle_may_have_limits_of_their_own() -> None:
    """A burnt holder leaves the earth next to nothing to lose; the lamp's feed is low by volts."""
    assert kept(LAMP, "contrary") == []


# --- voltages that nothing loads ---


def test_a_part_proved_by_a_voltage_that_no_current_loads_is_an_error() -> None:
    """Though a step that is read under load finds the burnt holder afterwards."""
    at_work = (
        "  at-work:\n"
        "    needs: {lamp plug: in, lights: on}\n"
        "    measure: voltage from the lamp feed to the frame, at work\n"
        "    accept: at least battery - 0.5 V\n"
        "    low: feed-side\n"
    )
    open_ = changed(
        CONDEMNED,
        (
            "needs: {lamp plug: in, lights: on}\n    measure: voltage from the lamp feed",
            "needs: {lamp plug: out, lights: on}\n    measure: voltage from the lamp feed",
        ),
        ("  earth:\n", f"{at_work}  earth:\n"),
    )
    message = (
        "feed: 'lamp' condemns the 'side lamp', proved by 'feed', where nothing draws current: "
        "with the fault 'burnt-holder' on its way it passes too; load it with a test lamp, or "
        "read the drop while the load is at work"
    )
    assert told(open_, "nothing draws current") == [message]


def test_a_battery_may_be_proved_by_its_voltage_at_rest() -> None:
    by_battery = changed(CONDEMNED, ("proved-by: {feed: feed,", "proved-by: {feed: battery,"))
    assert kept(by_battery, "unloaded") == []

"""Asked whether it could be a part, it tells what has ruled that out, or what will tell."""

import pytest
from lines import Lines
from talk.situations import standing_at

from voiceassist.session.outputs import Listen


def told(where: str, words: str) -> str:
    one, before = standing_at(where)
    after = one.say(before, words)
    assert after.session.at_step == before.session.at_step, "a question moves nothing"
    return " ".join(o.text for o in after.outputs if not isinstance(o, Listen))


@pytest.mark.parametrize(
    "words",
    [
        "could it be the motor",
        "how do i know it's not the motor",
        "couldn't it just be the fan motor",
        "i bet it's the fan motor",
    ],
)
def test_a_part_that_is_still_open_comes_with_the_step_that_will_tell(words: str) -> None:
    assert told("drop", words) == "Not ruled out yet: fan motor. Turns freely will tell."


@pytest.mark.parametrize("where", ["offer", "repair", "after"])
def test_a_part_that_is_ruled_out_comes_with_the_reading_that_did_it(where: str) -> None:
    said = told(where, "how do we know it's not the motor")
    assert said == "Ruled out by motor current, 6 A: fan motor."


def test_a_part_is_known_by_its_faults_though_no_finding_is_called_so() -> None:
    assert "ignition switch. Feed will tell" in told("volts", "could it be the switch")
    assert "fan relay. Feed will tell" in told("volts", "how can you be sure it isn't the relay")


def test_the_part_that_was_found_is_told_with_what_proves_it() -> None:
    assert told("repair", "could it be the module").startswith("What is known: the fan module")


def test_of_a_part_it_does_not_know_it_tells_what_is_known_of_the_cause() -> None:
    assert told("volts", "could it be the radio").startswith("No cause is proved yet")


def test_what_another_way_left_out_is_not_called_ruled_out() -> None:
    fan = Lines("heater-fan-module").walk("feed", battery="twelve point six")
    fan.type("ten volts")
    assert fan.session.finding == "feed-side"
    said = fan.type("could it be the motor")
    assert said == "Not looked into: fan motor. Feed, 10 V, led elsewhere."


def test_without_a_circuit_it_goes_by_the_findings() -> None:
    lines = Lines(
        text="""
procedure: small
title: small
for: a van
source: general rule of thumb
steps:
  supply: {measure: voltage on the pin, accept: 4 V to 6 V, fail: sensor, then: output}
  output: {measure: voltage on the wire, accept: 1 V to 2 V, fail: gauge, then: good}
findings:
  good: {cause: all is well, correction: nothing to do}
  sensor: {cause: the sensor is dead, correction: mend it}
  gauge: {cause: the gauge is dead, correction: mend it}
"""
    )
    assert lines.type("is it the sensor") == "Not ruled out yet: sensor. Supply will tell."
    lines.type("five volts")
    assert lines.type("is it the sensor") == "Ruled out by supply, 5 V: sensor."
    assert lines.type("could it be the gauge") == "Not ruled out yet: gauge. Output will tell."

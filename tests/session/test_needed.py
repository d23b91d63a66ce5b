"""Who asks what happens without a state of the vehicle is told what it is there for."""

import pytest
from lines import Lines
from talk.situations import standing_at

from voiceassist.session.outputs import Ask, Listen

#: "With the plug in", by the words of the file; the fan may start with the key in run.
PLUG, KEY = "Plugged in, the part loads the wire", "With the key off there may be no supply"
LOOKS = "If the key was not in run, it would read at most 0.5 V, and look like a fault."


def told(where: str, words: str) -> str:
    one, before = standing_at(where)
    after = one.say(before, words)
    assert after.session.at_step == before.session.at_step, "a question moves nothing"
    return " ".join(o.text for o in after.outputs if not isinstance(o, Listen | Ask))


@pytest.mark.parametrize(
    "words",
    [
        "what happens if I don't unplug it",
        "what if i leave it plugged in",
        "do i really have to unplug it",
        "can i leave the module plugged in",
        "does it matter if i leave the plug in",
    ],
)
def test_why_the_plug_has_to_be_out_is_told_and_not_why_the_step_is_done(words: str) -> None:
    text = told("change", words)
    assert PLUG in text
    assert KEY not in text
    assert "the module can switch only what arrives" not in text


@pytest.mark.parametrize("words", ["can i leave the key off", "what if i don't turn the key"])
def test_what_would_be_read_without_it_is_told_where_the_step_knows(words: str) -> None:
    text = told("change", words)
    assert KEY in text
    assert LOOKS in text


def test_all_that_is_still_to_be_changed_is_meant_where_nothing_is_named() -> None:
    text = told("change", "do i have to")
    assert PLUG in text
    assert LOOKS in text


def test_it_is_known_by_its_state_once_it_was_changed() -> None:
    assert PLUG in told("drop", "what if i leave it in")


def test_where_nothing_is_to_be_changed_the_step_itself_is_meant() -> None:
    assert "the module can switch only what arrives" in told("volts", "do i have to")
    assert "wakes the modules" in told("wait", "what happens if we don't wait")


def test_at_a_caution_it_is_the_caution_that_is_meant() -> None:
    assert told("caution", "do i have to").startswith("WARNING: the fan may start by itself.")


def test_work_tells_what_keeps_it_safe() -> None:
    text = told("repair", "can i leave the key on")
    assert "It is safe only while the key is off." in text
    assert "may burn" in text


def test_the_file_has_the_first_word() -> None:
    assert "ohms of what is fed are wrong" in told("ohms", "what if i leave the battery on")
    assert "courtesy lamps" in told("amps", "can i leave the door open")


HEAD = """
procedure: small
title: small
for: a van
source: general rule of thumb
conditions:
  valve: {open: {do: open the valve, ask: is the valve open, not: the valve was not open%s}}
steps:
  one: {needs: {valve: open}, measure: voltage on the pin, accept: 4 V to 6 V,
    fail: bad, then: good}
findings:
  good: {cause: all is well, correction: nothing to do}
  bad: {cause: it is bad, correction: mend it}
"""


def test_of_what_nothing_is_known_it_is_said_that_it_counts() -> None:
    said = Lines(text=HEAD % "").type("do i have to")
    assert "counts only while the valve is open" in said


def test_a_reason_of_the_file_is_said_as_it_stands() -> None:
    said = Lines(text=HEAD % ", why: 'shut, it hides the leak.'").type("do i have to")
    assert said.startswith("Shut, it hides the leak.")
    assert "counts only" not in said

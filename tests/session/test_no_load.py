"""A drop of next to nothing: by Ohm's law it is that with no current, in the worst of wires too."""

import pytest
from bench import METER, Bench, volts
from lines import Lines

from voiceassist.measure.meter import Meter
from voiceassist.session.states import State

DRAW = {"hybrid": "no", "battery": "twelve point six"}


def at_the_joint(meter: Meter | None = None) -> Lines:
    return Lines("key-off-draw", meter=meter).walk("minus-joint", **DRAW)


@pytest.mark.parametrize("said", ["zero volts", "nothing", "point zero zero", "one millivolt"])
def test_a_drop_of_next_to_nothing_is_not_believed_before_the_load_is_asked_about(
    said: str,
) -> None:
    bench = at_the_joint()
    spoken = bench.type(said)
    assert "next to nothing" in spoken
    assert "Is the key in run, and are the headlamps on?" in spoken
    assert "minus-joint" not in bench.counting


def test_with_the_load_on_it_is_taken_and_not_asked_about_again() -> None:
    bench = at_the_joint()
    bench.type("zero volts", "yes")
    assert bench.counting["minus-joint"] == "0 V"
    assert bench.step == "rough-draw"


def test_with_the_load_off_it_is_to_be_switched_on_and_measured_again() -> None:
    bench = at_the_joint()
    said = bench.type("zero volts", "no")
    assert "that reading does not count" in said
    assert "Headlamps on" in said
    assert (bench.step, bench.counting.get("minus-joint")) == ("minus-joint", None)
    bench.type("done", "twelve millivolts")
    assert bench.counting["minus-joint"] == "12 mV"


def test_with_the_load_switched_on_meanwhile_it_is_to_be_read_once_more() -> None:
    bench = at_the_joint()
    assert "read it once more" in bench.type("zero volts", "done")
    bench.type("twelve millivolts")
    assert bench.counting["minus-joint"] == "12 mV"


@pytest.mark.parametrize("said", ["ten millivolts", "point zero two", "half a volt"])
def test_a_drop_as_of_a_loaded_wire_is_not_asked_about(said: str) -> None:
    assert "next to nothing" not in at_the_joint(meter=METER).type(said)


CHARGING = DRAW | {
    "told": "no",
    "belt": "yes",
    "lamp_lights": "yes",
    "idle_volts": "thirteen point zero volts",
    "stud_volts": "fifteen volts",
}


def test_a_drop_that_was_read_under_the_load_shows_that_it_is_on() -> None:
    bench = Lines("no-charging").walk("case-drop", **CHARGING, charge_drop="point one volts")
    bench.type("zero volts")
    assert bench.counting["case-drop"] == "0 V"
    unloaded = Lines("no-charging").walk("charge-drop", **CHARGING)
    unloaded.type("zero volts")
    assert unloaded.state is State.FORGOTTEN


FAN = {
    "battery": "twelve point six",
    "feed": "twelve point five",
    **dict.fromkeys(("feed_lamp", "earth_lamp"), "bright"),
    "earth_drop": "point zero five volts",
    "command_slow": "eight point four",
    "command_fast": "two point five",
    "motor_slow": "four point two",
}
STARVED = FAN | {
    "motor_slow": "one volt",
    **dict.fromkeys(("turns_freely", "plug_pins"), "yes"),
    "motor_current": "seven amps",
    "supply_drop": "ten volts",
    "working_battery": "twelve point five",
    "working_feed": "point two volts",
}
RUNS_ON = FAN | {"motor_fast": "twelve point one", "motor_draw": "seven amps"}


def test_the_lamp_that_was_seen_lit_is_load_enough(typed: Bench) -> None:
    typed.to("earth-drop").say(volts("0"))
    assert typed.step == "command-slow"


def test_a_drop_that_is_judged_by_the_current_that_flows_is_not_asked_about() -> None:
    bench = Lines("heater-fan-module").walk("working-earth", **STARVED)
    bench.type("zero volts")
    assert bench.counting["working-earth"] == "0 V"


def test_a_wire_that_should_read_nothing_is_believed_to() -> None:
    bench = Lines("heater-fan-module").walk("off-volts", **RUNS_ON)
    bench.type("zero volts")
    assert bench.counting["off-volts"] == "0 V"

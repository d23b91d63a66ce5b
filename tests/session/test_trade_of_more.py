"""More shipped procedures: what the trade fears in them, and what standards say of their data.

Where no source is named: common practice, no source.
"""

import pytest
from bench import Bench
from lines import Lines

from voiceassist.app import build
from voiceassist.procedure.model import Kind, Procedure
from voiceassist.session.outputs import CautionSpoken, ConditionChange
from voiceassist.session.states import State


def procedure(name: str) -> Procedure:
    return build.procedure(name).procedure


def asked_for(bench: Bench) -> list[str]:
    """States that were asked for so far, in order, each once in a row."""
    every = [f"{o.name} {o.state}" for o in bench.all if isinstance(o, ConditionChange)]
    return [now for before, now in zip(["", *every], every, strict=False) if now != before]


# --- orange cables ---


def test_beside_orange_cables_nothing_is_measured_fitted_or_taken_off() -> None:
    asked = procedure("high-voltage-first")
    assert {step.kind for step in asked.steps.values()} == {Kind.ASK}
    assert asked.repairs == {}
    assert all(not finding.condemns for finding in asked.findings.values())


NO = {
    "people": "no",
    "crash": "no",
    "charging_lead": "no",
    "ready": "no",
    "warning": "no",
    "orange_job": "no",
}


@pytest.mark.parametrize(
    ("at", "answer"),
    [
        ("people", "yes"),
        ("crash", "yes"),
        ("warning", "yes"),
        ("orange-job", "yes"),
        ("released", "no"),
    ],
)
def test_whatever_speaks_against_it_ends_with_hands_off_and_a_call(at: str, answer: str) -> None:
    bench = Lines("high-voltage-first").walk(at, **NO)
    bench.type(answer)
    if bench.state is State.CONFIRM:
        bench.type("affirm reading")
    assert "ouch nothing" in bench.texts() or "call the fire brigade" in bench.texts()


def test_a_released_vehicle_is_still_left_alone_where_it_is_orange() -> None:
    bench = Lines("high-voltage-first").walk("released", **NO)
    bench.type("yes")
    assert "what is orange stays untouched" in bench.texts()


# --- ignition and injectors ---


def test_injectors_of_high_voltage_are_turned_away_before_anything_is_unplugged() -> None:
    bench = Lines("coil-or-injector")
    bench.type("affirm", "no")
    if bench.state is State.CONFIRM:
        bench.type("affirm reading")
    assert bench.session.finding == "boosted"
    assert asked_for(bench) == []


def test_the_danger_of_the_ignition_is_told_before_each_start() -> None:
    answers = {
        "intake_kind": "yes",
        "coil_feed": "bright",
        "swap_coil": "no",
        "swap_spark": "no",
        "trigger": "six point seven hertz",
        "injector_lamp": "bright",
        "injector_ohms": "fourteen ohms",
    }
    bench = Lines("coil-or-injector").walk("flashes", **answers)
    told = [o.name for o in bench.all if isinstance(o, CautionSpoken)]
    starts = asked_for(bench).count("key idle")
    assert starts >= 1
    assert told.count("ignition") > starts


@pytest.mark.parametrize("name", ["coil-or-injector", "one-wire-data", "engine-sensor"])
def test_no_test_lamp_is_held_to_a_wire_that_talks(name: str) -> None:
    talks = ("trigger", "line", "signal")
    for step in procedure(name).steps.values():
        if step.kind is Kind.LAMP:
            assert not any(word in step.text for word in talks), step.name


# --- a fuse that blows again ---


def test_no_fuse_is_asked_for_before_the_lamp_in_its_place_is_dark() -> None:
    short = {
        "rating": "yes",
        "live": "twelve point four volts",
        "fed": "bright",
        "before_switch": "bright",
        "without_switch": "bright",
    }
    bench = Lines("fuse-blows-again").walk("without-switch", **short)
    bench.type("bright", "affirm")
    assert bench.session.finding == "front-wire"
    bench.type("affirm")
    bench.walk("before-switch")
    assert "fuse in" not in asked_for(bench)
    bench.type("off")
    bench.walk("reverse-current")
    assert "fuse in" in asked_for(bench)


# --- what standards say ---

#: Pins of the trailer plug by ISO 11446 (from memory).
ISO_11446 = {
    "plug earth": "3",
    "right tail pin": "5",
    "stop pin": "6",
    "left tail pin": "7",
}
#: Terminals by DIN 72552 (from memory).
DIN_72552 = {
    "pin thirty": "30",
    "pin eighty-five": "85",
    "pin eighty-six": "86",
    "pin eighty-seven": "87",
}


@pytest.mark.parametrize(("name", "pins"), [("trailer-side", ISO_11446), ("no-crank", DIN_72552)])
def test_pins_have_the_numbers_of_their_standard(name: str, pins: dict[str, str]) -> None:
    found = {
        point.name: point.pin
        for step in procedure(name).steps.values()
        for point in step.points
        if point.name in pins
    }
    assert found == pins


@pytest.mark.parametrize(
    ("milliamps", "low", "high"),
    # An active sensor of two wires: 7 and 14 mA, each within 20 % (from memory).
    [("7", True, False), ("8", True, False), ("10", False, False), ("14", False, True)],
)
def test_a_wheel_sensor_speaks_low_or_high_and_never_between(
    milliamps: str, low: bool, high: bool
) -> None:
    steps = procedure("wheel-speed-sensor").steps
    for name, passes in (("low-current", low), ("high-current", high)):
        limit = steps[name].limit
        assert limit is not None
        assert limit.low is not None
        assert limit.high is not None
        least, most = (float(end.text.split()[0]) for end in (limit.low, limit.high))
        assert (least <= float(milliamps) <= most) is passes


# --- a wrong-way jump ---


def test_a_swollen_battery_ends_the_job_before_a_clamp_is_touched() -> None:
    bench = Lines("wrong-way-jump").walk("case-whole", hybrid="no")
    bench.type("no")
    if bench.state is State.CONFIRM:
        bench.type("affirm reading")
    assert bench.session.finding == "battery-out"
    assert "battery clamp off" not in asked_for(bench)

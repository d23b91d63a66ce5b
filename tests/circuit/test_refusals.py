"""A part that cannot be is refused in one sentence: its name, what it has, and what would do."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from circuit.small_circuits import (
    at_rest,
    bat,
    circuit,
    diode,
    lamp,
    motor,
    pulses,
    relay,
    res,
    switch,
)

from voiceassist.circuit import newton
from voiceassist.circuit.colours import COLOURS, colour
from voiceassist.circuit.drivers import Module, Regulator
from voiceassist.circuit.model import Circuit, Probe, Shows
from voiceassist.circuit.parts import LOADS, Fuse, Latch, Part, Plug, Potentiometer
from voiceassist.circuit.probe import shown
from voiceassist.circuit.solve import solved
from voiceassist.circuit.values import ByState
from voiceassist.errors import CircuitError

FUSE = Fuse(name="x", terminals={"from": "a", "to": "b"}, ampere=10.0, ohm=0.01)
LATCH = Latch(name="x", terminals={"from": "a", "to": "b"}, ampere=10.0, ohm=0.01)
POT = Potentiometer(
    name="x", terminals={"from": "a", "to": "b", "wiper": "c"}, ohm=1000.0, turned=0.5
)
REGULATOR = Regulator(name="x", terminals={"feed": "a", "earth": "0", "output": "b"}, volt=5.0)
MODULE = Module(
    name="x",
    terminals={"feed": "a", "earth": "0", "command": "c", "output": "b"},
    curve=((3.0, 1.0), (10.0, 0.0)),
)
RELAY = relay("x", ("a", "0"), "b", make="c")
SWITCH = switch("x", "a", "b", key="run")
ABOVE, LEAST = "a value above zero", "zero or more"
#: Part, its field, what that is called, and its unit; which of them may be zero.
FIELDS: list[tuple[Part, str, str, str, str]] = [
    (bat("x", "a", "0", 12.0), "volt", "a voltage", " V", LEAST),
    (bat("x", "a", "0", 12.0), "ohm", "an inner resistance", " Ω", LEAST),
    (res("x", "a", "b", 1.0), "ohm", "a resistance", " Ω", LEAST),
    (FUSE, "ampere", "a rating", " A", ABOVE),
    (FUSE, "ohm", "a resistance", " Ω", LEAST),
    (LATCH, "ampere", "a current", " A", ABOVE),
    (LATCH, "ohm", "a resistance", " Ω", LEAST),
    (SWITCH, "ohm", "a resistance", " Ω", LEAST),
    (SWITCH, "lapses_s", "a time to lapse after", " s", ABOVE),
    (RELAY, "coil_ohm", "a coil", " Ω", ABOVE),
    (RELAY, "drop_out", "a drop-out voltage", " V", ABOVE),
    (RELAY, "ohm", "a contact resistance", " Ω", LEAST),
    (lamp("x", "a", "b"), "watt", "a power", " W", ABOVE),
    (lamp("x", "a", "b"), "volt", "a rated voltage", " V", ABOVE),
    (motor("x", "a", "b"), "volt", "a rated voltage", " V", ABOVE),
    (motor("x", "a", "b"), "ampere", "a rated current", " A", ABOVE),
    (motor("x", "a", "b"), "ohm", "a winding resistance", " Ω", ABOVE),
    (POT, "ohm", "a resistance", " Ω", ABOVE),
    (diode("x", "a", "b"), "volt", "a forward voltage", " V", ABOVE),
    (diode("x", "a", "b"), "ampere", "a forward current", " A", ABOVE),
    (diode("x", "a", "b"), "ideality", "an ideality", "", ABOVE),
    (pulses("x", "a", "b", 0.5), "volt", "a voltage", " V", LEAST),
    (pulses("x", "a", "b", 0.5), "hertz", "a frequency", " Hz", ABOVE),
    (pulses("x", "a", "b", 0.5), "ohm", "an inner resistance", " Ω", LEAST),
    (MODULE, "ohm", "an output resistance", " Ω", ABOVE),
    (MODULE, "hertz", "a frequency", " Hz", LEAST),
    (MODULE, "own_ohm", "a draw", " Ω", ABOVE),
    (MODULE, "pull_up", "a pull-up", " Ω", ABOVE),
    (MODULE, "pull_down", "a pull-down", " Ω", ABOVE),
    (REGULATOR, "volt", "a voltage", " V", ABOVE),
    (REGULATOR, "ohm", "an output resistance", " Ω", ABOVE),
    (REGULATOR, "limit", "a current limit", " A", ABOVE),
    (REGULATOR, "own_ohm", "a draw", " Ω", ABOVE),
]


def having(part: Part, field: str, value: float) -> Part:
    """``part`` with another value."""
    changed: dict[str, Any] = {field: value}
    return replace(part, **changed)


def refusal(make: Callable[[], object]) -> str:
    with pytest.raises(CircuitError) as refused:
        make()
    return str(refused.value)


@pytest.mark.parametrize(("part", "field", "what", "unit", "least"), FIELDS)
def test_a_value_that_a_part_cannot_have_is_refused(
    part: Part, field: str, what: str, unit: str, least: str
) -> None:
    told = refusal(lambda: having(part, field, -1.0))
    assert told == f"'x' cannot have {what} of -1{unit}; give {least}"
    if least == ABOVE:
        told = refusal(lambda: having(part, field, 0.0))
        assert told == f"'x' cannot have {what} of 0{unit}; give {least}"
    else:
        assert getattr(having(part, field, 0.0), field) == 0


@pytest.mark.parametrize("turned", [-0.1, 1.1])
def test_a_setting_is_a_share(turned: float) -> None:
    told = refusal(lambda: replace(POT, turned=turned))
    assert told == f"'x' cannot have a setting of {turned * 100:g} %; give 0 % to 100 %"


def test_a_tolerance_is_a_share() -> None:
    told = refusal(lambda: replace(FUSE, tolerance=1.5))
    assert told == "'x' cannot have a tolerance of 150 %; give 0 % to 100 %"


def test_a_motor_turns_what_a_motor_can() -> None:
    told = refusal(lambda: motor("x", "a", "b", "lift"))
    assert told == f"'x' cannot turn 'lift'; use {' or '.join(LOADS)}"


def test_a_plug_has_no_resistance_below_zero() -> None:
    told = refusal(lambda: Plug(name="x", pins=("a",), closed_when={}, ohm=-1.0))
    assert told == "'x' cannot have a pin resistance of -1 Ω; give zero or more"


@pytest.mark.parametrize("written", ["", "B", "XX", "BNXX", "XXBN", "BNGNYE", "bn"])
def test_what_is_no_colour_of_a_wire_is_refused_with_those_that_are(written: str) -> None:
    assert refusal(lambda: colour(written)) == (
        f"{written!r} is not a wire colour; use one or two of {', '.join(COLOURS)}, "
        "such as BN or GNYE"
    )


@pytest.mark.parametrize("written", ["BN", "GNYE"])
def test_a_colour_and_one_with_a_stripe_are_taken(written: str) -> None:
    assert colour(written) == written


# --- what cannot be solved, or is not there ---

FEED = bat("battery", "a", "0", 12.0)


@pytest.mark.parametrize(
    ("act", "told"),
    [
        (
            lambda: at_rest(FEED, relay("horn relay", ("z", "0"), "a", rest="z")),
            "'horn relay' chatters: it pulls in, takes its own voltage away, and drops out again; "
            "feed its coil before the joint that its load flows through",
        ),
        (
            lambda: at_rest(FEED, res("r", "x", "y", 1.0)).voltage("x"),
            "no voltage can be found at 'x': nothing joins it to '0'; "
            "close the circuit, or put a meter between them",
        ),
        (
            lambda: at_rest(FEED, res("r", "x", "y", 1.0)).between("a", "y"),
            "no voltage can be found at 'y': nothing joins it to 'a'; "
            "close the circuit, or put a meter between them",
        ),
        (lambda: at_rest(FEED).current("fan"), "there is no part 'fan'; use a name under 'parts:'"),
        (lambda: at_rest(FEED).current("battery", "wiper"), "'battery' has no terminal 'wiper'"),
        (
            lambda: at_rest(FEED, bat("other", "a", "0", 11.0)),
            "'other' closes a loop without any resistance (of battery, other); "
            "give one of them a resistance",
        ),
        (
            lambda: at_rest(FEED, res("r", "a", "0", ByState("air", {"cold": 1.0, "warm": 2.0}))),
            "no value is known with 'air' in no state; set it to one of cold, warm",
        ),
        (
            lambda: solved(
                circuit(FEED, res("r", "a", "0", ByState("air", {"cold": 1.0}))), {"air": "hot"}
            ),
            "no value is known with 'air' hot; set it to one of cold",
        ),
        (
            lambda: Circuit(parts={"battery": FEED}, earth="frame"),
            "nothing is joined to the earth node 'frame'; join a part to it",
        ),
        (
            lambda: shown(circuit(FEED), {}, Probe(Shows.CURRENT, through="a")),
            "the current at 'a' cannot be found: it is neither a part nor a pin of a plug; "
            "name the wire or part that carries it",
        ),
        (
            lambda: shown(circuit(FEED), {}, Probe(Shows.VOLTAGE, "x", "0")),
            "there is no node 'x' in this circuit",
        ),
        (
            lambda: replace(FUSE, terminals={"from": "a"}),
            "'x' does not name its terminal 'to'; add 'to:' with the node it is joined to",
        ),
        (
            lambda: replace(FUSE, terminals={"from": "a", "to": "b", "wiper": "c"}),
            "'x' has no terminal 'wiper'; use from, to",
        ),
        (
            lambda: replace(RELAY, drop_out=8.0),
            "'x' drops out at 8 V, above its pull-in voltage of 7 V; "
            "give a drop-out below the pull-in",
        ),
        (
            lambda: replace(MODULE, curve=((3.0, 1.0), (3.0, 0.0))),
            "'x' needs commands that rise, each with its output; "
            "write it like {2 V: 100 %, 10 V: 0 %}",
        ),
        (
            lambda: replace(MODULE, curve=()),
            "'x' needs commands that rise, each with its output; "
            "write it like {2 V: 100 %, 10 V: 0 %}",
        ),
        (
            lambda: replace(MODULE, curve=((3.0, 1.2),)),
            "'x' cannot have an output of 120 %; give 0 % to 100 %",
        ),
        (
            lambda: at_rest(FEED, replace(motor("x", "a", "0"), ohm=2.0)),
            "'x' cannot take 7 A at 12 V through 2 Ω; give a smaller winding resistance or current",
        ),
        (
            lambda: replace(MODULE, side="left"),
            "'x' cannot switch the 'left' side; use high or low",
        ),
    ],
)
def test_what_cannot_be_is_told_in_one_sentence(act: Callable[[], object], told: str) -> None:
    assert refusal(act) == told


def test_currents_that_do_not_settle_are_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(newton, "_ROUNDS", 0)
    told = refusal(lambda: at_rest(FEED, lamp("L", "a", "0")))
    assert told == "the currents of this circuit do not settle; check the values of its parts"


def test_an_ohmmeter_on_a_live_circuit_tells_the_voltage_that_stands_there() -> None:
    across = Probe(Shows.RESISTANCE, "a", "0")
    live = shown(circuit(bat("b", "a", "0", 12.3456, 1.0)), {}, across)
    assert live.invalid == "12.3 V stand between the points; switch the power off"


def test_a_sort_of_resistance_that_is_none_is_a_slip_of_the_program() -> None:
    with pytest.raises(ValueError, match=r"^fuse is no sort of resistance$"):
        replace(res("r", "a", "0", 1.0), sort="fuse")

"""What becomes of each kind of part: as told in full, and as the help of its keys says else."""

from math import inf
from typing import Any

import pytest
from circuit.blamed import Blamed, Told, reader

from voiceassist.circuit.drivers import Module, Regulator
from voiceassist.circuit.parts import (
    Battery,
    Bulb,
    Diode,
    Fuse,
    Latch,
    Motor,
    Part,
    Plug,
    Potentiometer,
    Pulses,
    Relay,
    Resistor,
    Switch,
)
from voiceassist.circuit.read_parts import part_at
from voiceassist.circuit.shape import PartShape
from voiceassist.circuit.values import ByState

HERE = ("circuit", "parts", "it")
ENDS = {"from": "a", "to": "b"}
POWERED = {"feed": "a", "earth": "0", "output": "b"}
COIL = {"pin-86": "c", "pin-85": "0", "pin-30": "a"}
RUN = {"key": frozenset(["run"])}
PLUGS = {"socket": Plug("socket", ("b", "s"), RUN)}


def read(given: dict[str, Any], *seen: str) -> tuple[Part | None, Told]:
    blame = Blamed(*given, *seen)
    made = part_at(HERE, PartShape.model_validate(given), PLUGS, 0.05, reader(blame))
    return made, blame.told


def good(given: dict[str, Any]) -> Part:
    made, told = read(given)
    assert told == []
    assert made is not None
    return made


def usual(terminals: dict[str, str]) -> dict[str, Any]:
    """What every part has that tells nothing of its own."""
    return {"name": "it", "terminals": terminals, "tolerance": 0.05, "label": "", "at": None}


@pytest.mark.parametrize(
    ("given", "part"),
    [
        ({"battery": "12.6 V"} | ENDS, Battery(**usual(ENDS), volt=12.6, ohm=0.0)),
        ({"fuse": "20 A"} | ENDS, Fuse(**usual(ENDS), ampere=20.0, ohm=0.005)),  # 0.1 V at 20 A
        (
            {"switch": {"key": ["run"]}} | ENDS,
            Switch(**usual(ENDS), closed_when=RUN, ohm=0.005, lapses_s=None),
        ),
        ({"latch": "8 A"} | ENDS, Latch(**usual(ENDS), ampere=8.0, ohm=0.005)),
        (
            {"relay": "85 Ω"} | COIL,
            Relay(**usual(COIL), coil_ohm=85.0, pull_in=7.0, drop_out=2.5, ohm=0.01),
        ),
        ({"joint": "3 mΩ"} | ENDS, Resistor(**usual(ENDS), ohm=0.003, sort="joint")),
        ({"resistor": "3 kΩ"} | ENDS, Resistor(**usual(ENDS), ohm=3e3, sort="resistor")),
        ({"leak": "1 MΩ"} | ENDS, Resistor(**usual(ENDS), ohm=1e6, sort="leak")),
        ({"termination": "120 Ω"} | ENDS, Resistor(**usual(ENDS), ohm=120.0, sort="termination")),
        ({"lamp": "5 W"} | ENDS, Bulb(**usual(ENDS), watt=5.0, volt=12.0)),
        (
            {"motor": "4 A"} | ENDS,  # standing it takes five times its current
            Motor(**usual(ENDS), volt=12.0, ampere=4.0, ohm=12 / 20, load="fan"),
        ),
        (
            {"potentiometer": "10 kΩ", "turned": "30 %", "wiper": "w"} | ENDS,
            Potentiometer(**usual(ENDS | {"wiper": "w"}), ohm=1e4, turned=0.3),
        ),
        ({"diode": "0.7 V"} | ENDS, Diode(**usual(ENDS), volt=0.7, ampere=1.0, ideality=1.0)),
        (
            {"module": {"10 V": "100 %", "2 V": "0 %"}, "command": "c"} | POWERED,
            Module(
                **usual(POWERED | {"command": "c"}), curve=((2.0, 0.0), (10.0, 1.0)), side="high",
                hertz=0.0, ohm=0.05, own_ohm=1000.0, pull_up=inf, pull_down=100e3,
            ),
        ),
        (
            {"regulator": "5 V"} | POWERED,
            Regulator(**usual(POWERED), volt=5.0, ohm=1.0, limit=0.1, own_ohm=1000.0),
        ),
        (
            {"pulses": "12 V", "frequency": "400 Hz", "duty": "25 %"} | ENDS,
            Pulses(**usual(ENDS), volt=12.0, hertz=400.0, duty=0.25, ohm=0.0),
        ),
    ],
    ids=lambda value: "" if isinstance(value, dict) else value.kind,
)  # fmt: skip
def test_a_part_has_what_is_usual_where_nothing_else_is_told(
    given: dict[str, Any], part: Part
) -> None:
    assert good(given) == part


OWN = {"tolerance": "10 %", "label": "M1", "at": [3, 4.5]}


def told(terminals: dict[str, str]) -> dict[str, Any]:
    return {
        "name": "it", "terminals": terminals, "tolerance": 0.1, "label": "M1", "at": (3.0, 4.5)
    }  # fmt: skip


@pytest.mark.parametrize(
    ("given", "part"),
    [
        (
            {"battery": "12.6 V", "inner-resistance": "20 mΩ"} | ENDS,
            Battery(**told(ENDS), volt=12.6, ohm=0.02),
        ),
        (
            {"fuse": "20 A", "resistance": "3 mΩ"} | ENDS,
            Fuse(**told(ENDS), ampere=20.0, ohm=0.003),
        ),
        (
            {"switch": {"key": "run"}, "resistance": "2 mΩ", "lapses-after": "10 min"} | ENDS,
            Switch(**told(ENDS), closed_when=RUN, ohm=0.002, lapses_s=600.0),
        ),
        (
            {"latch": "8 A", "resistance": "2 mΩ"} | ENDS,
            Latch(**told(ENDS), ampere=8.0, ohm=0.002),
        ),
        (
            {"relay": "85 Ω", "pull-in": "8 V", "drop-out": "3 V", "resistance": "5 mΩ",
             "pin-87": "m", "pin-87a": "r"} | COIL,
            Relay(
                **told(COIL | {"pin-87": "m", "pin-87a": "r"}),
                coil_ohm=85.0, pull_in=8.0, drop_out=3.0, ohm=0.005,
            ),
        ),
        (
            {"lamp": {"by": "key", "table": {"off": "5 W", "run": "21 W"}}, "voltage": "24 V"}
            | ENDS,
            Bulb(**told(ENDS), watt=ByState("key", {"off": 5.0, "run": 21.0}), volt=24.0),
        ),
        (
            {"motor": "4 A", "voltage": "24 V", "resistance": "0.5 Ω", "load": "friction"} | ENDS,
            Motor(**told(ENDS), volt=24.0, ampere=4.0, ohm=0.5, load="friction"),
        ),
        (
            {"diode": "0.4 V", "current": "2 A", "ideality": "1.8"} | ENDS,
            Diode(**told(ENDS), volt=0.4, ampere=2.0, ideality=1.8),
        ),
        (
            {"module": {"2 V": "40 %"}, "command": "c", "side": "low", "frequency": "200 Hz",
             "output-resistance": "20 mΩ", "own-resistance": "3 kΩ", "pull-up": "5 kΩ",
             "pull-down": "50 kΩ"} | POWERED,
            Module(
                **told(POWERED | {"command": "c"}), curve=((2.0, 0.4),), side="low", hertz=200.0,
                ohm=0.02, own_ohm=3e3, pull_up=5e3, pull_down=50e3,
            ),
        ),
        (
            {"module": {"2 V": "40 %"}, "pull-up": "5 kΩ"} | POWERED,
            Module(**told(POWERED), curve=((2.0, 0.4),), pull_up=5e3, pull_down=inf),
        ),
        (
            {"regulator": "5 V", "output-resistance": "2 Ω", "own-resistance": "3 kΩ",
             "current": "50 mA"} | POWERED,
            Regulator(**told(POWERED), volt=5.0, ohm=2.0, limit=0.05, own_ohm=3e3),
        ),
        (
            {"pulses": "12 V", "frequency": "400 Hz", "duty": "25 %", "inner-resistance": "10 Ω"}
            | ENDS,
            Pulses(**told(ENDS), volt=12.0, hertz=400.0, duty=0.25, ohm=10.0),
        ),
    ],
    ids=lambda value: "" if isinstance(value, dict) else value.kind,
)  # fmt: skip
def test_a_part_has_what_is_told_of_it(given: dict[str, Any], part: Part) -> None:
    assert good(given | OWN) == part


@pytest.mark.parametrize(
    ("more", "ohm", "size", "colour", "drawn"),
    [
        # IEC 60228 class 5: 13.3 Ω/km at 20 °C; 1.255 times that at 85 °C (IEC 60228 annex)
        ({"size": "1.5 mm²"}, 6 * 13.3e-3, "1.5 mm²", "", "1.5\u00a0mm², 6\u00a0m"),
        ({"size": "1.5 mm²", "temperature": "85 °C"}, 0.1002, "1.5 mm²", "", None),
        ({"size": "AWG 14", "colour": "BN"}, 6 * 8.28e-3, "AWG 14", "BN",
         "BN AWG\u00a014, 6\u00a0m"),  # 8.28 Ω/km: ASTM B258 and IEC 60028
    ],
)  # fmt: skip
def test_a_wire_is_as_long_thick_and_coloured_as_told(
    more: dict[str, Any], ohm: float, size: str, colour: str, drawn: str | None
) -> None:
    wire = good({"wire": "6 m"} | ENDS | more)
    assert isinstance(wire, Resistor)
    assert wire.ohm == pytest.approx(ohm, rel=2e-3)
    assert (wire.sort, wire.size, wire.colour, wire.tolerance) == ("wire", size, colour, 0.05)
    assert drawn is None or wire.drawn == drawn


def test_what_sits_behind_a_plug_is_joined_to_the_far_side_of_its_pins() -> None:
    lamp = good({"lamp": "5 W", "behind": "socket"} | ENDS)
    assert lamp.terminals == {"from": "a", "to": "b behind socket"}


# --- what is wrong is told, once ---


@pytest.mark.parametrize(
    ("given", "path", "message"),
    [
        ({"fuse": "ten"} | ENDS, "fuse", "'ten' is not a number with a unit; write it like 8.4 A"),
        ({"module": {"2 V": "0 %", "10 V": "100 %"}} | POWERED, "",
         "a module with a curve needs 'command'; add it"),
        ({"joint": "1 Ω", "at": [1]} | ENDS, "at",
         "a place in a drawing is two numbers, such as [3, 2]"),
        ({"diode": "0.7 V", "ideality": "much"} | ENDS, "ideality",
         "'much' is no ideality; write a number from 1 to 2"),
        ({"wire": "2 m", "size": "1.5 mm²", "colour": "brown"} | ENDS, "colour",
         "'brown' is not a wire colour; use one or two of BK, BN, RD, OG, YE, GN, BU, VT, GY, WH, "
         "PK, TQ, such as BN or GNYE"),
        ({"lamp": "5 W", "behind": "sokket"} | ENDS, "behind",
         "there is no plug 'sokket'; not sokket, known: socket"),
        ({"lamp": "5 W", "behind": "socket", "from": "c", "to": "d"}, "behind",
         "no terminal of it is a pin of 'socket'; its pins are b, s"),
        ({"joint": "1 Ω", "size": "2 mm²"} | ENDS, "size",
         "'size' has no effect in a joint; take it out"),
        ({"wire": "2 m"} | ENDS, "", "a wire needs 'size'; add it"),
        ({"pulses": "12 V", "frequency": "1 Hz"} | ENDS, "", "a pulses needs 'duty'; add it"),
        ({"joint": "1 Ω", "leak": "1 Ω"} | ENDS, "",
         "a part has one of battery, fuse, switch, relay, wire, joint, resistor, leak, "
         "termination, lamp, motor, potentiometer, diode, module, regulator, pulses, latch; "
         "found joint and leak"),
        (ENDS, "",
         "a part has one of battery, fuse, switch, relay, wire, joint, resistor, leak, "
         "termination, lamp, motor, potentiometer, diode, module, regulator, pulses, latch; "
         "found none of them"),
        ({"joint": "1 V"} | ENDS, "joint", "1 V is a voltage; give a resistance"),
        ({"joint": "-1 Ω"} | ENDS, "joint", "-1 Ω is below zero; give zero or more, up to 1e+15"),
        ({"joint": "9999999999999999 Ω"} | ENDS, "joint",
         "9999999999999999 Ω is too large for a part; give zero or more, up to 1e+15"),
        ({"joint": "1 Ω", "from": "a"}, "",
         "'it' does not name its terminal 'to'; add 'to:' with the node it is joined to"),
        ({"switch": {"kay": ["run"]}} | ENDS, "switch/kay",
         "there is no condition 'kay'; not kay, known: key plug"),
        ({"switch": {"key": ["on"]}} | ENDS, "switch/key",
         "there is no state of 'key' 'on'; not on, known: off run"),
        ({"leak": {"by": "kay", "table": {"off": "1 Ω"}}} | ENDS, "leak/by",
         "there is no condition 'kay'; not kay, known: key plug"),
        ({"leak": {"by": "key", "table": {"off": "1 Ω"}}} | ENDS, "leak/table",
         "the state 'run' has no value; add it"),
        ({"leak": {"by": "key", "table": {"off": "1 Ω", "run": "2 V"}}} | ENDS, "leak/table/run",
         "2 V is a voltage; give a resistance"),
    ],
)  # fmt: skip
def test_what_is_wrong_with_a_part_is_told_once_in_full_with_its_place(
    given: dict[str, Any], path: str, message: str
) -> None:
    _, found = read(given)
    place = (*HERE, *path.split("/")) if path else HERE
    assert found == [(place, message)]


def test_a_key_that_stands_there_and_cannot_be_used_is_not_missed_too() -> None:
    assert read({"wire": "2 m"} | ENDS, "size")[1] == []
    assert read(dict(ENDS), "wire") == (None, [])


@pytest.mark.parametrize(
    "given",
    [
        {"battery": "1 A"} | ENDS,
        {"battery": "12 V", "inner-resistance": "1 A"} | ENDS,
        {"fuse": "1 V"} | ENDS,
        {"fuse": "20 A", "resistance": "1 V"} | ENDS,
        {"latch": "1 V"} | ENDS,
        {"relay": "1 V"} | COIL,
        {"relay": "85 Ω", "pull-in": "1 A"} | COIL,
        {"relay": "85 Ω", "drop-out": "1 A"} | COIL,
        {"relay": "85 Ω", "resistance": "1 A"} | COIL,
        {"leak": "1 V"} | ENDS,
        {"wire": "1 V", "size": "1.5 mm²"} | ENDS,
        {"wire": "1 m", "size": "much"} | ENDS,
        {"wire": "1 m", "size": "1.6 mm²"} | ENDS,
        {"wire": "1 m", "size": "1.5 mm²", "temperature": "hot"} | ENDS,
        {"wire": "1 m", "size": "1.5 mm²", "colour": "brown"} | ENDS,
        {"lamp": "1 V"} | ENDS,
        {"lamp": "5 W", "voltage": "1 A"} | ENDS,
        {"motor": "1 V"} | ENDS,
        {"motor": "4 A", "voltage": "1 A"} | ENDS,
        {"motor": "4 A", "resistance": "1 A"} | ENDS,
        {"potentiometer": "1 V", "turned": "1 %", "wiper": "w"} | ENDS,
        {"potentiometer": "1 Ω", "turned": "1 V", "wiper": "w"} | ENDS,
        {"diode": "1 A"} | ENDS,
        {"diode": "0.7 V", "current": "1 V"} | ENDS,
        {"diode": "0.7 V", "ideality": "1.8x"} | ENDS,
        {"diode": "0.7 V", "ideality": "18"} | ENDS,
        {"module": {"1 A": "0 %"}, "command": "c"} | POWERED,
        {"module": {"1 V": "1 V"}, "command": "c"} | POWERED,
        {"module": {"1 V": "1 %"}, "frequency": "1 V"} | POWERED,
        {"module": {"1 V": "1 %"}, "output-resistance": "1 V"} | POWERED,
        {"module": {"1 V": "1 %"}, "own-resistance": "1 V"} | POWERED,
        {"module": {"1 V": "1 %"}, "pull-up": "1 V"} | POWERED,
        {"module": {"1 V": "1 %"}, "pull-down": "1 V"} | POWERED,
        {"regulator": "1 A"} | POWERED,
        {"regulator": "5 V", "current": "1 V"} | POWERED,
        {"regulator": "5 V", "output-resistance": "1 V"} | POWERED,
        {"regulator": "5 V", "own-resistance": "1 V"} | POWERED,
        {"pulses": "1 A", "frequency": "1 Hz", "duty": "1 %"} | ENDS,
        {"pulses": "1 V", "frequency": "1 A", "duty": "1 %"} | ENDS,
        {"pulses": "1 V", "frequency": "1 Hz", "duty": "1 A"} | ENDS,
        {"pulses": "1 V", "frequency": "1 Hz", "duty": "1 %", "inner-resistance": "1 A"} | ENDS,
        {"leak": "1 Ω", "tolerance": "1 V"} | ENDS,
    ],
    ids=str,
)  # fmt: skip
def test_of_a_part_with_one_slip_that_slip_alone_is_told(given: dict[str, Any]) -> None:
    """Something else stands in for what cannot be used, so that nothing more is blamed."""
    made, found = read(given)
    assert len(found) == 1, found
    assert made is not None

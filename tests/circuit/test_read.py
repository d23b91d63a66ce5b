"""Circuits and faults as files tell them, and every slip named with its line."""

import re
import subprocess
import sys
from pathlib import Path
from textwrap import dedent

import pytest
from pydantic import BaseModel

from voiceassist.circuit.model import Circuit, Shows
from voiceassist.circuit.parts import Motor, Resistor, Switch
from voiceassist.circuit.shape import (
    CircuitShape,
    FaultShape,
    InstrumentsShape,
    PartShape,
    PlugShape,
)
from voiceassist.circuit.solve import solved
from voiceassist.circuit.values import ByState
from voiceassist.procedure.model import Procedure
from voiceassist.procedure.read import inspect, read_procedure

WRITING = (Path(__file__).parents[2] / "procedures" / "WRITING.md").read_text(encoding="utf-8")
STEPS = """\
procedure: small
title: Lamp does not light
for: an invented trailer
points: {lamp feed: the brown wire}
conditions:
  lights: {on: switch the lights on, off: switch the lights off}
  lamp plug: {out: unplug the lamp, in: plug the lamp in}
steps:
  supply:
    measure: voltage at the lamp feed
    needs: {lights: on}
    accept: 12.0 V to 12.9 V
    fail: weak
  glow:
    lamp: from the lamp feed to the frame
    fail: weak
  looks:
    ask: is the glass black
    answers: {yes: weak, no: fine}
findings:
  weak: {cause: no supply, correction: mend it}
  fine: {cause: nothing found, correction: none}
"""
CIRCUIT = """\
circuit:
  at-first: {lights: off, lamp plug: in}
  tolerance: 5 %
  parts:
    battery: {battery: 12.6 V, inner-resistance: 20 mΩ, from: post, to: frame}
    fuse: {fuse: 10 A, from: post, to: fuse out}
    light switch: {switch: {lights: [on]}, from: fuse out, to: switched}
    wire: {wire: 6 m, size: 1.5 mm², temperature: 85 °C, from: switched, to: lamp feed}
    side lamp: {lamp: 5 W, from: lamp feed, to: frame, behind: lamp plug, tolerance: 10 %}
    air: {resistor: {by: lights, table: {on: 1 kΩ, off: 2 kΩ}}, from: switched, to: frame}
  plugs:
    lamp plug: {pins: [lamp feed], closed-when: {lamp plug: in}}
  points: {posts: [post, frame]}
  instruments: {lamp: 5 W, voltmeter: 1 MΩ}
  answers: {looks: no}
faults:
  open-wire: {open: wire, found-as: weak, likely: 20 %}
  bad-joint: {high-resistance: fuse, terminal: to, value: 2 Ω to 50 Ω, found-as: [weak, fine]}
  black: {open: side lamp, found-as: weak, answers: {looks: yes}}
"""
WHOLE = STEPS + CIRCUIT


def good(text: str = WHOLE) -> Procedure:
    procedure, found = inspect(text)
    assert [str(fault) for fault in found] == []
    assert procedure is not None
    return procedure


def circuit(text: str = WHOLE) -> Circuit:
    found = good(text).circuit
    assert found is not None
    return found


def told(old: str, new: str) -> list[str]:
    assert WHOLE.count(old) == 1, old
    procedure, found = inspect(WHOLE.replace(old, new))
    assert procedure is None
    return [str(fault) for fault in found]


def with_part(line: str) -> str:
    """The whole with one more part."""
    return WHOLE.replace("  plugs:\n", f"    more: {line}\n  plugs:\n")


def part_told(line: str) -> list[str]:
    procedure, found = inspect(with_part(line))
    assert procedure is None
    return [str(fault) for fault in found]


def test_a_circuit_is_read_whole() -> None:
    found = circuit()
    assert list(found.parts) == ["battery", "fuse", "light switch", "wire", "side lamp", "air"]
    assert (found.earth, found.supply) == ("frame", "post")
    switch, air = found.parts["light switch"], found.parts["air"]
    assert isinstance(switch, Switch)
    assert switch.closed_when == {"lights": {"on"}}
    assert isinstance(air, Resistor)
    assert air.ohm == ByState("lights", {"on": 1e3, "off": 2e3})
    assert found.parts["side lamp"].terminals["from"] == "lamp feed behind lamp plug"
    assert (found.parts["wire"].tolerance, found.parts["side lamp"].tolerance) == (0.05, 0.1)
    assert (found.instruments.lamp_watt, found.instruments.voltmeter_ohm) == (5.0, 1e6)
    assert found.points == {"posts": ("post", "frame")}
    assert {name: probe.shows for name, probe in found.probes.items()} == {
        "supply": Shows.VOLTAGE,
        "glow": Shows.LAMP,
    }


def test_a_wire_has_the_resistance_of_its_copper() -> None:
    wire = circuit().parts["wire"]
    assert isinstance(wire, Resistor)
    # IEC 60228 class 5: 13.3 Ω/km at 20 °C, 1.255 times that at 85 °C; 10 A drop 1.002 V
    assert wire.ohm == pytest.approx(0.1002, abs=1e-4)
    gauge = circuit(WHOLE.replace("size: 1.5 mm², temperature: 85 °C", "size: AWG 14"))
    # 8.28 Ω/km at 20 °C: ASTM B258 and IEC 60028
    assert gauge.parts["wire"].ohm == pytest.approx(6 * 8.28e-3, rel=2e-3)  # type: ignore[attr-defined]


def test_its_conditions_work() -> None:
    found = circuit()
    assert solved(found, {}).voltage("lamp feed") == 0
    assert solved(found, {"lights": "on"}).voltage("lamp feed") == pytest.approx(12.5, abs=0.1)
    on = solved(found, {"lights": "on", "lamp plug": "out"})
    assert on.voltage("lamp feed") == pytest.approx(12.6, abs=0.01)


def test_faults_are_read() -> None:
    faults = good().faults
    assert list(faults) == ["open-wire", "bad-joint", "black"]
    assert (faults["open-wire"].likely, faults["black"].likely) == (0.2, 0.01)
    assert faults["bad-joint"].size == (2.0, 50.0)
    assert faults["bad-joint"].found_as == ("weak", "fine")
    assert faults["black"].answers == {"looks": "yes"}


def test_a_procedure_without_a_circuit_has_none() -> None:
    procedure = good(STEPS)
    assert procedure.circuit is None
    assert not procedure.faults


@pytest.mark.parametrize(
    "line",
    [
        "{relay: 85 Ω, pin-86: post, pin-85: frame, pin-30: post, pin-87: horn}\n"
        "    horn: {resistor: 3 Ω, from: horn, to: frame}",
        "{motor: 4 A, resistance: 0.5 Ω, load: friction, from: switched, to: frame}",
        "{potentiometer: 10 kΩ, turned: 30 %, from: post, wiper: w, to: frame}\n"
        "    sink: {leak: 1 MΩ, from: w, to: frame}",
        "{diode: 0.7 V, current: 1 A, ideality: 1.8, from: frame, to: switched}",
        "{module: {2 V: 0 %, 10 V: 100 %}, feed: post, earth: frame, command: switched, "
        "output: fan}\n    fan: {motor: 5 A, from: fan, to: frame, at: [3, 4.5], label: M1}",
        "{regulator: 5 V, feed: post, earth: frame, output: five}\n"
        "    sensor: {resistor: 1 kΩ, from: five, to: frame}",
        "{pulses: 12 V, frequency: 400 Hz, duty: {by: lights, table: {on: 25 %, off: 0 %}}, "
        "inner-resistance: 10 Ω, from: p, to: frame}\n"
        "    end: {termination: 120 Ω, from: p, to: frame}",
        "{joint: 3 mΩ, from: post, to: j}\n    other: {joint: 0.2 Ω, from: j, to: switched}",
    ],
)
def test_each_kind_of_part_can_be_written(line: str) -> None:
    assert "more" in circuit(with_part(line)).parts


def test_a_motor_told_by_its_current_alone_stalls_at_five_times_that() -> None:
    found = circuit(with_part("{motor: 4 A, from: switched, to: frame}"))
    motor = found.parts["more"]
    assert isinstance(motor, Motor)
    assert motor.ohm == pytest.approx(12 / 20)


def test_a_regulator_holds_its_voltage_until_it_is_shorted() -> None:
    text = with_part(
        "{regulator: 5 V, feed: post, earth: frame, output: five}\n"
        "    sensor: {resistor: {by: lights, table: {on: 5 kΩ, off: 1 Ω}}, from: five, to: frame}"
    )
    found = circuit(text)
    assert solved(found, {"lights": "on"}).voltage("five") == pytest.approx(5.0, abs=0.01)
    assert solved(found, {"lights": "off"}).voltage("five") == pytest.approx(0.1, abs=0.01)


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (
            "to: fuse out}",
            "to: fuse owt}",
            "line 28, circuit.parts.fuse.to: the node 'fuse owt' leads nowhere, only 'fuse' is "
            "joined to it; did you mean 'fuse out'?",
        ),
        (
            "inner-resistance: 20 mΩ",
            "inner-resistance: -20 mΩ",
            "line 27, circuit.parts.battery.inner-resistance: -20 mΩ is below zero; give zero or",
        ),
        (
            "fuse: 10 A",
            "fuse: 10 V",
            "line 28, circuit.parts.fuse.fuse: 10 V is a voltage; give a current",
        ),
        (
            "fuse: 10 A",
            "fuse: ten",
            "line 28, circuit.parts.fuse.fuse: 'ten' is not a number with a unit",
        ),
        ("fuse: 10 A", "fuse: 0 A", "'fuse' cannot have a rating of 0 A; give a value above zero"),
        ("fuse: 10 A", "fuze: 10 A", "circuit.parts.fuse.fuze: 'fuze' is not a key here; did you"),
        (
            "size: 1.5 mm²",
            "size: 1.6 mm²",
            "line 30, circuit.parts.wire.size: 1.6 mm² is not a size of flexible wire; use one of",
        ),
        ("size: 1.5 mm², ", "", "line 30, circuit.parts.wire: a wire needs 'size'; add it"),
        (
            "behind: lamp plug",
            "behind: lamp plgu",
            "line 31, circuit.parts.side lamp.behind: there is no plug 'lamp plgu'; did you mean",
        ),
        ("pins: [lamp feed]", "pins: [post]", "no terminal of it is a pin of 'lamp plug'"),
        ("{switch: {lights: [on]}", "{switch: {light: [on]}", "there is no condition 'light'; did"),
        (
            "{switch: {lights: [on]}",
            "{switch: {lights: [no]}",
            "no state of 'lights' 'no'; known here: on",
        ),
        ("on: 1 kΩ, off: 2 kΩ", "on: 1 kΩ", "the state 'off' has no value; add it"),
        ("on: 1 kΩ, off", "in: 1 kΩ, off", "there is no state of 'lights' 'in'"),
        ("resistor: {by:", "resistor: {bi:", "'bi' is not a key here; known here: by, table"),
        (
            "at-first: {lights: off, ",
            "at-first: {",
            "line 24, circuit.at-first: the circuit follows 'lights'; tell its state as the",
        ),
        ("at-first: {lights: off", "at-first: {lights: dim", "no state of 'lights' 'dim'"),
        ("tolerance: 5 %", "tolerance: 5 V", "circuit.tolerance: 5 V is a voltage; give a ratio"),
        (
            "posts: [post, frame]",
            "posts: [post, frmae]",
            "circuit.points.posts: there is no node 'frmae'; did you mean",
        ),
        ("instruments: {lamp:", "instruments: {lamb:", "'lamb' is not a key here; did you mean"),
        ("instruments: {lamp: 5 W", "instruments: {lamp: 0 W", "zero cannot be; give a value"),
        *(
            ("instruments: {", f"instruments: {{{key}: 1 Hz, ", f"instruments.{key}: 1 Hz is a")
            for key in ("ammeter", "lamp-voltage")
        ),
        (
            "pins: [lamp feed]",
            "pins: [lamp feed, spare]",
            "circuit.plugs.lamp plug.pins: the node 'spare' leads nowhere, only 'lamp plug' is",
        ),
        (
            "pins: [lamp feed]",
            "pins: [lamp feed, spare]",
            "circuit.plugs.lamp plug.pins: the node 'spare behind lamp plug' leads nowhere",
        ),
        (
            "  answers: {looks: no}",
            "  answers: {looks: no}\n  earth: frmae",
            "circuit.earth: nothing is joined to the earth node 'frmae'; join a part to it",
        ),
        ("[on]}", "{on: off}}", "lights: a name or a list of names is wanted here, found a block"),
        ("lamp plug: {pins:", "lamp plug: {pin:", "'pin' is not a key here; did you mean 'pins'?"),
        ("  answers: {looks: no}", "  answers: {loks: no}", "there is no step 'loks'; did you"),
        (
            "  answers: {looks: no}",
            "  answers: {looks: no}\n  probes: {suply: voltage at lamp feed}",
            "circuit.probes.suply: there is no measuring step 'suply'; did you mean 'supply'?",
        ),
        (
            "  answers: {looks: no}",
            "  answers: {looks: on}",
            "to 'looks' 'on'; known here: yes, no",
        ),
        (
            "from the lamp feed to the frame",
            "at the tail",
            "line 14, steps.glow: the step 'glow' does not say where in the circuit it measures "
            "('at the tail'); write 'from A to B'",
        ),
        ("open: wire,", "open: wyre,", "faults.open-wire.open: there is no part 'wyre'; did you"),
        ("{open: wire,", "{opn: wire,", "faults.open-wire.opn: 'opn' is not a key here; did you"),
        ("{open: wire,", "{", "faults.open-wire: a fault has one of open, high-resistance"),
        ("found-as: weak, likely", "found-as: week, likely", "there is no finding 'week'; did you"),
        ("found-as: weak, likely", "likely", "'found-as' is missing; add it"),
        ("likely: 20 %", "likely: often", "faults.open-wire.likely: 'often' is not a number"),
        ("likely: 20 %", "likely: 0 %", "faults.open-wire: 'open-wire' never occurs"),
        ("likely: 20 %", "value: 2 Ω", "faults.open-wire.value: 'value' has no effect here; take"),
        ("value: 2 Ω to 50 Ω", "value: 50 Ω to 2 Ω", "'bad-joint' cannot be from 50 to 2"),
        ("value: 2 Ω to 50 Ω", "value: 2 V to 5 V", "2 V is a voltage; give a resistance"),
        ("terminal: to", "terminal: wiper", "'fuse' has no terminal 'wiper'; use one of from, to"),
        ("{looks: yes}}", "{looks: maybe}}", "there is no answer to 'looks' 'maybe'"),
        (
            "{open: side lamp",
            "{short-to-earth: side lamb",
            "faults.black.short-to-earth: there is no node or part 'side lamb'; did you mean 'side "
            "lamp'?",
        ),
        ("likely: 20 %", "state: open", "faults.open-wire.state: 'state' has no effect here; take"),
        ("{open: side lamp", "{seized: side lamp", "faults.black.seized: a lamp cannot be seized"),
        (
            "{open: side lamp",
            "{blown: lamp plug",
            "no part 'lamp plug'; known here: battery",
        ),
        ("{open: side lamp", "{mixed: lamp plgu", "there is no plug 'lamp plgu'; did you mean"),
        ("{open: side lamp", "{mixed: lamp plug", "faults.black: this fault needs 'pins'; add it"),
        ("{open: side lamp", "{stuck: light switch", "this fault needs 'state'; add it"),
        ("{open: side lamp", "{wrong: air", "this fault needs 'value'; add it"),
    ],
)
def test_a_slip_is_told_with_its_place_and_its_remedy(old: str, new: str, message: str) -> None:
    assert any(message in line for line in told(old, new)), told(old, new)


@pytest.mark.parametrize(
    ("line", "message"),
    [
        (
            "{battery: 12 V, from: post, to: frame}\n"
            "    third: {battery: 12 V, from: post, to: frame}",
            "line 34, circuit.parts.third: 'third' closes a loop without any resistance (of more, "
            "third); give one of them a resistance",
        ),
        ("{joint: 1 mΩ, from: post}", "'more' does not name its terminal 'to'; add 'to:'"),
        ("{joint: 1 mΩ, leak: 1 Ω, from: post, to: frame}", "found joint and leak"),
        ("{from: post, to: frame}", "a part has one of battery, fuse, switch, relay"),
        ("{joint: 1 Ω, size: 2 mm², from: post, to: frame}", "'size' has no effect in a joint"),
        ("{joint: 1 Ω, wiper: post, from: post, to: frame}", "'wiper' has no effect in a joint"),
        ("{joint: 1 Ω, from: post, to: frame, at: [1]}", "a place in a drawing is two numbers"),
        ("{joint: 1 Ω, from: post, to: frame, at: [1, x]}", "'x' is not a number; write one"),
        ("{joint: 1 Ω, from: post, to: frame, at: [1, nan]}", "'nan' is not a number; write one"),
        ("{joint: 1 Ω, from: post, to: frame, at: [1, [2]]}", "a number is wanted here, found a"),
        ("{joint: 9999999999999999999 Ω, from: post, to: frame}", "is too large for a part"),
        ("{motor: 40 A, resistance: 1 Ω, from: post, to: frame}", "'more' cannot take 40 A at 12"),
        ("{motor: 4 A, load: lift, from: post, to: frame}", "'lift' is not one of 'fan' or"),
        (
            "{relay: 85 Ω, pull-in: 2 V, drop-out: 3 V, pin-86: post, pin-85: frame, pin-30: post}",
            "'more' drops out at 3 V, above its pull-in voltage of 2 V",
        ),
        (
            "{relay: 85 Ω, pin-86: z, pin-85: frame, pin-30: post, pin-87a: z}",
            "chatters: it pulls in, takes its own voltage away, and drops out again",
        ),
        (
            "{module: {2 V: 0 %, 2.0 V: 10 %}, feed: post, earth: frame, command: switched, "
            "output: frame}",
            "'more' needs commands that rise",
        ),
        (
            "{module: {2 V: 0 %, 9 V: 120 %}, feed: post, earth: frame, command: switched, "
            "output: frame}",
            "'more' cannot have an output of 120 %; give 0 % to 100 %",
        ),
        (
            "{module: {2 V: 0 %, 9 V: 90 %}, feed: post, earth: frame, output: switched}",
            "a module with a curve needs 'command'; add it",
        ),
        (
            "{relay: 85 Ω, resistance: 1 A, pin-86: post, pin-85: frame, pin-30: post}",
            "circuit.parts.more.resistance: 1 A is a current; give a resistance",
        ),
        ("{latch: 8 V, from: post, to: frame}", "more.latch: 8 V is a voltage; give a current"),
        ("{diode: 0.7 V, ideality: much, from: frame, to: post}", "'much' is no ideality"),
        ("[joint, 1 Ω]", "a block of 'key: value' lines is wanted here, found a list"),
        ("{joint: [1 Ω], from: post, to: frame}", "a value, or a block with 'by:' and 'table:',"),
    ],
)
def test_a_part_that_cannot_be_is_told(line: str, message: str) -> None:
    assert any(message in found for found in part_told(line)), part_told(line)


def test_faults_without_a_circuit_are_told() -> None:
    procedure, found = inspect(STEPS + "faults:\n  a: {open: wire, found-as: weak}\n")
    assert procedure is None
    assert "there is no circuit to be faulty; add 'circuit:'" in str(found[0])


def test_a_circuit_without_a_source_is_told() -> None:
    text = STEPS + dedent("""\
        circuit:
          parts:
            wire: {joint: 1 Ω, from: lamp feed, to: frame}
        """)
    assert any("nothing gives a voltage; add a battery" in str(f) for f in inspect(text)[1])


def test_a_probe_can_be_told_where_the_words_of_the_step_do_not() -> None:
    text = WHOLE.replace("voltage at the lamp feed", "voltage of the lights").replace(
        "  answers: {looks", "  probes: {supply: voltage at lamp feed}\n  answers: {looks"
    )
    assert circuit(text).probes["supply"].red == "lamp feed"
    wrong = text.replace("{supply: voltage at", "{suply: voltage at")
    found = [str(fault) for fault in inspect(wrong)[1]]
    assert any("there is no measuring step 'suply'; did you mean 'supply'?" in f for f in found)


def test_a_step_may_name_a_point_by_another_word_for_its_node() -> None:
    text = WHOLE.replace("points: {posts:", "points: {tail: lamp feed, posts:")
    assert circuit(text).points["tail"] == ("lamp feed",)
    text = text.replace("voltage at the lamp feed", "voltage at the tail")
    text = text.replace("points: {lamp feed: the brown wire}", "points: {tail: the brown wire}")
    assert circuit(text).probes["supply"].red == "lamp feed"


def test_a_fault_of_a_contact_that_is_not_stuck_needs_no_state() -> None:
    text = WHOLE.replace("{open: wire", "{open: light switch")
    assert good(text).faults["open-wire"].target == "light switch"


LIT = "voltage from the lamp feed to the frame, with a lamp from the lamp feed to the frame"


@pytest.mark.parametrize(
    ("said", "probe", "message"),
    [
        (LIT.replace("a lamp from the lamp feed", "a lamp from the lamp feat"), "", "none is held"),
        ("voltage from the lamp feed to the frame, lamp across them", "", "none is held"),
        ("voltage from the lamp feed to the frame", LIT, "say 'lamp across them'"),
        ("voltage from the post to the frame", LIT.split(",", 1)[0], "write both alike"),
        ("voltage from the frame to the lamp feed", LIT.split(",", 1)[0], "write both alike"),
    ],
)
def test_words_that_say_otherwise_than_what_is_proved_are_told(
    said: str, probe: str, message: str
) -> None:
    text = WHOLE.replace("voltage at the lamp feed", f"'{said}'")
    if probe:
        text = text.replace(
            "  answers: {looks: no}", f"  answers: {{looks: no}}\n  probes: {{supply: '{probe}'}}"
        )
    _, found = inspect(text)
    assert any(message in fault.message for fault in found)


def test_words_that_say_what_is_proved_are_taken() -> None:
    probe = f"  answers: {{looks: no}}\n  probes: {{supply: '{LIT}'}}"
    lamp = "'voltage from the lamp feed to the frame, lamp across them'"
    good(WHOLE.replace("voltage at the lamp feed", f"'{LIT}'"))
    good(WHOLE.replace("voltage at the lamp feed", lamp).replace("  answers: {looks: no}", probe))


def test_a_point_that_is_none_is_named() -> None:
    _, found = inspect(
        WHOLE.replace("from the lamp feed to the frame", "from the lampfeed to the frame")
    )
    assert any("there is no point 'lampfeed'" in fault.message for fault in found)


def test_all_slips_are_told_at_once() -> None:
    text = WHOLE.replace("10 A", "10 V").replace("[on]", "[no]").replace("1.5 mm²", "x")
    lines = [fault.line for fault in inspect(text)[1]]
    assert {28, 29, 30} <= set(lines)


@pytest.mark.parametrize(
    "shape", [CircuitShape, PartShape, PlugShape, InstrumentsShape, FaultShape]
)
def test_the_writing_guide_tells_of_every_key(shape: type[BaseModel]) -> None:
    keys = [field.alias or name for name, field in shape.model_fields.items()]
    assert [key for key in keys if not re.search(rf"[`{{, ]{key}[`:]", WRITING)] == []


def test_the_circuit_of_the_writing_guide_is_good() -> None:
    """Its first circuit and its faults, put to its example of a whole procedure."""
    whole = re.findall(r"```yaml\n(.*?)```", WRITING, re.DOTALL)[0]
    parts = re.findall(r"```yaml-part\n((?:circuit|faults):.*?)```", WRITING, re.DOTALL)
    procedure = good("\n".join([whole, parts[0], parts[-1]]))
    assert procedure.circuit is not None
    lit = solved(procedure.circuit, {"lights": "on"})
    assert lit.current("side lamp") == pytest.approx(5 / 12, rel=0.1)
    assert list(procedure.faults) == ["broken-wire", "burnt-fuse-holder", "lamp-gone"]


def test_a_circuit_is_tried_where_a_file_is_checked_and_not_where_a_session_reads_it() -> None:
    loop = (
        "{battery: 12 V, from: post, to: frame}\n    third: {battery: 12 V, from: post, to: frame}"
    )
    assert any("closes a loop" in line for line in part_told(loop))
    found = read_procedure(with_part(loop), "looped.yaml").circuit
    assert found is not None
    assert {"more", "third"} <= set(found.parts)


def test_who_only_reads_a_procedure_waits_for_no_numeric_library() -> None:
    program = "import sys, voiceassist.app.build; print('numpy' in sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert done.stdout == "False\n"


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (
            "{posts: [post, frame]}",
            "{posts: [post, frame, switched]}",
            "a point is one node, or a plus and a minus node",
        ),
        (
            "to: fuse out}",
            "to: fuse out, at: [3]}",
            "a place in a drawing is two numbers, such as [3, 2]",
        ),
    ],
)
def test_what_has_too_many_or_too_few_parts_is_told_in_so_many_words(
    old: str, new: str, message: str
) -> None:
    (found,) = told(old, new)
    assert found.endswith(f": {message}")


def test_a_fault_that_comes_and_goes_has_its_chance_and_without_one_is_there() -> None:
    chances = {"chance: 30 %": 0.3, "when: {lights: on}": 1.0}
    for comes, chance in chances.items():
        text = WHOLE.replace("likely: 20 %}", f"likely: 20 %, comes: {{{comes}}}}}")
        found = good(text).faults["open-wire"].comes
        assert found is not None
        assert found.chance == chance


def test_a_state_whose_value_cannot_be_read_is_not_said_to_lack_one_too() -> None:
    faults = told("on: 1 kΩ, off: 2 kΩ", "on: 1 kΩ, off: [2 kΩ]")
    (fault,) = [each for each in faults if "circuit.parts.air" in each]
    assert fault.endswith("resistor.table.off: text is wanted here, found a list")

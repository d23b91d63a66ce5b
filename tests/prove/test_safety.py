"""Dangers that are seen on the circuit, each planted in a small procedure that has none."""

import pytest
from prove.shop import LAMP, changed, proved

from voiceassist.prove.hazard import Danger

FED = "  feed-side: {cause: the feed is weak, correction: follow the brown wire}"
REPAIR = (
    "repairs:\n"
    "  new-fuse: {needs: {lights: off}, do: fit a new fuse, fuse: 10 A}\n"
    "  mend: {needs: {lights: off}, do: mend the chafed wire}\n"
    "findings:"
)
HEAD = "before-changing: {lamp plug: {lights: off}}\nat-rest: {lights: off, lamp plug: in}\n"
SAFE = changed(
    LAMP,
    ("steps:\n", f"{HEAD}steps:\n"),
    ("findings:", REPAIR),
    (FED, FED[:-1] + ", repair: [mend, new-fuse], prove-with: [feed]}"),
)  # fmt: skip


def dangers(text: str) -> set[tuple[Danger, str]]:
    _, proof = proved(text)
    assert proof.examined is not None
    return {(hazard.danger, hazard.step) for hazard in proof.examined.hazards}


def test_a_safe_procedure_has_no_danger() -> None:
    assert dangers(SAFE) == set()


EARTH = (
    "measure: voltage from the lamp earth to the frame\n"
    "    accept: at most 0.1 V\n    high: earth-side"
)
#: A reading behind it, so that the lead would still stand in its socket.
IN_LINE = "measure: current through the brown wire\n    accept: at most 5 A\n    fail: earth-side"
ACROSS = (
    "measure: current from the battery plus post to the frame\n    meter: 10 A\n"
    "    accept: at most 5 A\n    fail: earth-side"
)
WHOLE = "{lights: off, lamp plug: out}\n    measure: resistance across the side lamp"
LIVE = "{lights: on, lamp plug: in}\n    measure: resistance from the lamp feed to the lamp earth"
PLANTED = {
    "ohms are read with the lights on": (
        [(WHOLE, LIVE)],
        (Danger.OHMS_LIVE, "whole"),
    ),
    "the meter is put across the battery": (
        [(EARTH, ACROSS)],
        (Danger.AMMETER, "earth"),
    ),
    "the red lead stays in the current socket": (
        [(EARTH, IN_LINE)],
        (Danger.LEADS, "whole"),
    ),
    "the plug is pulled while the lamp burns": (
        [("before-changing: {lamp plug: {lights: off}}\n", ""),
         ("needs: {lights: off, lamp plug: out}", "needs: {lamp plug: out, lights: off}")],
        (Danger.LIVE_PLUG, "whole"),
    ),
    "a larger fuse is fitted": (
        [("do: fit a new fuse, fuse: 10 A", "do: fit a new fuse, fuse: 20 A")],
        (Danger.FUSE_RATING, "new-fuse"),
    ),
    "the fuse comes before the wire is mended": (
        [("repair: [mend, new-fuse]", "repair: [new-fuse, mend]")],
        (Danger.FUSE_EARLY, "new-fuse"),
    ),
    "the plug is left out": (
        [("at-rest: {lights: off, lamp plug: in}", "at-rest: {lights: off}")],
        (Danger.LEFT, ""),
    ),
    "the battery's caution is gone": (
        [("    caution: battery-gas\n", "")],
        (Danger.CAUTION, "battery"),
    ),
    "a state that is held is not marked so": (
        [("{on: switch the side lights on,", "{on: hold the light switch,")],
        (Danger.HELD, "feed"),
    ),
    "a state is held for less than reading takes": (
        [("{on: switch the side lights on,", "{on: {do: switch the side lights on, hold: 2 s},")],
        (Danger.HELD, "feed"),
    ),
    "one reads only later than the state may be held": (
        [("{on: switch the side lights on,", "{on: {do: switch the side lights on, hold: 5 s},"),
         ("voltage from the lamp feed to the frame",
          "voltage from the lamp feed to the frame after three seconds")],
        (Danger.HELD, "feed"),
    ),
    "work is done with the lamp lit": (
        [("do: fit a new fuse, fuse: 10 A", "do: fit a new fuse, fuse: 10 A"),
         ("new-fuse: {needs: {lights: off}", "new-fuse: {needs: {lights: on}"),
         ("side lamp: {lamp: 5 W", "side lamp: {lamp: 21 W"), ("at most 12 Ω", "at most 12.1 Ω")],
        (Danger.LIVE_WORK, "new-fuse"),
    ),
}  # fmt: skip


@pytest.mark.parametrize("what", PLANTED)
def test_a_planted_danger_is_seen_at_its_step(what: str) -> None:
    changes, danger = PLANTED[what]
    text = changed(SAFE, *changes)
    assert text != SAFE
    assert danger in dangers(text)


WIRES = """
procedure: fan-wires
title: The fan does not follow
for: an invented van
conditions:
  key: {off: turn the key off, run: turn the key to run}
at-rest: {key: off}
steps:
  command:
    needs: {key: run}
    caution: fan-and-belts
    MEASURE
findings:
  bad: {cause: the command is wrong, correction: follow the wire}
  good: {cause: the command is good, correction: no part changed}
circuit:
  at-first: {key: off}
  parts:
    battery: {battery: 12.6 V, inner-resistance: 20 mΩ, from: plus, to: minus}
    key: {switch: {key: run}, from: plus, to: fed}
    module: {module: {3 V: 100 %, 10 V: 0 %}, feed: fed, earth: minus, command: command pin, output: out, pull-up: 1 kΩ}
    wire: {wire: 1 m, size: 0.5 mm², from: command pin, to: control}
    control: {resistor: 1 kΩ, from: control, to: minus}
    fan: {motor: 5 A, voltage: 12 V, resistance: 0.5 Ω, from: out, to: minus}
faults:
  broken: {open: wire, found-as: bad}
"""  # noqa: E501
VOLTS = (
    "measure: voltage from the control to the minus\n"
    "    accept: 4 V to 8 V\n    fail: bad\n    then: good"
)
BULB = "lamp: between the control and the minus\n    accept: off\n    fail: bad\n    then: good"


def test_a_test_lamp_on_the_wire_of_a_command_is_a_danger_and_a_meter_is_none() -> None:
    assert dangers(WIRES.replace("MEASURE", VOLTS)) == set()
    assert (Danger.LAMP, "command") in dangers(WIRES.replace("MEASURE", BULB))


def test_a_fan_that_begins_to_turn_wants_a_caution_of_what_moves() -> None:
    quiet = WIRES.replace("MEASURE", VOLTS).replace("    caution: fan-and-belts\n", "")
    assert dangers(quiet) == {(Danger.CAUTION, "command")}
    other = WIRES.replace("MEASURE", VOLTS).replace("fan-and-belts", "hot-parts")
    assert dangers(other) == {(Danger.CAUTION, "command")}

"""What the customer complained of is tried at the end, and nothing draws when a clamp comes off.

That a load is switched off before a battery clamp is lifted: common practice, no source.
"""

import pytest

from voiceassist import resources
from voiceassist.app import build
from voiceassist.procedure.model import Kind

#: The question that tries the complaint itself, and the findings that it says nothing of.
TRIED = {
    "blower-resistors": ("every-speed", ()),
    "can-termination": ("answers", ("front-module",)),
    "coil-or-injector": ("evenly", ()),
    "dim-headlamp": ("as-bright", ()),
    "dim-headlamp-lorry": ("as-bright", ()),
    "door-wires": ("works", ("all-doors",)),
    "five-volt-sensor-supply": ("read-again", ()),
    "no-crank": ("turns", ()),
    "one-wire-data": ("shut-again", ()),
    "relay-and-socket": ("lamps-work", ()),
    "slow-cranking": ("starts", ()),
    "slow-cranking-lorry": ("starts", ()),
    "window-motor": ("both-ways", ()),
    "wiper-park": ("what-is-wrong", ()),
    "wrong-way-jump": ("modules", ()),
}
LOADS = {"loads", "load", "headlamps", "lights"}
SHIPPED = sorted(file.stem for file in resources.folder("procedures").glob("*.yaml"))


@pytest.mark.parametrize("name", TRIED)
def test_each_repair_is_proved_by_the_complaint_itself(name: str) -> None:
    procedure = build.procedure(name).procedure
    asked, others = TRIED[name]
    assert procedure.step(asked).kind is Kind.ASK
    assert procedure.step(asked).good
    for finding in procedure.findings.values():
        if finding.prove_with and finding.name not in others:
            assert asked in finding.prove_with, finding.name


@pytest.mark.parametrize("name", SHIPPED)
def test_what_draws_is_off_before_the_clamp_comes_off_in_a_repair(name: str) -> None:
    procedure = build.procedure(name).procedure
    known = LOADS & set(procedure.conditions)
    for repair in procedure.repairs.values():
        if repair.text.startswith("minus clamp off"):
            off = {need.condition for need in repair.needs if need.state == "off"}
            assert known & off, repair.name

"""Circuit diagrams that can be read: every part and node there, nothing over anything else."""

from itertools import combinations
from xml.etree import ElementTree

import pytest
from draw.test_flow import ALL, HEATER, SVG

from voiceassist.circuit.values import ByState
from voiceassist.draw.circuit import circuit_canvas, draw_circuit
from voiceassist.draw.schematic import laid_out
from voiceassist.draw.values import figure
from voiceassist.procedure.model import Procedure

WITH = [procedure for procedure in ALL if procedure.circuit is not None]


def test_there_are_circuits_to_draw() -> None:
    assert len(WITH) >= 3


@pytest.mark.parametrize("procedure", WITH, ids=lambda p: p.name)
def test_no_letters_lie_over_each_other_and_every_part_is_named(procedure: Procedure) -> None:
    assert procedure.circuit is not None
    letters = circuit_canvas(procedure.circuit).letters
    assert not [pair for pair in combinations(letters, 2) if pair[0].meets(pair[1])]
    assert min(box.x for box in letters) >= 0
    found = ElementTree.fromstring(draw_circuit(procedure))
    text = {one.text for one in found.iter(f"{SVG}text")}
    assert {part.label or part.name for part in procedure.circuit.parts.values()} <= text


@pytest.mark.parametrize("procedure", WITH, ids=lambda p: p.name)
def test_every_terminal_is_joined_and_every_part_has_rows_of_its_own(procedure: Procedure) -> None:
    assert procedure.circuit is not None
    plan = laid_out(procedure.circuit)
    rows = [row for one in plan.placed for row in range(one.row, one.row + one.rows)]
    assert rows == list(range(plan.rows))
    for one in plan.placed:
        ends = [joint.terminal for joint, _ in (*one.left, *one.right)]
        assert sorted(ends) == sorted(one.part.terminals)
    nodes = [node for level in plan.levels for node in level]
    assert len(nodes) == len(set(nodes)) == len(plan.spans)
    joined = {joint.node for one in plan.placed for joint, _ in (*one.left, *one.right)} - {""}
    assert joined == set(nodes)


def test_supply_is_on_the_left_and_a_part_behind_a_plug_is_joined_by_pins() -> None:
    assert HEATER.circuit is not None
    plan = laid_out(HEATER.circuit)
    assert plan.levels[0] == ("battery plus post",)
    module = next(one for one in plan.placed if one.part.name == "fan module")
    joints = {joint.terminal: joint for joint, _ in (*module.left, *module.right)}
    assert {joint.plug for joint in joints.values()} == {"module plug"}
    assert joints["feed"].node == "feed pin"
    assert [joint.terminal for joint, _ in module.left] == ["feed", "command"]
    battery = next(one for one in plan.placed if one.part.name == "battery")
    assert battery.right[0][0].node == ""  # earth


def test_a_procedure_without_circuit_has_none_to_draw() -> None:
    from dataclasses import replace

    with pytest.raises(ValueError, match="has no circuit"):
        draw_circuit(replace(HEATER, circuit=None))


@pytest.mark.parametrize(
    ("value", "unit", "written"),
    [
        (10000.0, "Ω", "10 kΩ"),
        (0.0239, "Ω", "23.9 mΩ"),
        (12.5, "V", "12.5 V"),
        (0.0, "Ω", "0 Ω"),
        (ByState("fan", {"low": 10e3, "high": 1.2e3}), "Ω", "1.2 kΩ to 10 kΩ"),
    ],
)
def test_a_value_is_written_with_a_prefix(value: float | ByState, unit: str, written: str) -> None:
    assert figure(value, unit) == written

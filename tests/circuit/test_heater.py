"""The shipped procedure and its circuit: each of its faults leads to the finding it names."""

from itertools import product
from pathlib import Path

import numpy as np
import pytest

from voiceassist.circuit.faults import CircuitFault, FaultKind, with_fault
from voiceassist.circuit.model import Circuit
from voiceassist.circuit.probe import shown
from voiceassist.circuit.solve import solved
from voiceassist.circuit.tolerance import drawn
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.model import ANSWERS, FAIL, PASS, Kind, Procedure, Step
from voiceassist.procedure.read import read_procedure

FILE = Path(__file__).parents[2] / "procedures" / "heater-fan-module.yaml"
HEATER = read_procedure(FILE.read_text(encoding="utf-8"), FILE.name)


def outcome(step: Step, circuit: Circuit, values: dict[str, Quantity], answer: str) -> str:
    """Which of its routes the step leads to."""
    if step.kind is Kind.ASK:
        return ANSWERS.get(answer, answer)
    conditions = {need.condition: need.state for need in step.needs}
    found = shown(circuit, conditions, circuit.probes[step.name])
    if step.kind is Kind.LAMP:
        return PASS if found.lamp in step.bright_enough else found.lamp
    assert found.value is not None
    assert step.limit is not None
    values[step.name] = found.value
    limit = step.limit.fill(values)
    if limit.holds(found.value):
        return PASS
    return "low" if limit.low is not None and found.value < limit.low else "high"


def walked(procedure: Procedure, circuit: Circuit, answers: dict[str, str]) -> str:
    """The finding that the procedure comes to on ``circuit``."""
    values: dict[str, Quantity] = {}
    name = procedure.first
    while name in procedure.steps:
        step = procedure.steps[name]
        went = outcome(step, circuit, values, answers.get(name, ""))
        name = step.routes.get(went) or step.routes[FAIL]
    return name


def test_the_circuit_tells_every_measurement() -> None:
    assert HEATER.circuit is not None
    told = {n for n, s in HEATER.steps.items() if s.kind in {Kind.MEASURE, Kind.LAMP}}
    assert set(HEATER.circuit.probes) == told
    assert len(HEATER.faults) >= 10
    assert all(part.at is not None for part in HEATER.circuit.parts.values())


@pytest.mark.parametrize("kind", [FaultKind.OPEN, FaultKind.HIGH, FaultKind.SHORTED])
def test_it_settles_whatever_part_is_open_or_shorted(kind: FaultKind) -> None:
    assert HEATER.circuit is not None
    for name, part in HEATER.circuit.parts.items():
        for terminal in part.terminals if kind is not FaultKind.SHORTED else [""]:
            fault = CircuitFault(name="it", kind=kind, target=name, terminal=terminal)
            faulty = with_fault(HEATER.circuit, fault)
            for speed, plug in product(["lowest", "highest"], ["in", "out"]):
                states = {"key": "run", "fan control": speed, "module plug": plug}
                found = solved(faulty, states)
                assert found.current("battery") < 1e-6


@pytest.mark.parametrize("seed", range(5))
def test_a_good_vehicle_is_found_good(seed: int) -> None:
    assert HEATER.circuit is not None
    circuit = drawn(HEATER.circuit, np.random.default_rng(seed))
    assert walked(HEATER, circuit, dict(circuit.answers)) == "no-fault"


@pytest.mark.parametrize("name", HEATER.faults)
def test_a_fault_of_any_size_is_found(name: str) -> None:
    assert HEATER.circuit is not None
    fault = HEATER.faults[name]
    for i, draw in enumerate((0.0, 0.3, 0.6, 1.0)):
        good = drawn(HEATER.circuit, np.random.default_rng(i))
        circuit = with_fault(good, fault, draw)
        answers = {**circuit.answers, **fault.answers}
        assert walked(HEATER, circuit, answers) in fault.found_as, (draw, fault)

"""The shipped procedure and its circuit: each of its faults leads to the finding it names."""

from itertools import product
from pathlib import Path

import pytest
from bench import BOOK

from voiceassist.circuit.faults import CircuitFault, FaultKind, with_fault
from voiceassist.circuit.solve import solved
from voiceassist.procedure.model import Kind
from voiceassist.procedure.read import read_procedure
from voiceassist.prove.cases import GOOD, Case, made
from voiceassist.session.session import SessionSetup

FILE = Path(__file__).parents[2] / "procedures" / "heater-fan-module.yaml"
HEATER = read_procedure(FILE.read_text(encoding="utf-8"), FILE.name)


DESK = SessionSetup(HEATER, BOOK)


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
    assert made(DESK, seed, Case(GOOD, 0, 1)).finding == "no-fault"


@pytest.mark.parametrize("name", HEATER.faults)
def test_a_fault_of_any_size_is_found(name: str) -> None:
    for number in range(4):
        walk = made(DESK, 1, Case(name, number, 4))
        assert walk.finding in HEATER.faults[name].found_as, walk

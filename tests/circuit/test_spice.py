"""The same networks solved by ngspice, a general circuit simulator."""

import math
from collections.abc import Iterator
from functools import partial

import numpy as np
import pytest
from circuit.many import Compared, network
from circuit.small_circuits import (
    at_rest,
    bat,
    circuit,
    diode,
    lamp,
    module,
    motor,
    relay,
    res,
)
from circuit.spice import NGSPICE, node_voltages

from voiceassist.circuit.parts import Part
from voiceassist.circuit.solve import Solution, solved

pytestmark = pytest.mark.skipif(NGSPICE is None, reason="the Debian package ngspice is missing")


def compare(found: Solution, rel: float) -> None:
    for node, volt in node_voltages(found).items():
        assert found.voltage(node) == pytest.approx(volt, rel=rel, abs=rel), node


def random_parts(seed: int) -> Iterator[Part]:
    """A connected network: a tree to earth, more resistors across it, and some sources."""
    rng = np.random.default_rng(seed)
    nodes = ["0", *(f"n{i}" for i in range(int(rng.integers(3, 25))))]
    for i, node in enumerate(nodes[1:], 1):
        other = nodes[int(rng.integers(0, i))]
        yield res(f"tree {node}", other, node, float(10 ** rng.uniform(-2, 6)))
    for i in range(len(nodes)):
        a, b = rng.choice(len(nodes), 2, replace=False)
        yield res(f"across {i}", nodes[a], nodes[b], float(10 ** rng.uniform(-2, 6)))
    for i in range(int(rng.integers(1, 4))):
        a, b = rng.choice(len(nodes), 2, replace=False)
        yield bat(f"source {i}", nodes[a], nodes[b], float(rng.uniform(0, 30)), 0.05)


@pytest.mark.parametrize("seed", range(20))
def test_random_linear_networks_agree_to_a_millionth(seed: int) -> None:
    compare(at_rest(*random_parts(seed)), 1e-6)


@pytest.mark.parametrize("seed", range(20, 32))
def test_random_networks_with_lamps_diodes_and_motors_agree(seed: int) -> None:
    """To 1e-5 of the voltage and 10 µV: ngspice limits its own steps at corners."""
    rng = np.random.default_rng(seed)
    parts = list(random_parts(seed))
    nodes = circuit(*parts).nodes
    for i in range(4):
        a, b = (str(node) for node in rng.choice(nodes, 2, replace=False))
        makers = (lamp, diode, motor, partial(motor, load="friction"))
        parts.append(makers[int(rng.integers(0, 4))](f"bent {i}", a, b))
    compare(at_rest(*parts), 1e-5)


@pytest.mark.parametrize("command", [0.0, 3.3, 8.4, 12.0])
def test_a_module_with_a_fan_motor_agrees(command: float) -> None:
    parts = (
        bat("battery", "bat", "0", 12.6, 0.02), res("feed", "bat", "f", 0.05),
        bat("control", "c", "0", command), module("M", "f", "g", "c", "m"),
        motor("fan", "m", "g"), res("earth", "g", "0", 0.03),
    )  # fmt: skip
    compare(at_rest(*parts), 1e-5)


@pytest.mark.parametrize("seed", range(4))
def test_vehicle_circuits_of_every_kind_of_part_agree(seed: int) -> None:
    compared = Compared()
    compared.add(solved(circuit(*network(seed)), {"key": "on"}))
    assert compared.nodes > 4
    assert compared.share < 1e-5
    assert compared.otherwise == 0


def test_a_pulled_in_relay_agrees() -> None:
    parts = (
        bat("battery", "bat", "0", 12.6, 0.02), relay("K", ("bat", "0"), "bat", "out"),
        lamp("L", "out", "0"), diode("D", "0", "bat"),
    )  # fmt: skip
    found = solved(circuit(*parts), {})
    assert found.pulled == {"K"}
    compare(found, 1e-6)


def test_a_rectifier_bridge_agrees() -> None:
    parts = (
        bat("source", "a", "b", 6.0, 0.1), diode("D1", "a", "plus"), diode("D2", "b", "plus"),
        diode("D3", "0", "a"), diode("D4", "0", "b"), res("load", "plus", "0", 10.0),
    )  # fmt: skip
    found = at_rest(*parts)
    assert math.isclose(found.voltage("plus"), 6.0 - 2 * 0.69, abs_tol=0.1)
    compare(found, 1e-6)

"""How long a circuit of 30 nodes takes to solve: ``circuit.py``.

Prints the median and the worst of many draws of its tolerances, all of one form: the layout of
its equations is made once and filled anew for each draw. Then a fault, and the shipped fan
circuit with every measurement of its procedure.
"""

import statistics
import time
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import numpy as np

from voiceassist.circuit.drivers import Module
from voiceassist.circuit.model import Circuit
from voiceassist.circuit.parts import Battery, Bulb, Motor, Part, Relay, Resistor
from voiceassist.circuit.probe import shown
from voiceassist.circuit.solve import solved
from voiceassist.circuit.tolerance import drawn
from voiceassist.procedure.read import read_procedure

TIMES, GOAL_MS = 500, 1.0
FILE = Path(__file__).parents[2] / "procedures" / "heater-fan-module.yaml"


def resistors(nodes: int) -> list[Part]:
    """A battery and a ladder of wires and loads with ``nodes`` nodes beside earth."""
    names = ["0", *(f"n{i}" for i in range(nodes))]
    parts: list[Part] = [
        Battery(name="battery", terminals={"from": "n0", "to": "0"}, volt=12.6, ohm=0.01)
    ]
    for before, after in pairwise(names[1:]):
        for kind, ends, ohm in (("wire", (before, after), 0.02), ("load", (after, "0"), 100.0)):
            terminals = dict(zip(("from", "to"), ends, strict=True))
            name = f"{kind} to {after}"
            parts.append(Resistor(name=name, terminals=terminals, ohm=ohm, tolerance=0.05))
    return parts


def bent() -> list[Part]:
    """Parts that are not linear, across the same ladder."""
    return [
        Bulb(name="lamp", terminals={"from": "n5", "to": "0"}, watt=21.0, volt=12.0),
        Motor(name="fan", terminals={"from": "out", "to": "0"}, volt=12.0, ampere=7.0, ohm=0.4),
        Module(
            name="module",
            terminals={"feed": "n10", "earth": "0", "command": "n20", "output": "out"},
            curve=((3.0, 1.0), (14.0, 0.0)),
        ),
        Relay(
            name="relay",
            terminals={"pin-86": "n3", "pin-85": "0", "pin-30": "n0", "pin-87": "n15"},
            coil_ohm=85.0, pull_in=7.0, drop_out=2.5, ohm=0.01,
        ),
    ]  # fmt: skip


def circuit(parts: list[Part]) -> Circuit:
    """The parts as a circuit."""
    return Circuit(parts={part.name: part for part in parts}, earth="0", supply="n0")


def measured(work: Callable[[int], object], times: int = TIMES) -> tuple[float, float]:
    """Median and worst in milliseconds; the first, which makes the layout, is not counted."""
    work(0)
    found = []
    for i in range(1, times + 1):
        began = time.perf_counter()
        work(i)
        found.append((time.perf_counter() - began) * 1000)
    return statistics.median(found), max(found)


def report(what: str, work: Callable[[int], object], goal: float, times: int = TIMES) -> None:
    """Print one line of the table."""
    median, worst = measured(work, times)
    print(f"{what:52} {median:8.3f} {worst:8.3f} {goal:8.1f}")


def main() -> None:
    """Print the table."""
    rng = np.random.default_rng(1)
    straight, whole = circuit(resistors(30)), circuit([*resistors(30), *bent()])
    draws = {id(c): [drawn(c, rng) for _ in range(TIMES + 1)] for c in (straight, whole)}
    print(f"{'':52} {'median':>8} {'worst':>8} {'goal':>8}  (ms)")
    report("30 nodes, resistors", lambda i: solved(draws[id(straight)][i], {}), GOAL_MS)
    report("31 nodes, with lamp, motor, module and relay",
           lambda i: solved(draws[id(whole)][i], {}), 3 * GOAL_MS)  # fmt: skip
    report("tolerances of 62 parts drawn", lambda i: drawn(whole, rng), GOAL_MS)
    procedure = read_procedure(FILE.read_text(encoding="utf-8"), FILE.name)
    fan = procedure.circuit
    assert fan is not None

    def all_steps(_: int) -> None:
        for name, probe in fan.probes.items():
            needs = procedure.steps[name].needs
            shown(fan, {need.condition: need.state for need in needs}, probe)

    report(f"{len(fan.probes)} measurements of the shipped fan circuit", all_steps, 20.0, 50)


if __name__ == "__main__":
    main()

"""Random vehicle circuits of every kind of part beside ngspice: ``python -m circuit.many``.

Each has one or two batteries, wires and joints in a tree, fuses, latches and switches on the way,
and lamps, motors, diodes, potentiometers, relays, a module and a regulator as loads. Prints the
largest difference of a node voltage, and how many relays, fuses and latches stand otherwise than
what ngspice finds at their terminals calls for. Needs the Debian package ngspice.
"""

import argparse
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from circuit.small_circuits import bat, circuit, motor, relay, res, switch
from circuit.spice import node_voltages

from voiceassist.circuit.drivers import Module, Regulator
from voiceassist.circuit.parts import Bulb, Diode, Fuse, Latch, Part, Potentiometer, Relay
from voiceassist.circuit.solve import Solution, solved

#: A fuse blows above this share of its rating (WRITING.md); differences count from 1 mV on.
_BLOWS, _FROM_VOLT = 1.35, 1e-3
_LOADS = ("lamp", "fan", "friction", "diode", "potentiometer", "relay", "module", "regulator")


def network(seed: int) -> list[Part]:
    """One circuit: a tree of conductors from the battery, and a load at each of its ends."""
    rng = np.random.default_rng(seed)
    parts: list[Part] = [bat("battery", "plus", "0", float(rng.uniform(11, 14)), 0.02)]
    if rng.random() < 0.3:
        parts.append(bat("second", "second plus", "0", float(rng.uniform(11, 14)), 0.03))
        parts.append(res("strap", "plus", "second plus", float(rng.uniform(0.001, 0.1))))
    nodes = ["plus"]
    for i in range(int(rng.integers(4, 12))):
        here = f"n{i}"
        parts.append(_conductor(i, str(rng.choice(nodes)), here, rng))
        nodes.append(here)
    for i, node in enumerate(nodes[1:]):
        earth = f"e{i}" if rng.random() < 0.5 else "0"
        if earth != "0":
            parts.append(res(f"earth {i}", earth, "0", float(10 ** rng.uniform(-3, 0))))
        parts += _load(str(rng.choice(_LOADS)), i, node, earth, rng)
    return parts


def _conductor(i: int, a: str, b: str, rng: np.random.Generator) -> Part:
    ends = {"from": a, "to": b}
    kind = rng.integers(0, 5)
    if kind == 0:
        return Fuse(name=f"fuse {i}", terminals=ends, ampere=float(rng.uniform(5, 30)), ohm=0.005)
    if kind == 1:
        return Latch(name=f"latch {i}", terminals=ends, ampere=float(rng.uniform(5, 30)), ohm=0.01)
    if kind == 2:
        return switch(f"switch {i}", a, b, key=str(rng.choice(["on", "off"], p=[0.8, 0.2])))
    return res(f"wire {i}", a, b, float(10 ** rng.uniform(-3, 0.5)))


def _load(kind: str, i: int, node: str, earth: str, rng: np.random.Generator) -> Iterator[Part]:
    name, ends = f"{kind} {i}", {"from": node, "to": earth}
    if kind == "lamp":
        yield Bulb(name=name, terminals=ends, watt=float(rng.uniform(2, 60)), volt=12.0)
    elif kind in {"fan", "friction"}:
        yield motor(name, node, earth, load=kind, seized=bool(rng.random() < 0.2))
    elif kind == "diode":
        yield res(f"series {i}", node, f"d{i}", float(rng.uniform(10, 1000)))
        ideality = float(rng.uniform(1, 2))
        ends = {"from": f"d{i}", "to": earth}
        yield Diode(name=name, terminals=ends, volt=0.7, ideality=ideality)
    elif kind == "potentiometer":
        turned = float(rng.uniform(0.1, 0.9))
        track = {**ends, "wiper": f"w{i}"}
        yield Potentiometer(name=name, terminals=track, ohm=5000.0, turned=turned)
        yield res(f"reader {i}", f"w{i}", earth, 100e3)
    elif kind == "relay":
        yield relay(name, (node, earth), node, f"make {i}", f"rest {i}")
        yield res(f"made {i}", f"make {i}", earth, float(rng.uniform(2, 50)))
        yield res(f"at rest {i}", f"rest {i}", earth, float(rng.uniform(20, 500)))
    else:
        yield from _electronics(kind, i, node, earth, rng)


def _electronics(
    kind: str, i: int, node: str, earth: str, rng: np.random.Generator
) -> Iterator[Part]:
    pins = {"feed": node, "earth": earth, "output": f"out {i}"}
    if kind == "module":
        pins["command"] = f"command {i}"
        yield res(f"control {i}", f"command {i}", earth, float(10 ** rng.uniform(2, 4)))
        curve = ((2.0, 0.0), (10.0, 1.0))
        yield Module(name=f"module {i}", terminals=pins, curve=curve, pull_up=2000.0)
    else:
        yield Regulator(name=f"regulator {i}", terminals=pins, volt=5.0)
    yield res(f"driven {i}", f"out {i}", earth, float(10 ** rng.uniform(0.7, 3)))


@dataclass
class Compared:
    """What was found so far: nodes, the largest differences, and parts that stand otherwise."""

    nodes: int = 0
    share: float = 0.0
    volt: float = 0.0
    states: int = 0
    otherwise: int = 0

    def add(self, found: Solution) -> None:
        """Compare one circuit."""
        said = node_voltages(found)
        for node, volt in said.items():
            off = abs(found.voltage(node) - volt)
            self.nodes += 1
            self.volt = max(self.volt, off)
            if abs(volt) > _FROM_VOLT:
                self.share = max(self.share, off / abs(volt))
        for stands, calls_for in _states(found, said):
            self.states += 1
            self.otherwise += stands not in calls_for


def _states(found: Solution, said: Mapping[str, float]) -> Iterator[tuple[bool, tuple[bool, ...]]]:
    """Whether a contact moved, and what the voltages of ngspice let it do."""
    for part in found.circuit.parts.values():
        if isinstance(part, Relay):
            coil = abs(said[part.terminals["pin-86"]] - said[part.terminals["pin-85"]])
            either = part.drop_out <= coil < part.pull_in
            yield part.name in found.pulled, (False, True) if either else (coil >= part.pull_in,)
        elif isinstance(part, Fuse | Latch) and part.name not in found.blown:
            volt = abs(said[part.terminals["from"]] - said[part.terminals["to"]])
            most = part.ampere * (_BLOWS if isinstance(part, Fuse) else 1.0)
            yield volt / part.ohm > most, (False,)


def main() -> None:
    """Compare so many circuits, and print what was found."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--networks", type=int, default=159)
    parser.add_argument("--seed", type=int, default=0)
    asked = parser.parse_args()
    compared = Compared()
    for seed in range(asked.seed, asked.seed + asked.networks):
        compared.add(solved(circuit(*network(seed)), {"key": "on"}))
    print(f"{asked.networks} circuits, {compared.nodes} nodes")
    print(f"largest difference: {compared.share:.1e} of the voltage, {compared.volt:.1e} V")
    print(f"contacts that stand otherwise: {compared.otherwise} of {compared.states}")


if __name__ == "__main__":
    main()

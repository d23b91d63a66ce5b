"""Short ways to write parts and circuits; node "0" is earth."""

from collections.abc import Mapping

from voiceassist.circuit.drivers import Module
from voiceassist.circuit.model import Circuit
from voiceassist.circuit.parts import (
    Battery,
    Bulb,
    Diode,
    Motor,
    Part,
    Plug,
    Pulses,
    Relay,
    Resistor,
    Switch,
)
from voiceassist.circuit.solve import Solution, solved
from voiceassist.circuit.values import Value


def ends(a: str, b: str) -> dict[str, str]:
    return {"from": a, "to": b}


def res(name: str, a: str, b: str, ohm: Value, tolerance: float = 0.0) -> Resistor:
    return Resistor(name=name, terminals=ends(a, b), ohm=ohm, tolerance=tolerance)


def bat(name: str, a: str, b: str, volt: float, ohm: float = 0.0) -> Battery:
    return Battery(name=name, terminals=ends(a, b), volt=volt, ohm=ohm)


def lamp(name: str, a: str, b: str, watt: float = 21.0) -> Bulb:
    return Bulb(name=name, terminals=ends(a, b), watt=watt, volt=12.0)


def motor(name: str, a: str, b: str, load: str = "fan", *, seized: bool = False) -> Motor:
    return Motor(
        name=name, terminals=ends(a, b), volt=12.0, ampere=7.0, ohm=0.4, load=load, seized=seized
    )


def diode(name: str, a: str, b: str, volt: float = 0.7) -> Diode:
    return Diode(name=name, terminals=ends(a, b), volt=volt)


def switch(name: str, a: str, b: str, **when: str) -> Switch:
    closed = {condition: frozenset([state]) for condition, state in when.items()}
    return Switch(name=name, terminals=ends(a, b), closed_when=closed, ohm=0.001)


def relay(name: str, coil: tuple[str, str], common: str, make: str = "", rest: str = "") -> Relay:
    nodes = {"pin-86": coil[0], "pin-85": coil[1], "pin-30": common}
    nodes |= {pin: node for pin, node in (("pin-87", make), ("pin-87a", rest)) if node}
    return Relay(name=name, terminals=nodes, coil_ohm=85.0, pull_in=7.0, drop_out=2.5, ohm=0.01)


def module(name: str, feed: str, earth: str, command: str, output: str) -> Module:
    """Follows its command from 2 V (nothing) to 10 V (everything)."""
    nodes = {"feed": feed, "earth": earth, "command": command, "output": output}
    return Module(name=name, terminals=nodes, curve=((2.0, 0.0), (10.0, 1.0)))


def pulses(name: str, a: str, b: str, duty: float) -> Pulses:
    return Pulses(name=name, terminals=ends(a, b), volt=12.0, hertz=1000.0, duty=duty)


def circuit(*parts: Part, plugs: Mapping[str, Plug] | None = None) -> Circuit:
    supply = next((part.terminals["from"] for part in parts if isinstance(part, Battery)), "")
    named = {part.name: part for part in parts}
    assert len(named) == len(parts)
    return Circuit(parts=named, earth="0", supply=supply, plugs=plugs or {})


def at_rest(*parts: Part) -> Solution:
    """The parts solved, with no condition."""
    return solved(circuit(*parts), {})

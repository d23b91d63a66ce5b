"""What goes on in a circuit in given states: what turns, burns and is at work, and what a test
lamp would hurt."""

import re
from collections.abc import Iterable, Iterator, Mapping

from voiceassist.circuit.drivers import Module, Regulator
from voiceassist.circuit.model import Circuit, Probe
from voiceassist.circuit.parts import Battery, Bulb, Motor, Part, Pulses, Resistor
from voiceassist.circuit.probe import shown
from voiceassist.circuit.solve import Solution, solved
from voiceassist.circuit.values import numbers_of
from voiceassist.errors import CircuitError

#: A motor that takes more turns, and a load that takes more is at work. In A; common practice,
#: no source.
_TURNS, _AT_WORK = 0.2, 0.5
#: A lamp of so many watts is hot when it has burnt. Common practice, no source.
_HOT_WATT = 10.0
#: Outputs of more ohms are those of small drivers, which a test lamp kills.
_SMALL_DRIVER_OHM = 0.5

_FUEL_PART = re.compile(r"fuel|pump|tank|injector")
#: What a pump moves that is no fuel.
_OTHER = "wash|washer|water|coolant|vacuum|air|oil|bilge|brake|steering"
_OTHER_PUMP = re.compile(rf"\b(?:{_OTHER})[- ]pump\b")
#: What a node is called that is the post itself, not an earth that is joined to it.
_POST = re.compile(r"\bpost\b|battery")


def solved_or_none(circuit: Circuit, states: Mapping[str, str]) -> Solution | None:
    """The solution of ``circuit``; None where it has none."""
    try:
        return solved(circuit, states)
    except CircuitError:
        return None


# --- what is at work ---


def turning(good: Solution) -> Iterator[str]:
    """Motors that turn where they can be seen, and could hurt somebody: not in a pump."""
    for part in good.circuit.parts.values():
        seen = isinstance(part, Motor) and not _FUEL_PART.search(
            part.name
        )  # no pump's wheel is seen
        if seen and abs(good.current(part.name)) > _TURNS:
            yield part.name


def burning(good: Solution) -> Iterator[str]:
    """Lamps that burn, and are hot from it."""
    for part in good.circuit.parts.values():
        if isinstance(part, Bulb) and good.power(part.name) > _HOT_WATT:
            yield part.name


def at_work(good: Solution) -> Iterator[str]:
    """Lamps and motors that are switched on."""
    for part in good.circuit.parts.values():
        if isinstance(part, Bulb | Motor) and abs(good.current(part.name)) > _AT_WORK:
            yield part.name


def flow(circuit: Circuit, states: Mapping[str, str], plug: str, pins: Iterable[str]) -> float:
    """The largest current through ``pins`` of ``plug``, in A."""
    found = solved_or_none(circuit, states)
    return max((abs(found.pin_current(plug, pin)) for pin in pins), default=0.0) if found else 0.0


def overloads(circuit: Circuit, states: Mapping[str, str], probe: Probe) -> bool:
    """True when more flows through the meter than it bears."""
    try:
        return shown(circuit, states, probe).over
    except CircuitError:
        return False


def blows_a_fuse(circuit: Circuit, states: Mapping[str, str]) -> bool:
    """True when a fuse of ``circuit`` blows in ``states``."""
    found = solved_or_none(circuit, states)
    return bool(found is not None and found.blown)


# --- what is where ---


def is_for_fuel(part: Part) -> bool:
    """True for a part that fuel flows through, going by its name."""
    return _FUEL_PART.search(without_other_pumps(part.name)) is not None


def without_other_pumps(words: str) -> str:
    """``words`` without the pumps that they say something else than fuel flows through."""
    return _OTHER_PUMP.sub("", words)


def pump_hint(words: str) -> str:
    """What else would do where ``words`` do not say what a pump moves."""
    plain = "pump" in words and "fuel" not in words
    return ", or say what it pumps, such as 'water pump'" if plain else ""


def behind(circuit: Circuit, plug: str) -> Iterator[str]:
    """Parts that ``plug`` cuts off."""
    mark = f" behind {plug}"
    for part in circuit.parts.values():
        if any(node.endswith(mark) for node in part.terminals.values()):
            yield part.name


def battery_posts(circuit: Circuit) -> Iterator[str]:
    """The nodes that are a battery's posts themselves."""
    for part in circuit.parts.values():
        if isinstance(part, Battery):
            yield from (node for node in part.terminals.values() if _POST.search(node))


def ends_of(part: Part) -> set[str]:
    """The nodes of ``part``, on the harness side of a plug too."""
    nodes = set(part.terminals.values())
    return nodes | {node.split(" behind ")[0] for node in nodes}


def weak_nodes(circuit: Circuit) -> Iterator[tuple[str, str]]:
    """Nodes that a test lamp must not load, each with the part that it would hurt."""
    for part in circuit.parts.values():
        ends = part.terminals
        if isinstance(part, Module) and "command" in ends:
            yield ends["command"], part.name
        if isinstance(part, Module) and min(numbers_of(part.ohm)) > _SMALL_DRIVER_OHM:
            yield ends["output"], part.name
        if isinstance(part, Regulator):
            yield ends["output"], part.name
        if isinstance(part, Pulses):
            yield ends["from"], part.name
        if isinstance(part, Resistor) and part.sort == "termination":
            yield from ((node, part.name) for node in ends.values())

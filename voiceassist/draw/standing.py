"""How a good vehicle stands at a step: what is live, what is open, what the meter is held to."""

from collections.abc import Iterator

from voiceassist.circuit.model import Circuit, Probe, Shows
from voiceassist.circuit.parts import Battery, Fuse, Latch, Part, Relay, Resistor, Switch, is_closed
from voiceassist.circuit.solve import Solution, solved
from voiceassist.circuit.values import States
from voiceassist.draw.look import Look
from voiceassist.errors import CircuitError

#: A node is live when it is as near to the voltage of the supply, in V. Common practice, no source.
LIVE_WITHIN = 1.0
_METER = "the meter"


def look_of(circuit: Circuit, states: States, probe: Probe | None = None) -> Look:
    """What a good vehicle looks like in ``states`` with ``probe`` held to it.

    Nothing is live where the circuit cannot be solved so.
    """
    states = circuit.states(states)
    open_plugs = frozenset(
        name for name, plug in circuit.plugs.items() if not is_closed(plug.closed_when, states)
    )
    try:
        found = solved(_with_load(circuit, probe), states)
    except CircuitError:
        return Look(open_plugs=open_plugs, is_state=True)
    shut = {name: shut for name, part in circuit.parts.items() for shut in _closed(found, part)}
    closed, opened = (
        frozenset(n for n, is_shut in shut.items() if is_shut is b) for b in (True, False)
    )
    return Look(frozenset(_live(found)), closed, opened, open_plugs, is_state=True)


def _with_load(circuit: Circuit, probe: Probe | None) -> Circuit:
    """``circuit`` with the lamp or the ammeter that changes what flows; a voltmeter does not."""
    if probe is None:
        return circuit
    if probe.lamp is not None:
        circuit = circuit.with_parts(circuit.instruments.lamp(*probe.lamp))
    if probe.shows is Shows.LAMP:
        return circuit.with_parts(circuit.instruments.lamp(probe.red, probe.black))
    if probe.shows is Shows.CURRENT and probe.red and probe.black:
        ends = {"from": probe.red, "to": probe.black}
        meter = Resistor(name=_METER, terminals=ends, ohm=circuit.instruments.ammeter_ohm)
        return circuit.with_parts(meter)
    return circuit


def _closed(found: Solution, part: Part) -> Iterator[bool]:
    """Whether ``part`` lets current pass; nothing for one that always does."""
    if isinstance(part, Switch):
        yield part.is_closed(found.moment.states)
    elif isinstance(part, Relay):
        yield part.name in found.pulled if part.stuck is None else part.stuck
    elif isinstance(part, Latch):
        yield not (part.tripped or part.name in found.blown)
    elif isinstance(part, Fuse) and (part.blown or part.name in found.blown):
        yield False


def _live(found: Solution) -> Iterator[str]:
    """Every node near the voltage of the supply, and the plus posts of all batteries."""
    circuit = found.circuit
    posts = {p.terminals["from"] for p in circuit.parts.values() if isinstance(p, Battery)}
    supply = _voltage(found, circuit.supply) if circuit.supply else None
    if supply is None:
        return
    for node in circuit.nodes:
        volt = _voltage(found, node)
        if volt is None or node == circuit.earth:
            continue
        if volt >= max(supply - LIVE_WITHIN, LIVE_WITHIN) or (node in posts and volt > LIVE_WITHIN):
            yield node


def _voltage(found: Solution, node: str) -> float | None:
    try:
        return found.voltage(node)
    except CircuitError:
        return None

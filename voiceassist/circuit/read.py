"""The ``circuit:`` and ``faults:`` of a procedure file to a ``Circuit`` and its faults."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

from voiceassist.circuit.faults import CircuitFault
from voiceassist.circuit.following import followed
from voiceassist.circuit.model import Circuit, Instruments, Probe, Shows
from voiceassist.circuit.parts import Battery, Part, Plug
from voiceassist.circuit.read_faults import check_answers, faults_of
from voiceassist.circuit.read_parts import part_at
from voiceassist.circuit.reading import CircuitReader, Path
from voiceassist.circuit.shape import CircuitShape, FaultShape, InstrumentsShape, PlugShape
from voiceassist.circuit.wording import places_in, probe_of, said_otherwise

_HERE: Path = ("circuit",)


@dataclass(frozen=True, slots=True)
class Probed:
    """A step whose reading the circuit is to tell.

    Parts:
        name: of the step.
        text: what it measures.
        shows: the instrument.
        path: where it stands in the file.
    """

    name: str
    text: str
    shows: Shows
    path: Path


def read_circuit(
    shape: CircuitShape,
    faults: Mapping[str, FaultShape],
    asked: Sequence[Probed],
    reader: CircuitReader,
) -> tuple[Circuit | None, dict[str, CircuitFault]]:
    """The circuit in ``shape`` and what can be wrong with it; None when it cannot be used.

    Args:
        shape: what stands under ``circuit:``.
        faults: what stands under ``faults:``.
        asked: the steps it is to tell the readings of.
        reader: takes the blame for what is wrong.
    """
    circuit = _circuit(shape, reader)
    if circuit is None:
        return None, {}
    _check_nodes(shape, circuit, reader)
    if not _check_states(shape, circuit, reader):
        return None, {}
    check_answers((*_HERE, "answers"), shape.answers, reader)
    circuit = replace(circuit, probes=_probes(shape, circuit, asked, reader))
    return circuit, faults_of(faults, circuit, reader)


def _circuit(shape: CircuitShape, reader: CircuitReader) -> Circuit | None:
    plugs = {
        name: _plug((*_HERE, "plugs", name), body, reader) for name, body in shape.plugs.items()
    }
    parts = _parts(shape, plugs, reader)
    if len(parts) < len(shape.parts):
        return None  # blamed already, and the rest would only echo it
    source = next((part for part in parts.values() if isinstance(part, Battery)), None)
    if source is None:
        reader.blame.error((*_HERE, "parts"), "nothing gives a voltage; add a battery")
        return None
    make = partial(
        Circuit,
        parts=parts,
        earth=shape.earth or source.terminals["to"],
        supply=source.terminals["from"],
        plugs=plugs,
        points={n: (to,) if isinstance(to, str) else tuple(to) for n, to in shape.points.items()},
        at_first=shape.at_first,
        answers=shape.answers,
        instruments=_instruments(shape.instruments, reader),
    )
    return reader.attempt((*_HERE, "earth") if shape.earth else _HERE, make)


def _parts(
    shape: CircuitShape, plugs: Mapping[str, Plug], reader: CircuitReader
) -> dict[str, Part]:
    """The parts that can be used."""
    tolerance = reader.number((*_HERE, "tolerance"), shape.tolerance, "ratio")
    read = (
        part_at((*_HERE, "parts", name), body, plugs, tolerance or 0.0, reader)
        for name, body in shape.parts.items()
    )
    return {part.name: part for part in read if part is not None}


def _plug(path: Path, shape: PlugShape, reader: CircuitReader) -> Plug:
    closed = reader.closed_when((*path, "closed-when"), shape.closed_when)
    ohm = reader.number((*path, "resistance"), shape.resistance, "resistance")
    pins = tuple(shape.pins)
    if len(set(pins)) < len(pins):
        reader.blame.error((*path, "pins"), "a pin stands here twice; keep one of them")
    return Plug(str(path[-1]), pins, closed, Plug.PIN_OHM if ohm is None else ohm)


def _instruments(shape: InstrumentsShape | None, reader: CircuitReader) -> Instruments:
    if shape is None:
        return Instruments()
    place = (*_HERE, "instruments")
    given = {
        "voltmeter_ohm": reader.number((*place, "voltmeter"), shape.voltmeter, "resistance"),
        "ammeter_ohm": reader.number((*place, "ammeter"), shape.ammeter, "resistance"),
        "lamp_watt": reader.number((*place, "lamp"), shape.lamp, "power"),
        "lamp_volt": reader.number((*place, "lamp-voltage"), shape.lamp_voltage, "voltage"),
    }
    for field, number in given.items():
        if number == 0:
            key = field.replace("_watt", "").replace("_ohm", "").replace("_volt", "-voltage")
            reader.blame.error((*place, key), "zero cannot be; give a value above it")
    return replace(Instruments(), **{field: number for field, number in given.items() if number})


# --- does it hang together? ---


def _check_nodes(shape: CircuitShape, circuit: Circuit, reader: CircuitReader) -> None:
    """Blame nodes that lead nowhere, and points without a node."""
    joined = list(_joined(circuit))
    known = [node for node in circuit.nodes if " behind " not in node]
    probed = {node for nodes in circuit.points.values() for node in nodes}
    for node, owner, path in joined:
        if sum(other == node for other, _, _ in joined) == 1 and node not in probed:
            near = [name for name in known if name != node]
            hint = reader.known.hint(node, near)
            message = f"the node {node!r} leads nowhere, only {owner!r} is joined to it{hint}"
            reader.blame.error(path, message)
    for name, nodes in circuit.points.items():
        place = (*_HERE, "points", name)
        if len(nodes) > 2:
            reader.blame.error(place, "a point is one node, or a plus and a minus node")
        for node in nodes:
            reader.knows(place, "node", node, circuit.nodes)


def _joined(circuit: Circuit) -> Iterator[tuple[str, str, Path]]:
    """Each end of a part or pin: its node, whose it is, and where that stands."""
    for name, part in circuit.parts.items():
        for terminal, node in part.terminals.items():
            yield node, name, (*_HERE, "parts", name, terminal)
    for name, plug in circuit.plugs.items():
        for pin in plug.pins:
            yield pin, name, (*_HERE, "plugs", name, "pins")
            yield plug.behind(pin), name, (*_HERE, "plugs", name, "pins")


def _check_states(shape: CircuitShape, circuit: Circuit, reader: CircuitReader) -> bool:
    """Blame conditions that the circuit follows and that have no state at first."""
    place = (*_HERE, "at-first")
    well = True
    for condition, state in shape.at_first.items():
        known = reader.known.conditions
        here = (*place, condition)
        well &= reader.knows(here, "condition", condition, list(known)) and reader.knows(
            here, f"state of {condition!r}", state, known[condition]
        )
    for condition in followed(circuit):
        if condition in reader.known.conditions and condition not in shape.at_first:
            message = f"the circuit follows {condition!r}; tell its state as the vehicle is met"
            reader.blame.error(place, message)
            well = False
        well &= condition in reader.known.conditions
    return well


def _probes(
    shape: CircuitShape, circuit: Circuit, asked: Sequence[Probed], reader: CircuitReader
) -> dict[str, Probe]:
    """Where each step that is asked for holds its instrument; a lamp stays lit till the next."""
    places = places_in(circuit)
    found: dict[str, Probe] = {}
    lit: tuple[str, str] | None = None
    for name in shape.probes:
        known = [one.name for one in asked]
        reader.knows((*_HERE, "probes", name), "measuring step", name, known)
    for one in asked:
        if one.name in shape.answers:
            continue
        text = shape.probes.get(one.name, one.text)
        path = (*_HERE, "probes", one.name) if one.name in shape.probes else one.path
        make = partial(probe_of, one.name, text, one.shows, places, circuit.earth, lit)
        probe = reader.attempt(path, make)
        if probe is not None:
            if otherwise := said_otherwise(one.text, probe, places):
                reader.blame.error(path, otherwise)
            found[one.name] = probe
            lit = (probe.red, probe.black) if one.shows is Shows.LAMP else lit
    return found

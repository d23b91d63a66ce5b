"""Test points: where each is, and its connector, pin and wire."""

from collections.abc import Iterator
from dataclasses import replace

from voiceassist.circuit.colours import colour
from voiceassist.circuit.model import Circuit
from voiceassist.circuit.parts import Resistor
from voiceassist.errors import CircuitError, MeasureError
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.model import Point, Step
from voiceassist.procedure.shape.procedure import ProcedureShape
from voiceassist.procedure.shape.step import PointShape
from voiceassist.procedure.text.fault_collector import FaultCollector
from voiceassist.procedure.text.tree import Path


def points_of(shape: ProcedureShape, blame: FaultCollector) -> dict[str, Point]:
    """The test points of a file, by name."""
    return {
        name: Point(name, body) if isinstance(body, str) else _point(name, body, blame)
        for name, body in shape.points.items()
    }


def _point(name: str, body: PointShape, blame: FaultCollector) -> Point:
    path: Path = ("points", name)
    if body.pin and not body.connector:
        message = f"pin {body.pin} is told without its connector; add 'connector:'"
        blame.error((*path, "pin"), message)
    return Point(
        name,
        body.where,
        connector=body.connector or "",
        pin=body.pin or "",
        colour=_colour((*path, "wire"), body.wire, blame),
        size=_size((*path, "size"), body.size, blame),
    )


def _colour(path: Path, letters: str | None, blame: FaultCollector) -> str:
    try:
        return colour(letters) if letters is not None else ""
    except CircuitError as error:
        blame.error(path, str(error))
        return ""


def _size(path: Path, written: str | None, blame: FaultCollector) -> str:
    """A cross-section, as written."""
    if written is None or written.startswith("AWG "):
        return written or ""
    try:
        if Quantity.parse(written).unit.quantity == "area":
            return written
    except MeasureError:
        pass
    blame.error(path, f"{written!r} is no cross-section; write it like 2.5 mm² or AWG 14")
    return ""


def with_wires(step: Step, circuit: Circuit | None) -> Step:
    """The step with its test points told what the circuit knows of their plug and wire."""
    if circuit is None or not step.points:
        return step
    return replace(step, points=tuple(_told(point, circuit) for point in step.points))


def _told(point: Point, circuit: Circuit) -> Point:
    """What the file tells of a point comes first; then the one colour of the wires that end there.

    Where wires of two colours meet, neither is told; nor is one at the earth, which is bare metal.
    """
    plugs = [plug.name for plug in circuit.plugs.values() if point.name in plug.pins]
    placed = replace(point, connector=point.connector or (plugs[0] if len(plugs) == 1 else ""))
    wires = list(_wires(point.name, circuit)) if point.name != circuit.earth else []
    if point.colour or len({wire.colour for wire in wires}) != 1 or not wires[0].colour:
        return placed
    sizes = {wire.size for wire in wires}
    size = point.size or (wires[0].size if len(sizes) == 1 else "")
    return replace(placed, colour=wires[0].colour, size=size)


def _wires(node: str, circuit: Circuit) -> Iterator[Resistor]:
    for part in circuit.parts.values():
        if isinstance(part, Resistor) and part.sort == "wire" and node in part.terminals.values():
            yield part

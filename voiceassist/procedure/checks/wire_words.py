"""Do the words of a test point name the wire that the circuit has there?"""

import re
from collections.abc import Iterator, Mapping

from voiceassist.circuit.colours import COLOURS, colour_in
from voiceassist.circuit.model import Circuit
from voiceassist.circuit.parts import Resistor
from voiceassist.procedure.model import Point
from voiceassist.procedure.text.fault_collector import FaultCollector

#: A colour is that of a wire where such a word follows: "the thick red wire", "red and white wire".
_WIRE = re.compile(r"[^,;.]*\b(?:wire|cable|lead)s?\b")


def check_wire_words(
    points: Mapping[str, Point], circuit: Circuit | None, blame: FaultCollector
) -> None:
    """Report a point whose wire has another colour in the circuit: two pins were exchanged."""
    for point in points.values() if circuit is not None else ():
        assert circuit is not None
        told = point.colour or _told(point.where)
        wires = list(_wires(circuit, point.name))
        if told and wires and not any(_codes(told) & _codes(letters) for letters, _ in wires):
            letters, wire = wires[0]
            message = (
                f"{point.name!r} has {_a_wire(told)} here, and the circuit joins "
                f"{wire!r} to it, {_a_wire(letters)}; mend one of them"
            )
            blame.error(("points", point.name), message)


def _told(where: str) -> str:
    found = _WIRE.match(where)
    return colour_in(found.group()) if found is not None else ""


def _wires(circuit: Circuit, point: str) -> Iterator[tuple[str, str]]:
    """Colour and name of the wires that end at ``point``, where it is one node."""
    nodes = circuit.points.get(point, (point,))
    for part in circuit.parts.values():
        here = len(nodes) == 1 and nodes[0] in part.terminals.values()
        if here and isinstance(part, Resistor) and part.sort == "wire" and part.colour:
            yield part.colour, part.name


def _codes(letters: str) -> set[str]:
    return {letters[i : i + 2] for i in range(0, len(letters), 2)}


def _a_wire(letters: str) -> str:
    words = " and ".join(COLOURS[letters[i : i + 2]] for i in range(0, len(letters), 2))
    return f"{'an' if words[0] in 'aeiou' else 'a'} {words} wire"

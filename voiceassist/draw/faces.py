"""The faces of connectors as values: their cavities by number, and which of them is probed.

A file tells numbers and wires of pins, not where each cavity is; they are put in order.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from voiceassist.draw.step_view import LeadEnd, StepView, points_of
from voiceassist.procedure.model import Point, Procedure

#: Cavities are counted from one up to the highest pin that is known, when these are not more.
_MOST_COUNTED = 24


@dataclass(frozen=True, slots=True)
class Cavity:
    """A place for one pin.

    Parts:
        number: of the pin, or its letters; empty when not told.
        name: of the test point there; empty when none is.
        colour: of the wire, in the letters of IEC 60757; empty when not told.
        ends: of the instrument that are held there.
    """

    number: str
    name: str = ""
    colour: str = ""
    ends: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Face:
    """A connector with its cavities, and whether it is pulled."""

    connector: str
    cavities: tuple[Cavity, ...]
    is_open: bool = False


def faces_of(view: StepView) -> tuple[Face, ...]:
    """The connectors that an instrument is held to, in the order of its ends."""
    points = points_of(view.procedure)
    names = [held.point.connector for held in view.held if held.point and held.point.connector]
    open_plugs = view.look.open_plugs if view.look else frozenset()
    return tuple(
        Face(name, tuple(_cavities(view.procedure, name, points, view.held)), name in open_plugs)
        for name in dict.fromkeys(names)
    )


def _cavities(
    procedure: Procedure, connector: str, points: Mapping[str, Point], held: Sequence[LeadEnd]
) -> Iterator[Cavity]:
    ends: dict[str, tuple[str, ...]] = {}
    for one in held:
        key = one.point.name if one.point else one.name
        ends[key] = (*ends.get(key, ()), one.end)
    here = [point for point in points.values() if point.connector == connector]
    numbered = {point.pin: point for point in here if point.pin}
    for number in _numbers(list(numbered)):
        point = numbered.get(number)
        if point is None:
            yield Cavity(number)
        else:
            yield Cavity(number, point.name, point.colour, ends.get(point.name, ()))
    if not numbered:
        for name in _names(procedure, connector, here):
            colour = points[name].colour if name in points else ""
            yield Cavity("", name, colour, ends.get(name, ()))


def _numbers(known: Sequence[str]) -> list[str]:
    if known and all(number.isdigit() for number in known):
        highest = max(map(int, known))
        if highest <= _MOST_COUNTED:
            return [str(n) for n in range(1, highest + 1)]
        return sorted(known, key=int)
    return sorted(known)


def _names(procedure: Procedure, connector: str, here: Sequence[Point]) -> list[str]:
    """Of the pins of a connector without numbers: those of the circuit, and those told of."""
    plugs = procedure.circuit.plugs if procedure.circuit else {}
    of_plug = plugs[connector].pins if connector in plugs else ()
    return list(dict.fromkeys((*of_plug, *(point.name for point in here))))

"""The circuit at a step, as much of it as there is room for, with the instrument in it."""

from collections.abc import Sequence
from dataclasses import dataclass

from voiceassist.circuit.model import Circuit
from voiceassist.draw.canvas import Canvas
from voiceassist.draw.circuit import laid_out
from voiceassist.draw.instrument import Instrument
from voiceassist.draw.letters import letters_of
from voiceassist.draw.look import Look
from voiceassist.draw.nearby import in_order_of_need
from voiceassist.draw.path_drawing import drawn
from voiceassist.draw.paths import numbered
from voiceassist.draw.places import Places, places_of

#: Letters are wrapped at this width, so that four paths stand side by side on a telephone.
_WRAP = 66.0
#: After so many parts in a row for which there is no room, no more are tried.
_MOST_MISSED = 5
#: What stands below the rail of earth.
_FOOT = 44.0


@dataclass(frozen=True, slots=True)
class StepCircuit:
    """The circuit of a step, drawn.

    Parts:
        canvas: the drawing.
        left_out: what there was no room for, by name.
    """

    canvas: Canvas
    left_out: tuple[str, ...]


def step_circuit(
    circuit: Circuit, look: Look, told: Sequence[str], room: tuple[float, float]
) -> StepCircuit:
    """As many parts as fit into ``room``, those first that the step is about.

    Args:
        circuit: with the instruments in it.
        look: how it stands.
        told: names of nodes and parts that the step is about.
        room: width and height that may be filled.
    """
    first, *others = in_order_of_need(circuit, told)
    kept = [first, *others[:1]]
    missed = 0
    for group in others[1:]:
        fits = _fits(circuit, look, [*kept, group], room)
        kept += [group] if fits else []
        missed = 0 if fits else missed + 1
        if missed == _MOST_MISSED:
            break
    while len(kept) > 2 and not _fits(circuit, look, kept, room, rough=False):
        kept.pop()
    names = [name for group in kept for name in group]
    places = _places(circuit, look, names, rough=False)
    rest = (name for name in circuit.parts if name not in names)
    return StepCircuit(
        drawn(places, circuit.supply, circuit.earth, look),
        tuple(name for name in rest if not isinstance(circuit.parts[name], Instrument)),
    )


def _fits(
    circuit: Circuit,
    look: Look,
    groups: Sequence[Sequence[str]],
    room: tuple[float, float],
    *,
    rough: bool = True,
) -> bool:
    places = _places(circuit, look, [name for group in groups for name in group], rough=rough)
    return places.width <= room[0] and places.rail_y + _FOOT <= room[1]


def _places(circuit: Circuit, look: Look, names: Sequence[str], *, rough: bool) -> Places:
    sheet = laid_out(circuit, names, rough=rough)
    return places_of(sheet, letters_of(sheet, numbered(sheet), look, _WRAP))

"""The circuit at a step, as much of it as there is room for, with the instrument in it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache, partial

from voiceassist.circuit.model import Circuit, Probe
from voiceassist.circuit.parts import Part
from voiceassist.draw.canvas import Canvas
from voiceassist.draw.circuit import laid_out
from voiceassist.draw.elements import halves_of
from voiceassist.draw.instrument import (
    Instrument,
    PulledPlug,
    held_nodes,
    with_instruments,
    with_pulled,
)
from voiceassist.draw.letters import letters_of
from voiceassist.draw.look import Look
from voiceassist.draw.nearby import in_order_of_need
from voiceassist.draw.path_drawing import drawn
from voiceassist.draw.paths import numbered
from voiceassist.draw.places import Places, places_of

#: Letters are wrapped at the first of these widths at which there is room for what is needed most;
#: four paths stand side by side on a telephone.
_WRAPS = (66.0, 50.0)
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


@dataclass(frozen=True, slots=True)
class DrawingOrder:
    """What is to be drawn.

    Parts:
        look: how the circuit stands.
        told: names of nodes and parts that the step is about.
        room: width and height that may be filled.
    """

    look: Look
    told: tuple[str, ...]
    room: tuple[float, float]


class _Same:
    """Stands for a circuit in a key: the very same one, which it keeps from being forgotten."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.circuit is self.circuit

    def __hash__(self) -> int:
        return id(self.circuit)


def step_circuit(circuit: Circuit, probe: Probe | None, wish: DrawingOrder) -> StepCircuit:
    """As many parts of ``circuit`` as there is room for, those first that the step is about.

    What was drawn is kept, so that a new reading draws no circuit anew.
    """
    return _drawn(_Same(circuit), probe, wish)


@lru_cache(maxsize=64)
def _drawn(same: _Same, probe: Probe | None, wish: DrawingOrder) -> StepCircuit:
    circuit, look, room = same.circuit, wish.look, wish.room
    if probe is not None:
        circuit = with_instruments(circuit, probe)
        circuit = with_pulled(circuit, held_nodes(probe), look.open_plugs)
    first, *others = in_order_of_need(circuit, wish.told)
    fit = partial(_fits, circuit, look, room)
    wrap = next((wrap for wrap in _WRAPS if fit([first, *others[:1]], wrap)), _WRAPS[-1])
    kept, missed = [first], 0
    for group in others:
        fits = fit([*kept, group], wrap)
        kept += [group] if fits else []
        missed = 0 if fits else missed + 1
        if missed == _MOST_MISSED:
            break
    while len(kept) > 1 and not fit(kept, wrap, rough=False):
        kept.pop()
    if len(kept) == 1 and any(isinstance(part, Instrument) for part in circuit.parts.values()):
        kept += others[:1]
    names = _without_stand_ins(circuit, kept)
    places = _places(circuit, look, names, wrap, rough=False)
    rest = [
        part
        for name, part in circuit.parts.items()
        if name not in names and not isinstance(part, Instrument | PulledPlug)
    ]
    look = replace(look, going_on=_ends_of(circuit, rest) - _held(circuit) - {circuit.supply})
    return StepCircuit(
        drawn(places, circuit.supply, circuit.earth, look), tuple(part.name for part in rest)
    )


def _ends_of(circuit: Circuit, parts: Iterable[Part]) -> frozenset[str]:
    """The nodes of ``parts``, on the harness side of plugs."""
    elements = (one for part in parts for one in halves_of(circuit, part))
    return frozenset(node for one in elements for node in one.nodes)


def _held(circuit: Circuit) -> frozenset[str]:
    return _ends_of(circuit, (p for p in circuit.parts.values() if isinstance(p, Instrument)))


def _without_stand_ins(circuit: Circuit, groups: Sequence[Sequence[str]]) -> list[str]:
    """All names in ``groups`` without pulled plugs in whose place something else is drawn."""
    parts = [circuit.parts[n] for n in dict.fromkeys(name for group in groups for name in group)]
    drawn = {
        node
        for part in parts
        for node in part.terminals.values()
        if not isinstance(part, PulledPlug)
    }
    return [p.name for p in parts if not (isinstance(p, PulledPlug) and p.behind in drawn)]


def _fits(
    circuit: Circuit,
    look: Look,
    room: tuple[float, float],
    groups: Sequence[Sequence[str]],
    wrap: float,
    *,
    rough: bool = True,
) -> bool:
    names = _without_stand_ins(circuit, groups)
    places = _places(circuit, look, names, wrap, rough=rough)
    return places.width <= room[0] and places.rail_y + _FOOT <= room[1]


def _places(
    circuit: Circuit, look: Look, names: Sequence[str], wrap: float, *, rough: bool
) -> Places:
    sheet = laid_out(circuit, names, rough=rough)
    return places_of(sheet, letters_of(sheet, numbered(sheet), look, wrap))

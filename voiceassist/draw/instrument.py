"""An instrument in a drawing: it stands in the circuit as a thing of its own, with its leads."""

from collections.abc import Collection, Container, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import ClassVar

from voiceassist.circuit.model import Circuit, Probe, Shows
from voiceassist.circuit.parts import Part
from voiceassist.draw.canvas import Canvas

#: How tall it is, its leads counted; the radius of its dial.
INSTRUMENT_TALL, _DIAL = 88.0, 14.0
#: What stands in its dial.
_LETTERS: Mapping[Shows, str] = MappingProxyType(
    {
        Shows.VOLTAGE: "V", Shows.CURRENT: "A", Shows.RESISTANCE: "Ω",
        Shows.FREQUENCY: "Hz", Shows.DUTY: "%", Shows.LAMP: "",
    }
)  # fmt: skip
_NAMES: Mapping[Shows, str] = MappingProxyType(
    {
        Shows.VOLTAGE: "voltmeter", Shows.CURRENT: "ammeter", Shows.RESISTANCE: "ohmmeter",
        Shows.FREQUENCY: "meter, frequency", Shows.DUTY: "meter, duty", Shows.LAMP: "test lamp",
    }
)  # fmt: skip
_LEADS: Mapping[str, str] = MappingProxyType({"from": "red", "to": "black"})
#: A lead of a lamp.
LAMP_LEAD = "lamp"
_CLAMP = "clamp meter"
#: Node between an instrument and the part that it was put in series with.
_BETWEEN = "between the meter and "


@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument(Part):
    """What is held to the circuit; "from" is its red lead, "to" its black one.

    Parts:
        letter: in its dial; empty for a lamp.
        clamp: it lies around a wire.
    """

    KIND: ClassVar[str] = "instrument"
    letter: str = ""
    clamp: bool = False

    @property
    def lamp(self) -> bool:
        """Whether it is a test lamp."""
        return not self.letter


@dataclass(frozen=True, slots=True, kw_only=True)
class PulledPlug(Part):
    """A pin of a plug that is pulled, in place of what is behind it."""

    KIND: ClassVar[str] = "pulled plug"
    TERMINALS: ClassVar[tuple[str, ...]] = ("from",)

    @property
    def behind(self) -> str:
        """The node on the other side of its pin."""
        return self.terminals["from"]


def with_pulled(circuit: Circuit, nodes: Collection[str], plugs: Container[str]) -> Circuit:
    """``circuit`` with a pulled plug at each of ``nodes`` that is a pin of one of ``plugs``."""
    pulled = [
        PulledPlug(name=f"{plug.name}, {pin}", terminals={"from": plug.behind(pin)})
        for plug in circuit.plugs.values()
        for pin in plug.pins
        if plug.name in plugs and pin in nodes
    ]
    return circuit.with_parts(*pulled)


def has_leads(part: Part) -> bool:
    """True for an instrument that is held to points, not around a wire."""
    return isinstance(part, Instrument) and not part.clamp


def with_instruments(circuit: Circuit, probe: Probe) -> Circuit:
    """``circuit`` with what ``probe`` tells of drawn into it.

    A plug whose pins it is held to on the part's side is left out, so that what is behind it
    stands alone.
    """
    held = held_nodes(probe)
    alone = {
        name
        for name, plug in circuit.plugs.items()
        if any(plug.behind(pin) in held for pin in plug.pins)
    }
    plugs = {name: plug for name, plug in circuit.plugs.items() if name not in alone}
    circuit = replace(circuit, plugs=plugs)
    if probe.lamp is not None:
        circuit = circuit.with_parts(_between(Shows.LAMP, *probe.lamp))
    if probe.red and probe.black:
        return circuit.with_parts(_between(probe.shows, probe.red, probe.black))
    return _in_line(circuit, probe) if probe.through else circuit


def held_nodes(probe: Probe) -> frozenset[str]:
    """The nodes and the wire that something is held to."""
    return frozenset(filter(None, (probe.red, probe.black, probe.through, *(probe.lamp or ()))))


def _between(shows: Shows, red: str, black: str) -> Instrument:
    ends = {"from": red, "to": black}
    return Instrument(name=_NAMES[shows], terminals=ends, letter=_LETTERS[shows])


def _in_line(circuit: Circuit, probe: Probe) -> Circuit:
    """A meter in series with the part, or around the wire, whose current it reads."""
    part = circuit.parts.get(probe.through) or _beside(circuit, probe.through)
    if part is None:
        return circuit
    terminal = next(t for t, node in part.terminals.items() if _fits(node, probe.through, circuit))
    new = f"{_BETWEEN}{part.name}"
    meter = Instrument(
        name=_CLAMP if probe.clamp else _NAMES[Shows.CURRENT],
        terminals={"from": part.terminals[terminal], "to": new},
        letter=_LETTERS[Shows.CURRENT],
        clamp=probe.clamp,
    )
    opened = replace(part, terminals={**part.terminals, terminal: new})
    return circuit.with_parts(opened, meter)


def _fits(node: str, through: str, circuit: Circuit) -> bool:
    return through in circuit.parts or node == through


def _beside(circuit: Circuit, pin: str) -> Part | None:
    """The first thing on the harness side of ``pin``."""
    return next((p for p in circuit.parts.values() if pin in p.terminals.values()), None)


def is_unnamed(node: str) -> bool:
    """True for a node that is there only because an instrument is."""
    return node.startswith(_BETWEEN)


def draw_instrument(canvas: Canvas, x: float, y: float, way: int, part: Instrument) -> None:
    """Its sign with the middle at ``x``, ``y``; ``way`` is 1 when its red lead is above."""
    half = INSTRUMENT_TALL / 2
    if part.clamp:
        canvas.line((x, y - half), (x, y + half))
        canvas.circle(x, y, _DIAL - 3, "clamp")
        return
    first, second = (lead_of(part, end) for end in ("from", "to")[::way])
    canvas.line((x, y - half), (x, y - _DIAL), style=f"lead-{first}")
    canvas.line((x, y + _DIAL), (x, y + half), style=f"lead-{second}")
    canvas.circle(x, y, _DIAL, "dial")
    if part.lamp:
        far = _DIAL * 0.7
        canvas.line((x - far, y - far), (x + far, y + far), style="thin")
        canvas.line((x - far, y + far), (x + far, y - far), style="thin")
    else:
        size = 13.0 if len(part.letter) == 1 else 11.0
        canvas.text(x, y + size * 0.36, part.letter, size, "bold", "middle")


def lead_of(part: Part, terminal: str) -> str:
    """Which lead is at ``terminal``: "red" or "black", or one of a lamp, which are alike."""
    return LAMP_LEAD if isinstance(part, Instrument) and part.lamp else _LEADS[terminal]


def draw_tip(canvas: Canvas, at: tuple[float, float], way: tuple[int, int], lead: str) -> None:
    """The tip of a probe whose point is ``at``; ``way`` leads from there to the instrument."""
    (x, y), (dx, dy) = at, way
    long, wide = 11.0, 3.2
    back = x + dx * long, y + dy * long
    canvas.line(
        (x, y),
        (back[0] + dy * wide, back[1] + dx * wide),
        (back[0] - dy * wide, back[1] - dx * wide),
        (x, y),
        style=f"tip-{lead}",
    )

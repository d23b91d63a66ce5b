"""What can be wrong with a circuit, and the circuit with it."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from types import MappingProxyType

from voiceassist.circuit.comes import Comes
from voiceassist.circuit.drivers import Module, Regulator
from voiceassist.circuit.model import Circuit
from voiceassist.circuit.parts import Battery, Fuse, Motor, Part, Relay, Resistor, Switch
from voiceassist.errors import CircuitError


class FaultKind(StrEnum):
    """What is wrong, in the word a file uses."""

    OPEN = "open"
    HIGH = "high-resistance"
    EARTH = "short-to-earth"
    SUPPLY = "short-to-supply"
    SHORTED = "shorted"
    WRONG = "wrong"
    STUCK = "stuck"
    DEAD = "dead"
    SEIZED = "seized"
    BLOWN = "blown"
    WEAK = "weak"
    MIXED = "mixed"


#: Kinds whose size is drawn by its logarithm: a joint is as often at 1 Ω as at 10 or 100 Ω.
_BY_LOGARITHM = {FaultKind.HIGH, FaultKind.EARTH, FaultKind.SUPPLY, FaultKind.SHORTED}

#: Size in Ω where a file tells none. Common practice, no source.
USUAL_OHM: Mapping[FaultKind, tuple[float, float]] = MappingProxyType(
    {
        FaultKind.HIGH: (1.0, 100.0),
        FaultKind.EARTH: (0.01, 0.2),
        FaultKind.SUPPLY: (0.01, 0.2),
        FaultKind.SHORTED: (0.01, 0.2),
    }
)
#: Share of the voltage and inner resistance of a weak battery where a file tells none.
_WEAK_VOLT, _WEAK_OHM = (0.88, 0.94), 10.0


@dataclass(frozen=True, slots=True)
class CircuitFault:
    """One thing that can be wrong.

    Parts:
        name: of the fault.
        kind: what is wrong.
        target: the part, for shorts to earth and supply the node or part, for MIXED the plug.
        terminal: of the part, where one is told; empty for its first.
        size: least and most of its value in SI units (Ω; V for WEAK; the share of the output
            for a stuck module; the unit of the part's main value for WRONG); None for usual.
        stuck_closed: for a stuck switch or relay.
        pins: for MIXED, the two that changed places.
        found_as: findings that name it; any of them is right.
        likely: how likely it is, beside the other faults.
        comes: when it is there; None for always.
        answers: step to what it is answered or read with this fault, where the circuit cannot
            tell.
    """

    name: str
    kind: FaultKind
    target: str
    terminal: str = ""
    size: tuple[float, float] | None = None
    stuck_closed: bool = False
    pins: tuple[str, str] = ("", "")
    found_as: tuple[str, ...] = ()
    likely: float = 1.0
    comes: Comes | None = None
    answers: Mapping[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if self.size is not None and not 0 <= self.size[0] <= self.size[1]:
            raise CircuitError(
                f"{self.name!r} cannot be from {self.size[0]:g} to {self.size[1]:g}",
                remedy="give zero or more, the smaller value first",
            )
        if self.comes is not None and self.kind is FaultKind.BLOWN:
            raise CircuitError(
                f"{self.name!r} cannot come and go: a blown fuse stays blown",
                remedy="take 'comes:' out, or name what blows it",
            )
        if not self.likely > 0:
            raise CircuitError(f"{self.name!r} never occurs", remedy="give it some likelihood")

    def sized(self, size: float) -> "CircuitFault":
        """The same fault with ``size`` and no other."""
        return replace(self, size=(size, size))

    def at(self, draw: float, usual: tuple[float, float]) -> float:
        """The size at ``draw``, from 0 for the least to 1 for the most."""
        least, most = self.size or usual
        if self.kind in _BY_LOGARITHM and least > 0:
            return math.exp((1 - draw) * math.log(least) + draw * math.log(most))
        return (1 - draw) * least + draw * most


def with_fault(circuit: Circuit, fault: CircuitFault, draw: float = 0.5) -> Circuit:
    """``circuit`` with ``fault`` in it.

    Args:
        circuit: without it.
        fault: what is wrong.
        draw: from 0 to 1, where in the range of its size it is.

    Raises:
        CircuitError: the fault does not fit: no such part, or one that cannot fail so.
        ValueError: ``draw`` is outside 0 to 1.
    """
    if not 0 <= draw <= 1:
        raise ValueError(f"a draw is from 0 to 1, not {draw}")
    return _MAKERS[fault.kind](circuit, fault, draw)


_Maker = Callable[[Circuit, CircuitFault, float], Circuit]


def _in_series(circuit: Circuit, fault: CircuitFault, draw: float) -> Circuit:
    part = circuit.part(fault.target)
    terminal = fault.terminal or next(iter(part.terminals))
    if terminal not in part.terminals:
        raise CircuitError(
            f"{part.name!r} has no terminal {terminal!r}",
            remedy="use one of " + ", ".join(part.terminals),
        )
    opened = fault.kind is FaultKind.OPEN
    ohm = math.inf if opened else fault.at(draw, USUAL_OHM[FaultKind.HIGH])
    inner = f"{terminal} inside {part.name}"
    outer = {"from": part.terminals[terminal], "to": inner}
    fresh = Resistor(name=f"{fault.name} at {part.name}", terminals=outer, ohm=ohm, sort="joint")
    return circuit.with_parts(replace(part, terminals={**part.terminals, terminal: inner}), fresh)


def _short(circuit: Circuit, fault: CircuitFault, draw: float) -> Circuit:
    other = circuit.earth if fault.kind is FaultKind.EARTH else circuit.supply
    if not other:
        raise CircuitError("this circuit has no supply to be shorted to", remedy="add a battery")
    node = fault.target
    if node not in circuit.nodes:
        node = list(circuit.part(node).terminals.values())[-1]
    if node == other:
        raise CircuitError(
            f"{fault.target!r} is joined to {other!r} anyway", remedy="name another node"
        )
    return _with_leak(circuit, fault, draw, node, other)


def _across(circuit: Circuit, fault: CircuitFault, draw: float) -> Circuit:
    ends = list(circuit.part(fault.target).terminals.values())
    return _with_leak(circuit, fault, draw, ends[0], ends[-1])


def _with_leak(circuit: Circuit, fault: CircuitFault, draw: float, a: str, b: str) -> Circuit:
    ohm = fault.at(draw, USUAL_OHM[fault.kind])
    name, ends = f"{fault.name} at {fault.target}", {"from": a, "to": b}
    return circuit.with_parts(Resistor(name=name, terminals=ends, ohm=ohm, sort="leak"))


def _wrong(circuit: Circuit, fault: CircuitFault, draw: float) -> Circuit:
    part = circuit.part(fault.target)
    if not part.MAIN or fault.size is None:
        raise CircuitError(f"a {part.kind} has no value that can be wrong", remedy=_ANOTHER)
    return circuit.with_parts(part.with_main(fault.at(draw, fault.size)))


_ANOTHER = "name another part or another kind of fault"


def _stuck(circuit: Circuit, fault: CircuitFault, draw: float) -> Circuit:
    part = circuit.part(fault.target)
    if isinstance(part, Module):
        return circuit.with_parts(replace(part, stuck=fault.at(draw, (0.0, 0.0))))
    if isinstance(part, Switch | Relay):
        return circuit.with_parts(replace(part, stuck=fault.stuck_closed))
    raise CircuitError(f"a {part.kind} cannot be stuck", remedy=_ANOTHER)


def _dead(circuit: Circuit, fault: CircuitFault, draw: float) -> Circuit:
    return circuit.with_parts(_only(circuit, fault, Module, Regulator).changed(dead=True))


def _seized(circuit: Circuit, fault: CircuitFault, draw: float) -> Circuit:
    return circuit.with_parts(_only(circuit, fault, Motor).changed(seized=True))


def _blown(circuit: Circuit, fault: CircuitFault, draw: float) -> Circuit:
    return circuit.with_parts(_only(circuit, fault, Fuse).changed(blown=True))


def _only(circuit: Circuit, fault: CircuitFault, *kinds: type[Part]) -> Part:
    part = circuit.part(fault.target)
    if not isinstance(part, kinds):
        raise CircuitError(f"a {part.kind} cannot be {fault.kind}", remedy=_ANOTHER)
    return part


def _weak(circuit: Circuit, fault: CircuitFault, draw: float) -> Circuit:
    part = circuit.part(fault.target)
    if not isinstance(part, Battery):
        raise CircuitError(f"a {part.kind} cannot be weak", remedy=_ANOTHER)
    if isinstance(part.volt, float):
        usual = (part.volt * _WEAK_VOLT[0], part.volt * _WEAK_VOLT[1])
    elif fault.size is None:
        raise CircuitError(f"{fault.name!r} does not give its voltage", remedy="add 'value:'")
    else:
        usual = fault.size
    return circuit.with_parts(replace(part, volt=fault.at(draw, usual), ohm=part.ohm * _WEAK_OHM))


def _mixed(circuit: Circuit, fault: CircuitFault, draw: float) -> Circuit:
    if fault.target not in circuit.plugs:
        raise CircuitError(f"there is no plug {fault.target!r}", remedy="use a name under 'plugs:'")
    plug = circuit.plugs[fault.target]
    one, other = fault.pins
    for pin in fault.pins:
        if pin not in plug.pins:
            raise CircuitError(
                f"{plug.name!r} has no pin {pin!r}", remedy="use " + ", ".join(plug.pins)
            )
    if one == other:
        raise CircuitError(f"{one!r} cannot change places with itself", remedy="name two pins")
    crossed = replace(plug, crossed={**plug.crossed, one: other, other: one})
    return replace(circuit, plugs={**circuit.plugs, plug.name: crossed})


_MAKERS: Mapping[FaultKind, _Maker] = MappingProxyType(
    {
        FaultKind.OPEN: _in_series,
        FaultKind.HIGH: _in_series,
        FaultKind.EARTH: _short,
        FaultKind.SUPPLY: _short,
        FaultKind.SHORTED: _across,
        FaultKind.WRONG: _wrong,
        FaultKind.STUCK: _stuck,
        FaultKind.DEAD: _dead,
        FaultKind.SEIZED: _seized,
        FaultKind.BLOWN: _blown,
        FaultKind.WEAK: _weak,
        FaultKind.MIXED: _mixed,
    }
)

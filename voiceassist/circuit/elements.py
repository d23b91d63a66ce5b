"""A circuit in one state, taken apart into elements that can be solved."""

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, NamedTuple

from voiceassist.circuit import parts
from voiceassist.circuit.drivers import Module, Regulator
from voiceassist.circuit.laws import Fan, Filament, Friction, Junction, Law, Target, saturation
from voiceassist.circuit.model import Circuit
from voiceassist.circuit.values import States, value_at
from voiceassist.errors import CircuitError

OPEN = math.inf


class Ohms(NamedTuple):
    """A resistance of ``ohm`` from terminal ``a`` to ``b`` of ``part``; infinite when open."""

    part: str
    a: str
    b: str
    ohm: float


class Emf(NamedTuple):
    """A source that holds ``a`` above ``b`` by ``volt`` plus ``ohm`` times its current a to b."""

    part: str
    a: str
    b: str
    volt: float
    ohm: float


class Curve(NamedTuple):
    """A part whose current from ``a`` to ``b`` follows a law."""

    part: str
    a: str
    b: str
    law: Law


class Drive(NamedTuple):
    """An output driver; ``command`` is "earth" where it has no command."""

    part: str
    command: str
    target: Target


Element = Ohms | Emf | Curve | Drive


@dataclass(frozen=True, slots=True)
class Circumstances:
    """What the elements of a circuit depend on.

    Parts:
        states: condition to state.
        pulled: relays that are pulled in.
        blown: fuses that blow in this state.
        still: motors do not turn, as under the small current of an ohmmeter.
        phase: a part with pulses, and True for the time its pulse lasts, False for between.
        shares: part with pulses to its share of time, held fast instead of its command.
    """

    states: States
    pulled: frozenset[str] = frozenset()
    blown: frozenset[str] = frozenset()
    still: bool = False
    phase: tuple[str, bool] | None = None
    shares: tuple[tuple[str, float], ...] = ()


def elements_of(part: parts.Part, moment: Circumstances) -> Iterable[Element]:
    """The elements of ``part``.

    Raises:
        CircuitError: a condition that the part goes by has no state.
    """
    return _ELEMENTS[type(part)](part, moment)


def pins_of(circuit: Circuit, states: States) -> Iterator[tuple[str, str, str, float]]:
    """Each pin of each plug: its own node, the node it is joined to, its plug, and its Ω."""
    for plug in circuit.plugs.values():
        ohm = plug.ohm if parts.is_closed(plug.closed_when, states) else OPEN
        for pin in plug.pins:
            yield pin, plug.behind(plug.crossed.get(pin, pin)), plug.name, ohm


def _resistor(part: parts.Resistor, moment: Circumstances) -> Iterator[Element]:
    yield Ohms(part.name, "from", "to", value_at(part.ohm, moment.states))


def _battery(part: parts.Battery, moment: Circumstances) -> Iterator[Element]:
    yield Emf(part.name, "from", "to", value_at(part.volt, moment.states), part.ohm)


def _pulses(part: parts.Pulses, moment: Circumstances) -> Iterator[Element]:
    share = value_at(part.duty, moment.states)
    if moment.phase is not None and moment.phase[0] == part.name:
        share = float(moment.phase[1])
    yield Emf(part.name, "from", "to", share * value_at(part.volt, moment.states), part.ohm)


def _fuse(part: parts.Fuse, moment: Circumstances) -> Iterator[Element]:
    gone = part.blown or part.name in moment.blown
    yield Ohms(part.name, "from", "to", OPEN if gone else part.ohm)


def _switch(part: parts.Switch, moment: Circumstances) -> Iterator[Element]:
    yield Ohms(part.name, "from", "to", part.ohm if part.is_closed(moment.states) else OPEN)


def _latch(part: parts.Latch, moment: Circumstances) -> Iterator[Element]:
    tripped = part.tripped or part.name in moment.blown
    yield Ohms(part.name, "from", "to", OPEN if tripped else part.ohm)


def _relay(part: parts.Relay, moment: Circumstances) -> Iterator[Element]:
    yield Ohms(part.name, "pin-85", "pin-86", value_at(part.coil_ohm, moment.states))
    pulled = part.name in moment.pulled if part.stuck is None else part.stuck
    for contact, closed in (("pin-87", pulled), ("pin-87a", not pulled)):
        if contact in part.terminals:
            yield Ohms(part.name, "pin-30", contact, part.ohm if closed else OPEN)


def _potentiometer(part: parts.Potentiometer, moment: Circumstances) -> Iterator[Element]:
    ohm, share = value_at(part.ohm, moment.states), value_at(part.turned, moment.states)
    yield Ohms(part.name, "from", "wiper", ohm * share)
    yield Ohms(part.name, "wiper", "to", ohm * (1 - share))


def _lamp(part: parts.Bulb, moment: Circumstances) -> Iterator[Element]:
    hot = part.volt**2 / value_at(part.watt, moment.states)
    yield Curve(part.name, "from", "to", Filament(hot, part.volt))


def _diode(part: parts.Diode, moment: Circumstances) -> Iterator[Element]:
    current = saturation(part.volt, part.ampere, part.ideality)
    yield Curve(part.name, "from", "to", Junction(current, part.ideality))


def _motor(part: parts.Motor, moment: Circumstances) -> Iterator[Element]:
    ampere = value_at(part.ampere, moment.states)
    if part.seized or moment.still:
        yield Ohms(part.name, "from", "to", part.ohm)
    elif ampere * part.ohm >= part.volt:
        raise CircuitError(
            f"{part.name!r} cannot take {ampere:g} A at {part.volt:g} V through {part.ohm:g} Ω",
            remedy="give a smaller winding resistance or current",
        )
    elif part.load == "fan":
        yield Curve(part.name, "from", "to", Fan.rated(part.volt, ampere, part.ohm))
    else:
        yield Curve(part.name, "from", "to", Friction.rated(part.volt, ampere, part.ohm))


def _regulator(part: Regulator, moment: Circumstances) -> Iterator[Element]:
    if part.dead:
        yield Ohms(part.name, "feed", "earth", OPEN)
        return
    yield Ohms(part.name, "feed", "earth", part.own_ohm)
    volt = value_at(part.volt, moment.states)
    yield Drive(part.name, "earth", Target(((0.0, 0.0),), volt, part.ohm, limit=part.limit))


def _module(part: Module, moment: Circumstances) -> Iterator[Element]:
    yield Ohms(part.name, "feed", "earth", OPEN if part.dead else part.own_ohm)
    if "command" in part.terminals:
        yield Ohms(part.name, "feed", "command", part.pull_up)
        yield Ohms(part.name, "command", "earth", part.pull_down)
    if part.dead:
        yield Ohms(part.name, "output", "earth", OPEN)
        return
    ohm = value_at(part.ohm, moment.states)
    target = Target(_curve(part, moment), None, ohm, part.side == "low", pulsed=part.hertz > 0)
    yield Drive(part.name, "command" if "command" in part.terminals else "earth", target)


def _curve(part: Module, moment: Circumstances) -> tuple[tuple[float, float], ...]:
    """Command and share of the supply at the output terminal."""
    curve = part.curve if part.stuck is None else ((0.0, part.stuck),)
    shares = dict(moment.shares)
    if part.name in shares:
        curve = ((0.0, shares[part.name]),)
    if moment.phase is not None and moment.phase[0] == part.name:
        curve = ((0.0, float(moment.phase[1])),)
    if part.side == "low":
        return tuple((command, 1 - share) for command, share in curve)
    return curve


#: By the very class: a circuit is taken apart many times, and this is found quickest.
_ELEMENTS: Mapping[type[parts.Part], Callable[[Any, Circumstances], Iterable[Element]]] = (
    MappingProxyType(
        {
            parts.Resistor: _resistor,
            parts.Battery: _battery,
            parts.Pulses: _pulses,
            parts.Fuse: _fuse,
            parts.Latch: _latch,
            parts.Switch: _switch,
            parts.Relay: _relay,
            parts.Potentiometer: _potentiometer,
            parts.Bulb: _lamp,
            parts.Diode: _diode,
            parts.Motor: _motor,
            Regulator: _regulator,
            Module: _module,
        }
    )
)

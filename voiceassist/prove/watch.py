"""Looks over the technician's shoulder: is what the session asks for safe on this circuit?

All is judged on the circuit as it would be without a fault, in the very states that the session
brought about: what is safe only because something is broken is not safe.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from itertools import islice, product

from voiceassist.circuit.drivers import Module, Regulator
from voiceassist.circuit.following import followed
from voiceassist.circuit.joined import conductor
from voiceassist.circuit.model import Circuit, Probe, Shows
from voiceassist.circuit.parts import Battery, Fuse, Lamp, Motor, Part, Pulses, Resistor
from voiceassist.circuit.probe import shown
from voiceassist.circuit.solve import Solution, solved
from voiceassist.circuit.values import numbers_of
from voiceassist.errors import CircuitError
from voiceassist.procedure.model import Caution, Kind, Procedure, Step
from voiceassist.prove.hazard import Danger, Hazard, Topic, is_told
from voiceassist.prove.vehicle import Vehicle

#: A motor that takes more turns, and a plug that carries more sparks when it is pulled; a load
#: that takes more is at work. In A; common practice, no source.
_TURNS, _SPARKS, _AT_WORK = 0.2, 0.1, 0.5
#: A lamp of so many watts is hot when it has burnt. Common practice, no source.
_HOT_WATT = 10.0
#: Outputs of more ohms are those of small drivers, which a test lamp kills.
_SMALL_DRIVER_OHM = 0.5

#: States of all conditions together that a new fuse is tried in.
_MOST_STATES = 512

_FUEL_PART = re.compile(r"fuel|pump|tank|injector")
_FUEL_PLUG = re.compile(r"\b(rail|fuel|injector|pump)\b")
_AIRBAG_PLACE = re.compile(r"airbag|door trim|seat|steering wheel|tensioner")
#: What a node is called that is the post itself, not an earth that is joined to it.
_POST = re.compile(r"\bpost\b|battery")
_ENGINE = re.compile(r"start the engine|engine .*idle|(?<!the )\bcrank\b")
_CHANGES_PARTS = re.compile(r"(fit|unscrew|change|bolt|brush|clean)\b")


class Watch:
    """What was seen in one session.

    Args:
        procedure: that is followed.
    """

    def __init__(self, procedure: Procedure) -> None:
        self._procedure = procedure
        self._told: list[Caution] = []
        self._turning: frozenset[str] = frozenset()
        self._lit: set[str] = set()
        self._moved: set[str] = set()
        self._in_line = ""
        self.hazards: dict[Hazard, None] = {}

    def _note(self, danger: Danger, step: Step, told: str) -> None:
        self.hazards[Hazard(danger, step.name, told)] = None

    # --- an instrument, or a look ---

    def reads(self, step: Step, vehicle: Vehicle) -> None:
        """``step`` is read or answered in the vehicle's states now."""
        self._told += step.cautions
        good = _solved(vehicle.good, vehicle.conditions)
        if good is None:
            return
        self._sees_motors(step, good)
        self._sees_engine(step, vehicle.conditions)
        self._lit |= set(_burning(good))
        probe = vehicle.circuit.probes.get(step.name)
        if probe is not None:
            self._holds(step, probe, vehicle)
            self._touches(step, probe, vehicle.good)

    def _sees_motors(self, step: Step, good: Solution) -> None:
        turning = frozenset(_turning(good))
        fresh = sorted(turning - self._turning)
        self._turning = turning
        if fresh and not is_told(Topic.MOVING, step.cautions):
            self._note(
                Danger.CAUTION,
                step,
                f"{fresh[0]!r} begins to turn here, and no caution tells of what moves; add one",
            )

    def _sees_engine(self, step: Step, states: Mapping[str, str]) -> None:
        runs = any(
            _ENGINE.search(need.instruction) and states.get(need.condition) == need.state
            for need in step.needs
        )
        if runs and not is_told(Topic.MOVING, step.cautions):
            told = "the engine turns here, and no caution tells of belt and fan; add one"
            self._note(Danger.CAUTION, step, told)

    def _holds(self, step: Step, probe: Probe, vehicle: Vehicle) -> None:
        if probe.shows is Shows.RESISTANCE:
            self._ohms(step, probe, vehicle)
        if probe.shows is Shows.CURRENT and not probe.clamp:
            self._amps(step, probe, vehicle)
            self._in_line = "" if step.meter is not None else step.name
        elif probe.shows is not Shows.LAMP and not probe.clamp:
            self._leads(step)
        if probe.shows is Shows.LAMP or probe.lamp is not None:
            ends = probe.lamp or (probe.red, probe.black)
            self._lamp(step, ends, vehicle)

    def _ohms(self, step: Step, probe: Probe, vehicle: Vehicle) -> None:
        try:
            why = shown(vehicle.good, vehicle.conditions, probe).invalid
        except CircuitError:
            return
        if why:
            self._note(Danger.OHMS_LIVE, step, f"ohms are read here while {why}")

    def _amps(self, step: Step, probe: Probe, vehicle: Vehicle) -> None:
        limit = vehicle.good.instruments.ammeter_limit
        if _overloads(vehicle.good, vehicle.conditions, probe):
            told = f"more than {limit:g} A flow through the meter here, on a good vehicle too"
            self._note(Danger.AMMETER, step, f"{told}; put it in line with a load, or use a clamp")
        elif _overloads(vehicle.circuit, vehicle.conditions, probe):
            told = f"more than {limit:g} A can flow through the meter here with a fault"
            self._note(Danger.AMMETER_FAULT, step, f"{told}; read by clamp first")

    def _leads(self, step: Step) -> None:
        if self._in_line:
            told = f"the red lead still stands in the current socket after {self._in_line!r}"
            self._note(Danger.LEADS, step, f"{told}; tell the range there with 'meter:'")
            self._in_line = ""

    def _lamp(self, step: Step, ends: Iterable[str], vehicle: Vehicle) -> None:
        good = _solved(vehicle.good, vehicle.conditions)
        if good is None:
            return
        weak = dict(_weak_nodes(vehicle.good))
        for end in ends:
            hurt = [weak[node] for node in sorted(conductor(good, end)) if node in weak]
            if hurt:
                told = f"the test lamp hangs on {hurt[0]!r} here, which it can kill; use the meter"
                self._note(Danger.LAMP, step, told)

    def _touches(self, step: Step, probe: Probe, good: Circuit) -> None:
        ends = {probe.red, probe.black, *(probe.lamp or ())} - {""}
        at_battery = ends & set(_battery_posts(good))
        if at_battery and not is_told(Topic.BATTERY, self._told):
            told = "a battery post is touched, and no caution told of the battery; add one"
            self._note(Danger.CAUTION, step, told)
        fuel = [part.name for part in good.parts.values() if _FUEL_PART.search(part.name)]
        for name in fuel:
            part = good.parts[name]
            here = isinstance(part, Motor) and ends & _ends_of(part)
            if here and not is_told(Topic.FUEL, step.cautions):
                told = f"{name!r} is touched here, and no caution tells of fuel; add one"
                self._note(Danger.CAUTION, step, told)

    # --- a change to the vehicle ---

    def changes(self, step: Step, condition: str, state: str, vehicle: Vehicle) -> None:
        """``condition`` is about to be brought to ``state`` for ``step``."""
        self._told += step.cautions
        words = self._procedure.conditions.get(condition, {}).get(state, "")
        first = condition not in self._moved and vehicle.conditions.get(condition) != state
        if first:
            self._moved.add(condition)
        needed = any(n.condition == condition and n.state == state for n in step.needs)
        if first and needed:
            self._place(step, words)
        for plug in vehicle.good.plugs.values():
            if condition in plug.closed_when:
                self._plug(step, plug.name, plug.pins, condition, state, vehicle)

    def _place(self, step: Step, words: str) -> None:
        for pattern, topic, what in (
            (_FUEL_PLUG, Topic.FUEL, "fuel under pressure"),
            (_AIRBAG_PLACE, Topic.AIRBAG, "airbags"),
        ):
            unplugs = topic is Topic.AIRBAG or "unplug" in words
            if pattern.search(words) and unplugs and not is_told(topic, self._told):
                told = f"here one is to {words}, and no caution told of {what}; add one"
                self._note(Danger.CAUTION, step, told)

    def _plug(
        self,
        step: Step,
        name: str,
        pins: Iterable[str],
        condition: str,
        state: str,
        vehicle: Vehicle,
    ) -> None:
        before = dict(vehicle.conditions)
        flow = max(
            _flow(vehicle.good, states, name, pins)
            for states in (before, {**before, condition: state})
        )
        if flow > _SPARKS and before.get(condition) != state:
            told = f"{name!r} is moved while current flows through it"
            remedy = f"name what switches it off under 'before-changing: {condition}:'"
            self._note(Danger.LIVE_PLUG, step, f"{told}; {remedy}")
        hot = [lamp for lamp in _behind(vehicle.good, name) if lamp in self._lit]
        opened = before.get(condition) in _closing(vehicle.good, name, condition)
        if hot and opened and not is_told(Topic.HOT, step.cautions):
            told = f"{hot[0]!r} has just burnt and is unplugged here; add a caution of what is hot"
            self._note(Danger.CAUTION, step, told)

    # --- a piece of work ---

    def works(self, step: Step, following: Iterable[Step], vehicle: Vehicle) -> None:
        """``step`` of a repair is done; ``following`` are the repair steps after it."""
        self._told += step.cautions
        blown = [p for p in vehicle.circuit.parts.values() if isinstance(p, Fuse) and p.blown]
        if step.fuse is not None:
            self._fuse(step, blown, following, vehicle)
        good = _solved(vehicle.good, vehicle.conditions)
        busy = sorted(_at_work(good)) if good is not None else []
        if busy and step.kind is Kind.DO and _CHANGES_PARTS.match(step.text):
            told = f"this is done while {busy[0]!r} is switched on; name what is off in 'needs:'"
            self._note(Danger.LIVE_WORK, step, told)

    def _fuse(
        self, step: Step, blown: list[Fuse], following: Iterable[Step], vehicle: Vehicle
    ) -> None:
        assert step.fuse is not None
        fuses = blown or [p for p in vehicle.good.parts.values() if isinstance(p, Fuse)]
        right = {fuse.ampere for fuse in fuses}
        if right and float(step.fuse.in_base) not in right:
            told = f"a fuse of {step.fuse} is fitted where {_amperes(right)} belongs"
            self._note(Danger.FUSE_RATING, step, f"{told}; a larger one lets the wires burn")
        later = [other.name for other in following if not other.sets]
        if later and self._blows_again(vehicle):
            told = f"the new fuse is fitted before {later[0]!r}, and blows again"
            self._note(Danger.FUSE_EARLY, step, f"{told}; put it after what mends the short")

    def _blows_again(self, vehicle: Vehicle) -> bool:
        """True when a whole fuse blows in some state of the vehicle as it is now."""
        parts = vehicle.circuit.parts.values()
        whole = [part.changed(blown=False) for part in parts if isinstance(part, Fuse)]
        fresh = vehicle.circuit.with_parts(*whole)
        known = [(name, self._procedure.conditions.get(name, {})) for name in followed(fresh)]
        names = [name for name, states in known if states]
        rows = product(*(states for _, states in known if states))
        every = (dict(zip(names, row, strict=True)) for row in islice(rows, _MOST_STATES))
        return any(_blows(fresh, vehicle.conditions | states) for states in every)


def _amperes(ratings: Iterable[float]) -> str:
    return " or ".join(f"{ampere:g} A" for ampere in sorted(ratings))


def _solved(circuit: Circuit, states: Mapping[str, str]) -> Solution | None:
    try:
        return solved(circuit, states)
    except CircuitError:
        return None


def _turning(good: Solution) -> Iterator[str]:
    for part in good.circuit.parts.values():
        seen = isinstance(part, Motor) and not _FUEL_PART.search(part.name)
        if seen and abs(good.current(part.name)) > _TURNS:
            yield part.name


def _burning(good: Solution) -> Iterator[str]:
    """Lamps that burn, and are hot from it."""
    for part in good.circuit.parts.values():
        if isinstance(part, Lamp) and good.power(part.name) > _HOT_WATT:
            yield part.name


def _at_work(good: Solution) -> Iterator[str]:
    for part in good.circuit.parts.values():
        if isinstance(part, Lamp | Motor) and abs(good.current(part.name)) > _AT_WORK:
            yield part.name


def _flow(circuit: Circuit, states: Mapping[str, str], plug: str, pins: Iterable[str]) -> float:
    found = _solved(circuit, states)
    return max((abs(found.pin_current(plug, pin)) for pin in pins), default=0.0) if found else 0.0


def _closing(circuit: Circuit, plug: str, condition: str) -> frozenset[str]:
    return circuit.plugs[plug].closed_when.get(condition, frozenset())


def _behind(circuit: Circuit, plug: str) -> Iterator[str]:
    mark = f" behind {plug}"
    for part in circuit.parts.values():
        if any(node.endswith(mark) for node in part.terminals.values()):
            yield part.name


def _battery_posts(circuit: Circuit) -> Iterator[str]:
    for part in circuit.parts.values():
        if isinstance(part, Battery):
            yield from (node for node in part.terminals.values() if _POST.search(node))


def _ends_of(part: Part) -> set[str]:
    """The nodes of ``part``, on the harness side of a plug too."""
    nodes = set(part.terminals.values())
    return nodes | {node.split(" behind ")[0] for node in nodes}


def _overloads(circuit: Circuit, states: Mapping[str, str], probe: Probe) -> bool:
    try:
        return shown(circuit, states, probe).over
    except CircuitError:
        return False


def _weak_nodes(circuit: Circuit) -> Iterator[tuple[str, str]]:
    """Nodes that a test lamp must not load, each with the part that it would hurt."""
    for part in circuit.parts.values():
        ends = part.terminals
        if isinstance(part, Module) and "command" in ends:
            yield ends["command"], part.name
        if isinstance(part, Module) and min(numbers_of(part.ohm)) > _SMALL_DRIVER_OHM:
            yield ends["output"], part.name
        if isinstance(part, Regulator):
            yield ends["output"], part.name
        if isinstance(part, Pulses):
            yield ends["from"], part.name
        if isinstance(part, Resistor) and part.sort == "termination":
            yield from ((node, part.name) for node in ends.values())


def _blows(circuit: Circuit, states: Mapping[str, str]) -> bool:
    found = _solved(circuit, states)
    return bool(found is not None and found.blown)

"""Is it safe to hold the instrument of a step to the circuit: for the meter, the car, the hand."""

from collections.abc import Iterable, Iterator

from voiceassist.circuit.joined import conductor
from voiceassist.circuit.model import Circuit, Probe, Shows
from voiceassist.circuit.parts import Motor
from voiceassist.circuit.probe import shown
from voiceassist.errors import CircuitError
from voiceassist.procedure.model import Caution, Step
from voiceassist.prove.hazard import Danger, Hazard, Topic, is_told
from voiceassist.prove.live import (
    battery_posts,
    ends_of,
    is_for_fuel,
    overloads,
    pump_hint,
    solved_or_none,
    weak_nodes,
)
from voiceassist.prove.vehicle import Vehicle


def is_in_line(probe: Probe) -> bool:
    """True for an ammeter whose red lead stands in the current socket."""
    return probe.shows is Shows.CURRENT and not probe.clamp


def to_the_meter(step: Step, probe: Probe, vehicle: Vehicle) -> Iterator[Hazard]:
    """What hurts the meter, or has it read nonsense."""
    if probe.shows is Shows.RESISTANCE:
        yield from _ohms(step, probe, vehicle)
    if is_in_line(probe):
        yield from _amps(step, probe, vehicle)


def _ohms(step: Step, probe: Probe, vehicle: Vehicle) -> Iterator[Hazard]:
    try:
        why = shown(vehicle.good, vehicle.conditions, probe).invalid
    except CircuitError:
        return
    if why:
        yield Hazard(Danger.OHMS_LIVE, step.name, f"ohms are read here while {why}")


def _amps(step: Step, probe: Probe, vehicle: Vehicle) -> Iterator[Hazard]:
    limit = vehicle.good.instruments.ammeter_limit
    if overloads(vehicle.good, vehicle.conditions, probe):
        finding = f"more than {limit:g} A flow through the meter here, on a good vehicle too"
        finding = f"{finding}; put it in line with a load, or use a clamp"
        yield Hazard(Danger.AMMETER, step.name, finding)
    elif overloads(vehicle.circuit, vehicle.conditions, probe):
        finding = f"more than {limit:g} A can flow through the meter here with a fault"
        yield Hazard(Danger.AMMETER_FAULT, step.name, f"{finding}; read by clamp first")


def to_electronics(step: Step, probe: Probe, vehicle: Vehicle) -> Iterator[Hazard]:
    """What the test lamp kills, alone or beside the meter."""
    if probe.shows is not Shows.LAMP and probe.lamp is None:
        return
    good = solved_or_none(vehicle.good, vehicle.conditions)
    if good is None:
        return
    weak = dict(weak_nodes(vehicle.good))
    for end in probe.lamp or (probe.red, probe.black):
        hurt = [weak[node] for node in sorted(conductor(good, end)) if node in weak]
        if hurt:
            finding = f"the test lamp hangs on {hurt[0]!r} here, which it can kill; use the meter"
            yield Hazard(Danger.LAMP, step.name, finding)


def untold_touches(
    step: Step, probe: Probe, good: Circuit, told_so_far: Iterable[Caution]
) -> Iterator[Hazard]:
    """Cautions that are missing about what the probe touches."""
    ends = {probe.red, probe.black, *(probe.lamp or ())} - {""}
    at_battery = ends & set(battery_posts(good))
    if at_battery and not is_told(Topic.BATTERY, told_so_far):
        finding = "a battery post is touched, and no caution told of the battery; add one"
        yield Hazard(Danger.CAUTION, step.name, finding)
    for part in good.parts.values():
        here = isinstance(part, Motor) and is_for_fuel(part) and ends & ends_of(part)
        if here and not is_told(Topic.FUEL, step.cautions):
            finding = f"{part.name!r} is touched here, and no caution tells of fuel; add one"
            yield Hazard(Danger.CAUTION, step.name, finding + pump_hint(part.name))

"""Is it safe to bring the vehicle into another state: a plug moved, a place reached into."""

import re
from collections.abc import Collection, Iterable, Iterator

from voiceassist.circuit.parts import Plug
from voiceassist.procedure.model import Caution, Step
from voiceassist.prove.hazard import Danger, Hazard, Topic, is_told
from voiceassist.prove.live import behind, flow, pump_hint, without_other_pumps
from voiceassist.prove.vehicle import Vehicle

#: A plug that carries more sparks when it is pulled. In A; common practice, no source.
_SPARKS = 0.1

_FUEL_PLUG = re.compile(r"\b(rail|fuel|injector|pump)\b")
_AIRBAG_PLACE = re.compile(r"airbag|door trim|seat|steering wheel|tensioner")


def untold_places(step: Step, words: str, told_so_far: Iterable[Caution]) -> Iterator[Hazard]:
    """Cautions that are missing about where ``words`` send somebody."""
    for pattern, topic, what in (
        (_FUEL_PLUG, Topic.FUEL, "fuel under pressure"),
        (_AIRBAG_PLACE, Topic.AIRBAG, "airbags"),
    ):
        unplugs = topic is Topic.AIRBAG or "unplug" in words
        names_it = pattern.search(without_other_pumps(words))
        if names_it and unplugs and not is_told(topic, told_so_far):
            finding = f"here one is to {words}, and no caution told of {what}; add one"
            hint = pump_hint(words) if topic is Topic.FUEL else ""
            yield Hazard(Danger.CAUTION, step.name, finding + hint)


def sparks(
    step: Step, plug: Plug, condition: str, state: str, vehicle: Vehicle
) -> Iterator[Hazard]:
    """A plug that is moved while current flows through it."""
    before = dict(vehicle.conditions)
    if before.get(condition) == state:
        return
    either = (before, {**before, condition: state})
    if max(flow(vehicle.good, states, plug.name, plug.pins) for states in either) > _SPARKS:
        finding = f"{plug.name!r} is moved while current flows through it"
        remedy = f"name what switches it off under 'before-changing: {condition}:'"
        yield Hazard(Danger.LIVE_PLUG, step.name, f"{finding}; {remedy}")


def untold_heat(
    step: Step, plug: Plug, condition: str, state: str, vehicle: Vehicle, lit: Collection[str]
) -> Iterator[Hazard]:
    """A caution that is missing about a lamp that has just burnt and is unplugged."""
    hot = [lamp for lamp in behind(vehicle.good, plug.name) if lamp in lit]
    closed = plug.closed_when.get(condition, ())
    opened = vehicle.conditions.get(condition) in closed and state not in closed
    if hot and opened and not is_told(Topic.HOT, step.cautions):
        finding = f"{hot[0]!r} has just burnt and is unplugged here; add a caution of what is hot"
        yield Hazard(Danger.CAUTION, step.name, finding)

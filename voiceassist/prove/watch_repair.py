"""Is a piece of a repair safe: the right fuse, not before the short is mended, nothing live."""

import re
from collections.abc import Iterable, Iterator
from itertools import islice, product

from voiceassist.circuit.following import followed
from voiceassist.circuit.joined import conductor
from voiceassist.circuit.model import Circuit
from voiceassist.circuit.parts import Battery, Fuse, Switch
from voiceassist.procedure.model import Kind, Procedure, Step
from voiceassist.prove.hazard import Danger, Hazard, Topic, is_told
from voiceassist.prove.live import at_work, blows_a_fuse, solved_or_none
from voiceassist.prove.vehicle import Vehicle

#: States of all conditions together that a new fuse is tried in.
_MOST_STATES = 512

_CHANGES_PARTS = re.compile(r"(fit|unscrew|change|bolt|brush|clean)\b")
_MENDS = re.compile(r"\b(?:fit|unscrew|change|bolt|brush|clean|mend|renew|tighten)\b")
CLAMP_OFF = re.compile(r"(?<!current )clamp off|minus lead off")
CLAMP_ON = re.compile(r"clamp (?:\w+ )?on\b|put the minus clamp back")
_COOLANT = re.compile(r"\b(?:fill|bleed|top up|drain)\b.*\bcoolant\b|\bcoolant\b.*\bout\b")
#: A fuse above this lets a slipped tool weld, as no fuse does. Common practice, no source.
_TOOL_WELDS_A = 40.0


def live_work(step: Step, vehicle: Vehicle) -> Iterator[Hazard]:
    """Parts that are changed while something is switched on."""
    good = solved_or_none(vehicle.good, vehicle.conditions)
    busy = sorted(at_work(good)) if good is not None else []
    if busy and step.kind is Kind.DO and _CHANGES_PARTS.match(step.text):
        finding = f"this is done while {busy[0]!r} is switched on; name what is off in 'needs:'"
        yield Hazard(Danger.LIVE_WORK, step.name, finding)


def unfused(step: Step, vehicle: Vehicle, procedure: Procedure, finding: str) -> Iterator[Hazard]:
    """Work on a part that is live with nothing to blow before a slipped tool welds."""
    if step.fuse is not None or not _MENDS.search(step.text):
        return
    live = set(_unfused_nodes(vehicle.good, vehicle))
    for fault in procedure.faults.values():
        part = vehicle.good.parts.get(fault.target)
        mended = finding in fault.found_as and not isinstance(part, Battery | Switch)
        small = isinstance(part, Fuse) and part.ampere <= _TOOL_WELDS_A
        if part is not None and mended and not small and live & set(part.terminals.values()):
            why = "is live with no small fuse before it, and nobody takes the minus clamp off"
            yield Hazard(Danger.CLAMP, step.name, f"the {part.name!r} {why}; put that before it")
            return


def _unfused_nodes(good: Circuit, vehicle: Vehicle) -> Iterator[str]:
    """What is one conductor with a battery's plus post when all small fuses are out."""
    fuses = [part for part in good.parts.values() if isinstance(part, Fuse)]
    out = [part.changed(blown=True) for part in fuses if part.ampere <= _TOOL_WELDS_A]
    found = solved_or_none(good.with_parts(*out), vehicle.conditions)
    if found is not None:
        yield from conductor(found, good.supply) - conductor(found, good.earth)


def untold_heat(step: Step) -> Iterator[Hazard]:
    """A caution that is missing where coolant comes out."""
    is_cold = any(re.search(r"\bcold\b|\bcool\b", need.state) for need in step.needs)
    if _COOLANT.search(step.text) and not is_cold and not is_told(Topic.HOT, step.cautions):
        finding = "coolant comes out here, and no caution tells that it is hot; add hot-coolant"
        yield Hazard(Danger.CAUTION, step.name, f"{finding}, or name a cold engine in 'needs:'")


def wrong_fuse(step: Step, vehicle: Vehicle) -> Iterator[Hazard]:
    """A fuse of another rating than the one that blew, or than any there is."""
    assert step.fuse is not None
    fuses = [part for part in vehicle.good.parts.values() if isinstance(part, Fuse)]
    blown = [p for p in vehicle.circuit.parts.values() if isinstance(p, Fuse) and p.blown]
    right = {fuse.ampere for fuse in blown or fuses}
    if right and float(step.fuse.in_base) not in right:
        belongs = " or ".join(f"{ampere:g} A" for ampere in sorted(right))
        finding = f"a fuse of {step.fuse} is fitted where {belongs} belongs"
        yield Hazard(Danger.FUSE_RATING, step.name, f"{finding}; a larger one lets the wires burn")


def early_fuse(
    step: Step, following: Iterable[Step], vehicle: Vehicle, procedure: Procedure
) -> Iterator[Hazard]:
    """A fuse that is fitted before what made the old one blow is mended."""
    later = [other.name for other in following if not other.sets]
    if later and _blows_again(vehicle, procedure):
        finding = f"the new fuse is fitted before {later[0]!r}, and blows again"
        yield Hazard(Danger.FUSE_EARLY, step.name, f"{finding}; put it after what mends the short")


def _blows_again(vehicle: Vehicle, procedure: Procedure) -> bool:
    """True when a whole fuse blows in some state of the vehicle as it is now."""
    parts = vehicle.circuit.parts.values()
    whole = [part.changed(blown=False) for part in parts if isinstance(part, Fuse)]
    fresh = vehicle.circuit.with_parts(*whole)
    known = [(name, procedure.conditions.get(name, {})) for name in followed(fresh)]
    names = [name for name, states in known if states]
    rows = product(*(states for _, states in known if states))
    every = (dict(zip(names, row, strict=True)) for row in islice(rows, _MOST_STATES))
    return any(blows_a_fuse(fresh, vehicle.conditions | states) for states in every)

"""Is a piece of a repair safe: the right fuse, not before the short is mended, nothing live."""

import re
from collections.abc import Iterable, Iterator
from itertools import islice, product

from voiceassist.circuit.following import followed
from voiceassist.circuit.parts import Fuse
from voiceassist.procedure.model import Kind, Procedure, Step
from voiceassist.prove.hazard import Danger, Hazard
from voiceassist.prove.live import at_work, blows_a_fuse, solved_or_none
from voiceassist.prove.vehicle import Vehicle

#: States of all conditions together that a new fuse is tried in.
_MOST_STATES = 512

_CHANGES_PARTS = re.compile(r"(fit|unscrew|change|bolt|brush|clean)\b")


def live_work(step: Step, vehicle: Vehicle) -> Iterator[Hazard]:
    """Parts that are changed while something is switched on."""
    good = solved_or_none(vehicle.good, vehicle.conditions)
    busy = sorted(at_work(good)) if good is not None else []
    if busy and step.kind is Kind.DO and _CHANGES_PARTS.match(step.text):
        finding = f"this is done while {busy[0]!r} is switched on; name what is off in 'needs:'"
        yield Hazard(Danger.LIVE_WORK, step.name, finding)


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

"""Which ends of limits are needed by a fault, and how much room is left at each.

An end is needed when some fault is found only because readings beyond it fail: with the end taken
away, its walk goes elsewhere.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from voiceassist.errors import MeasureError
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.checks.flow import reached
from voiceassist.procedure.model import HIGH, LOW, PASS, Procedure, Step
from voiceassist.prove.cases import Case
from voiceassist.prove.outcome import outcome_of
from voiceassist.prove.walk import Walk
from voiceassist.prove.widening import End


@dataclass(frozen=True, slots=True)
class Margin:
    """How near readings come to one end of a limit.

    Parts:
        end: the step, and LOW or HIGH.
        inside: how far within the limit the nearest reading that passes is, in base units; None
            where none passes.
        outside: how far beyond it the nearest reading that fails is; None where none fails.
        at: the end itself where that reading passed.
        unit: base unit.
    """

    end: End
    inside: float | None
    outside: float | None
    at: float
    unit: str

    @property
    def share(self) -> float:
        """The room inside, as a share of the end itself."""
        return self.inside / abs(self.at) if self.inside is not None and self.at else 1.0


@dataclass(frozen=True, slots=True)
class Limits:
    """What was learnt of the limits.

    Parts:
        unneeded: ends that no fault needs.
        idle: steps none of whose ends is needed.
        rooms: of each end that readings came to from both sides.
    """

    unneeded: tuple[End, ...]
    idle: tuple[str, ...]
    rooms: tuple[Margin, ...]


def cases_of(procedure: Procedure, done: Iterable[tuple[Case, Walk]]) -> Iterator[Case]:
    """For each end that a fault fell beyond, one walk with that end taken away."""
    ends = set(_ends(procedure))
    seen: set[tuple[End, str]] = set()
    for case, walk in done:
        for taken in walk.taken:
            end = (taken.step, taken.outcome)
            if end in ends and (end, case.fault) not in seen:
                seen.add((end, case.fault))
                yield replace(case, widened=end)


def limits_of(
    procedure: Procedure, done: Sequence[tuple[Case, Walk]], widened: Iterable[tuple[Case, Walk]]
) -> Limits:
    """Compare the walks with an end taken away with those that were ``done``."""
    before = {(case.fault, case.number): walk for case, walk in done}
    needed = {
        case.widened
        for case, walk in widened
        if _led_elsewhere(procedure, case, before[case.fault, case.number], walk)
    }
    ends = list(_ends(procedure))
    unneeded = tuple(end for end in ends if end not in needed)
    steps = dict.fromkeys(step for step, _ in ends)
    kept = {step for step, _ in ends if any((step, side) in needed for side in (LOW, HIGH))}
    return Limits(
        unneeded=unneeded,
        idle=tuple(step for step in steps if step not in kept),
        rooms=tuple(_rooms(done)),
    )


def _led_elsewhere(procedure: Procedure, case: Case, before: Walk, after: Walk) -> bool:
    was = outcome_of(procedure, case.fault, before)
    return outcome_of(procedure, case.fault, after) is not was or after.finding != before.finding


def _ends(procedure: Procedure) -> Iterator[End]:
    """Every end of a limit of the diagnosis."""
    on_a_path = reached(procedure)
    for name, step in procedure.steps.items():
        if step.limit is not None and name in on_a_path:
            yield from ((name, side) for side, end in _sides(step) if end)


def _sides(step: Step) -> tuple[tuple[str, bool], ...]:
    assert step.limit is not None
    return ((LOW, step.limit.low is not None), (HIGH, step.limit.high is not None))


def _rooms(done: Iterable[tuple[Case, Walk]]) -> Iterator[Margin]:
    inside: dict[End, float] = {}
    outside: dict[End, float] = {}
    units: dict[End, str] = {}
    at: dict[End, float] = {}
    for _, walk in done:
        for seen in walk.compared:
            for side, end in ((LOW, seen.low), (HIGH, seen.high)):
                gap = within(seen.reading, end, side)
                if gap is None:
                    continue
                key = (seen.step, side)
                units[key] = gap[1]
                if seen.verdict == PASS and gap[0] <= inside.get(key, gap[0]):
                    inside[key], at[key] = gap[0], gap[2]
                elif seen.verdict == side:
                    outside[key] = min(-gap[0], outside.get(key, -gap[0]))
    for key, unit in units.items():
        yield Margin(key, inside.get(key), outside.get(key), at.get(key, 0.0), unit)


def within(reading: str, end: str, side: str) -> tuple[float, str, float] | None:
    """How far within its ``end`` a reading is, the unit, and the end."""
    value, limit = based(reading), based(end) if end else None
    if value is None or limit is None or value[1] != limit[1]:
        return None
    return (value[0] - limit[0] if side == LOW else limit[0] - value[0]), value[1], limit[0]


@lru_cache(maxsize=4096)
def based(text: str) -> tuple[float, str] | None:
    """What was read in the base unit, and that unit; None where it is no value."""
    try:
        quantity = Quantity.parse(text)
    except MeasureError:
        return None
    return float(quantity.in_base), quantity.unit.base

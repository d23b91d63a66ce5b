"""When a fault has been drawn often enough.

A fault is settled after its first draws when every one of them found it, nothing was too close to
call, and no reading came near a limit. Near is told by the readings themselves: two draws whose
sizes lie next to each other must both stay further from the limit, and from the doubt around it,
than half of what lies between the two. Where a tolerance could carry a reading over the limit, some
two of so many draws differ by more than that. What comes and goes is never settled, nor is a good
vehicle: one of those that is condemned is one too many.

The first draws take sizes from all over the range, and both of its ends.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import pairwise

from voiceassist.circuit.probe import BRIGHT_FROM, DIM_FROM
from voiceassist.errors import MeasureError
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.model import HIGH, LOW, Procedure
from voiceassist.prove.cases import GOOD
from voiceassist.prove.outcome import Outcome, outcome_of
from voiceassist.prove.walk import Compared, Walk

#: So often each fault is drawn before it is looked whether that is enough.
FIRST = 40
#: Of what lies between two draws, the share that both must be away from a limit.
_CLEAR = 0.5
#: What an ohmmeter shows of an open circuit, and more than any limit.
_OVER, _BEYOND = "over range", 1e12
#: A step, and an end of its limit or the light of a lamp.
_Edge = tuple[str, str | float]
#: How far within an edge a reading is, and how wide the doubt around it.
_Distance = tuple[float, float]


def first_numbers(draws: int) -> list[int]:
    """The numbers of the first of ``draws``: both ends, and others evenly between them."""
    if draws <= FIRST:
        return list(range(draws))
    return [i * (draws - 1) // (FIRST - 1) for i in range(FIRST)]


def is_settled(procedure: Procedure, fault: str, walks: Sequence[Walk]) -> bool:
    """Whether no more than ``walks``, by rising size, are needed on vehicles with ``fault``."""
    if fault == GOOD or procedure.faults[fault].comes is not None:
        return False
    if not all(_is_plainly_found(procedure, fault, walk) for walk in walks):
        return False
    rows: dict[_Edge, list[_Distance]] = {}
    for walk in walks:
        for edge, distance in _distances(walk):
            rows.setdefault(edge, []).append(distance)
    return all(_is_clear(row) for row in rows.values())


def _is_plainly_found(procedure: Procedure, fault: str, walk: Walk) -> bool:
    is_found = outcome_of(procedure, fault, walk) is Outcome.FOUND
    return is_found and not (walk.skipped or walk.close)


def _is_clear(row: Sequence[_Distance]) -> bool:
    if len({distance > 0 for distance, _ in row}) > 1:
        return False
    return all(
        min(abs(one) - one_doubt, abs(other) - other_doubt) >= _CLEAR * abs(one - other)
        for (one, one_doubt), (other, other_doubt) in pairwise(row)
    )


def _distances(walk: Walk) -> Iterator[tuple[_Edge, _Distance]]:
    for seen in walk.compared:
        value = _base(seen.reading)
        for side, end, guard in _ends(seen):
            if value is not None and end is not None:
                doubt = abs(guard - end) if guard is not None else 0.0
                yield (seen.step, side), (value - end if side == LOW else end - value, doubt)
    for step, share in walk.lit:
        for light in (BRIGHT_FROM, DIM_FROM):
            yield (step, light), (share - light, 0.0)


def _ends(seen: Compared) -> Iterator[tuple[str, float | None, float | None]]:
    yield LOW, _base(seen.low), _base(seen.guard_low)
    yield HIGH, _base(seen.high), _base(seen.guard_high)


@lru_cache(maxsize=4096)
def _base(shown: str) -> float | None:
    """What is ``shown``, in the base unit; None for nothing, or for words."""
    if shown == _OVER:
        return _BEYOND
    try:
        return float(Quantity.parse(shown).in_base) if shown else None
    except MeasureError:
        return None

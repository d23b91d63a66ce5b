"""What a session can come to, as the engine names it, and as it is told."""

from collections.abc import Mapping
from types import MappingProxyType

#: Of a session on a simulated vehicle, whatever it came to.
REHEARSED = "rehearsed"

#: Of the recorded job that shows what the program does, whatever it came to.
DEMO = "demo"
#: These say nothing of the shop's vehicles: they count in no total and no trend.
NO_JOBS = frozenset({REHEARSED, DEMO})

#: Outcome of the engine -> as it is told.
OUTCOMES: Mapping[str, str] = MappingProxyType(
    {
        "no-fault": "no fault found",
        "stopped": "stopped before a finding",
        "found": "cause found, no repair recorded",
        "unproved": "not proved: steps were skipped",
        "repair-done": "repaired; no reading proves the repair",
        "not-proved": "the repair is not proved",
        "repaired": "repaired, and the repair proved",
        REHEARSED: "a rehearsal, not a job",
        DEMO: "a demonstration, not a job",
    }
)

#: How the outcome of a job begins that is parked, and not ended; what it is parked for follows.
PARKED = "parked"
#: What it is parked for -> as it is told.
PARKED_FOR: Mapping[str, str] = MappingProxyType(
    {
        "shows": "parked until the fault shows",
        "parts": "parked until the parts are here",
        "wrong": "parked as the wrong job",
        "other": "parked for later",
    }
)


def in_words(outcome: str, otherwise: str = "") -> str:
    """An outcome as it is told; ``otherwise`` for none."""
    kind, _, reason = outcome.partition("-")
    if kind == PARKED:
        return PARKED_FOR.get(reason, PARKED)
    return OUTCOMES.get(outcome, outcome) or otherwise

"""What a test is worth by the textbook: what it tells on average, and what it costs.

Checked against worked examples in ``test_worth.py``; the program's own count, over thousands of
vehicles at once, is held against it there.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from voiceassist.reason.belief import Suspects

#: Cause -> outcome of a test -> how likely the cause leads to that outcome.
Outcomes = Mapping[str, Mapping[str, float]]


def chances(belief: Suspects, outcomes: Outcomes) -> dict[str, float]:
    """How likely each outcome of a test is, as far as is known."""
    found: dict[str, float] = {}
    for cause, share in belief.shares.items():
        for outcome, chance in outcomes[cause].items():
            found[outcome] = found.get(outcome, 0.0) + share * chance
    return found


def entropy(belief: Suspects) -> float:
    """What is not known yet, in bits; 0 when one cause is certain."""
    return max(0.0, -math.fsum(p * math.log2(p) for p in belief.shares.values() if p > 0))


def remaining(belief: Suspects, outcomes: Outcomes) -> float:
    """Bits that will not be known on average after a test (de Kleer and Williams 1987)."""
    total = 0.0
    for outcome, chance in chances(belief, outcomes).items():
        if chance > 0:
            after = belief.given({cause: outcomes[cause].get(outcome, 0.0) for cause in outcomes})
            total += chance * entropy(after)
    return total


def information(belief: Suspects, outcomes: Outcomes) -> float:
    """Bits that a test tells on average; 0 when every cause leads to the same."""
    return max(0.0, entropy(belief) - remaining(belief, outcomes))


@dataclass(frozen=True, slots=True)
class Look:
    """A test that tells of one cause alone whether it is there.

    Parts:
        name: of the cause.
        chance: that it is the cause, 0 to 1.
        cost: of the test, above zero; in minutes.
    """

    name: str
    chance: float
    cost: float


def by_ratio(looks: Sequence[Look]) -> tuple[Look, ...]:
    """``looks`` in the order that costs least until the cause is found, on average.

    One cause is there, and each test is independent of the others: then the largest chance for
    its cost comes first (Simon and Kadane 1975).
    """
    return tuple(sorted(looks, key=lambda look: -look.chance / look.cost))


def expected_cost(looks: Sequence[Look]) -> float:
    """What ``looks`` cost on average in this order; the last one is made like the others."""
    spent, total = 0.0, 0.0
    for look in looks:
        spent += look.cost
        total += look.chance * spent
    return total

"""How likely each understanding is."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from voiceassist.doubt.evidence import Key


@dataclass(frozen=True, slots=True)
class Belief:
    """How likely each understanding is.

    Parts:
        likely: understandings with their probabilities, the likeliest first.
        none: probability that it was none of them; all sum to one.
    """

    likely: tuple[tuple[Key, float], ...]
    none: float

    def of(self, key: Key) -> float:
        """Probability of ``key``; 0 when it is not among them."""
        return dict(self.likely).get(key, 0.0)


def log_sum(logs: Sequence[float]) -> float:
    """Logarithm of the sum of what ``logs`` are the logarithms of."""
    top = max(logs)
    return top + math.log(sum(math.exp(each - top) for each in logs))

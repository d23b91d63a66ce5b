"""How likely each of several causes is.

Terms: Shannon 1948 for entropy and information, in bits.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from voiceassist.errors import ReasonError

#: Shares may add up to one less or more than this, from rounding.
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Suspects:
    """Causes of which one is true, each with its probability; the probabilities add up to 1."""

    shares: Mapping[str, float]

    def __post_init__(self) -> None:
        if any(not 0 <= share <= 1 + _ROUNDING for share in self.shares.values()):
            raise ReasonError("a probability is not from 0 to 1", remedy="give shares of 1")
        if abs(sum(self.shares.values()) - 1) > _ROUNDING * max(1, len(self.shares)):
            raise ReasonError("the probabilities do not add up to 1", remedy="use Suspects.of")

    @classmethod
    def of(cls, weights: Mapping[str, float]) -> "Suspects":
        """Shares that go as ``weights``.

        Raises:
            ReasonError: a weight is below zero or no number, or none is above zero: what was
                seen cannot have come from any of the causes.
        """
        if any(weight < 0 or not math.isfinite(weight) for weight in weights.values()):
            raise ReasonError("a weight is below zero", remedy="give zero or more")
        total = math.fsum(weights.values())
        if not total > 0:
            raise ReasonError(
                "none of the causes can have led to what was seen",
                remedy="add a cause that stands for anything else",
            )
        return cls({name: weight / total for name, weight in weights.items()})

    def given(self, likelihood: Mapping[str, float]) -> "Suspects":
        """After something was seen that each cause leads to with this probability (Bayes).

        Raises:
            ReasonError: a cause has no likelihood, or what was seen is impossible.
            KeyError: ``likelihood`` lacks a cause.
        """
        return Suspects.of({name: share * likelihood[name] for name, share in self.shares.items()})

    def share(self, *names: str) -> float:
        """The probability that one of ``names`` is true; 0 for a name that is not known."""
        return min(1.0, math.fsum(self.shares.get(name, 0.0) for name in set(names)))

    def grouped(self, group: Callable[[str], str]) -> "Suspects":
        """The same with the causes of one group put together."""
        sums: dict[str, float] = {}
        for name, share in self.shares.items():
            sums[group(name)] = sums.get(group(name), 0.0) + share
        return Suspects.of(sums)

    @property
    def ranked(self) -> Sequence[tuple[str, float]]:
        """Each cause and its probability, the likeliest first."""
        return sorted(self.shares.items(), key=lambda each: -each[1])

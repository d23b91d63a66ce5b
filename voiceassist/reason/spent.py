"""How long a procedure takes to a finding, on average over what can be wrong."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from voiceassist.procedure.model import Procedure
from voiceassist.prove.cases import Case
from voiceassist.prove.walk import Walk
from voiceassist.reason.adviser import minutes
from voiceassist.reason.infer import UNLISTED, UNLISTED_SHARE


@dataclass(frozen=True, slots=True)
class Spent:
    """Minutes to a finding.

    Parts:
        by_cause: on average with each cause; with UNLISTED those of the longest way walked.
        shares: how likely each cause is; together 1.
        changes: to the vehicle, on average.
    """

    by_cause: Mapping[str, float]
    shares: Mapping[str, float]
    changes: float

    @property
    def mean(self) -> float:
        """Over all causes, each as likely as it is."""
        return sum(share * self.by_cause[cause] for cause, share in self.shares.items())


def spent(
    procedure: Procedure, done: Sequence[tuple[Case, Walk]], likely: Mapping[str, float]
) -> Spent:
    """What the walks of ``done`` come to.

    Args:
        procedure: that was walked.
        done: walks with every cause in ``likely``, and no others.
        likely: of each listed cause, GOOD among them; together 1.
    """
    walks: dict[str, list[Walk]] = {cause: [] for cause in likely}
    for case, walk in done:
        walks[case.fault].append(walk)
    took = {c: [of_path(procedure, walk.path) for walk in each] for c, each in walks.items()}
    by_cause = {cause: sum(each) / len(each) for cause, each in took.items()}
    shares = {cause: (1 - UNLISTED_SHARE) * share for cause, share in likely.items()}
    changes = sum(
        share * sum(len(walk.changes) for walk in walks[cause]) / len(walks[cause])
        for cause, share in likely.items()
    )
    return Spent(
        by_cause | {UNLISTED: max(max(each) for each in took.values())},
        shares | {UNLISTED: UNLISTED_SHARE},
        changes,
    )


def of_path(procedure: Procedure, path: Sequence[str]) -> float:
    """About how long these steps take one after the other, in minutes."""
    return sum(minutes(procedure, step) for step in path)

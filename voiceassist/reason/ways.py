"""How often each way through a procedure is taken."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from voiceassist.procedure.checks.flow import targets
from voiceassist.procedure.model import Procedure
from voiceassist.prove.cases import cases
from voiceassist.prove.examine import walked
from voiceassist.prove.prove import here
from voiceassist.prove.walk import Walk
from voiceassist.session.session import SessionSetup

#: Vehicles of each cause that are walked, and the seed of their draws.
DRAWS, SEED = 20, 1


@dataclass(frozen=True, slots=True)
class Ways:
    """Shares of jobs.

    Parts:
        exits: step and where it leads, to the share of the jobs at the step that go there.
        ends: finding to the share of all jobs that come to it.
    """

    exits: Mapping[tuple[str, str], float]
    ends: Mapping[str, float]


def ways(setup: SessionSetup, likely: Mapping[str, float], draws: int = DRAWS) -> Ways:
    """How often each way of the procedure of ``setup`` is taken.

    Args:
        setup: of a procedure with a circuit.
        likely: of each listed cause, GOOD among them; together 1.
        draws: vehicles of each cause.
    """
    procedure = setup.procedure
    todo = cases(list(procedure.faults), draws)
    went: defaultdict[tuple[str, str], float] = defaultdict(float)
    ends: defaultdict[str, float] = defaultdict(float)
    for case, walk in walked(todo, here(setup, SEED)):
        share = likely[case.fault] / draws
        for way in set(_ways(procedure, walk)):
            went[way] += share
        ends[walk.finding] += share
    at: defaultdict[str, float] = defaultdict(float)
    for (step, _), share in went.items():
        at[step] += share
    exits = {way: share / at[way[0]] for way, share in went.items()}
    return Ways(exits, {name: share for name, share in ends.items() if name})


def _ways(procedure: Procedure, walk: Walk) -> Iterator[tuple[str, str]]:
    """The exits that a walk took; past a finding that is only suspected, its proofs come next."""
    for step, following in pairwise((*walk.path, walk.finding)):
        leads = targets(procedure.steps[step]) if step in procedure.steps else []
        for target in (following, walk.finding):
            if target in leads:
                yield step, target
                break

"""What every path to a step has brought: a forward analysis of the whole procedure."""

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping
from typing import TypeVar

from voiceassist.procedure.checks.flow import targets
from voiceassist.procedure.model import Kind, Procedure, Step

T = TypeVar("T", bound=Hashable)

#: Kinds that tell nothing, and that what comes after them stands on: a rest, a charge.
_GROUND = frozenset({Kind.WAIT, Kind.DO})


def sure_by(
    procedure: Procedure, brings: Callable[[Step], Iterable[T]]
) -> Mapping[str, frozenset[T]]:
    """For each step, what it and the steps before it bring, whichever path led there.

    Where paths join, only what both have brought is sure.
    """
    steps = procedure.steps
    found = {procedure.first: frozenset(brings(steps[procedure.first]))}
    changed = True
    while changed:
        changed = False
        for name in steps:
            for target in _onward(procedure, name) if name in found else ():
                came = found[name] | frozenset(brings(steps[target]))
                joined = found.get(target, came) & came
                if found.get(target) != joined:
                    found[target] = joined
                    changed = True
    return found


def ground_of(procedure: Procedure) -> Mapping[str, frozenset[str]]:
    """For each step, the waits and works that every path to it has brought."""
    return sure_by(procedure, lambda step: {step.name} if step.kind in _GROUND else ())


def _onward(procedure: Procedure, name: str) -> Iterator[str]:
    """Steps that come next, also past a finding with which the job goes on."""
    for target in targets(procedure.steps[name]):
        finding = procedure.findings.get(target)
        on = finding.go_on if finding is not None else target
        if on in procedure.steps:
            yield on

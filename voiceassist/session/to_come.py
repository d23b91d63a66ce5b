"""What is still to come: how many steps, how long they take, and how much of that is waiting."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from voiceassist.procedure.model import Kind, Procedure, Step

#: About how long a step takes that does not tell, of one who knows the vehicle, in seconds: with
#: its changes and its answer. Common practice, no source.
EFFORT_S: Mapping[Kind, int] = MappingProxyType(
    {
        Kind.MEASURE: 60,
        Kind.SWEEP: 120,
        Kind.COUNT: 60,
        Kind.LAMP: 60,
        Kind.ASK: 30,
        Kind.IDENTIFY: 20,
        Kind.COMPUTE: 0,
        Kind.WAIT: 10,
        Kind.DO: 300,
    }
)


@dataclass(frozen=True, slots=True)
class ToCome:
    """What is still to come, at most.

    Parts:
        steps: how many.
        wait_s: of waiting.
        time_s: of all, waiting included.
    """

    steps: int
    wait_s: int
    time_s: int


def of_steps(procedure: Procedure, names: Iterable[str]) -> ToCome:
    """These steps, one after the other."""
    steps = [procedure.step(name) for name in names]
    return ToCome(len(steps), sum(s.wait_s for s in steps), sum(map(_time_s, steps)))


def to_a_finding(procedure: Procedure, start: str) -> ToCome:
    """From ``start``, itself counted, to a finding; each by the path on which it is the most."""
    return ToCome(
        _most(procedure, start, lambda step: 1),
        _most(procedure, start, lambda step: step.wait_s),
        _most(procedure, start, _time_s),
    )


def _time_s(step: Step) -> int:
    effort_s = step.details.effort_s
    return (EFFORT_S[step.kind] if effort_s is None else effort_s) + step.wait_s


def _most(procedure: Procedure, start: str, of: Callable[[Step], int]) -> int:
    """The most that ``of`` adds up to on a path from ``start``; paths never circle."""

    @cache
    def most(name: str) -> int:
        step = procedure.steps.get(name)
        if step is None:
            return 0
        return of(step) + max(most(target) for target in set(step.routes.values()))

    return most(start)

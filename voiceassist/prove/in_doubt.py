"""One who cannot tell, or tells that it comes and goes: is a good part condemned on that way?"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from voiceassist.procedure.model import IN_DOUBT, Procedure
from voiceassist.prove.cases import GOOD, Case
from voiceassist.prove.outcome import Outcome, good_part, outcome_of
from voiceassist.prove.stray import Stray, stray_of
from voiceassist.prove.walk import Walk


@dataclass(frozen=True, slots=True)
class Doubted:
    """What became of one doubtful answer.

    Parts:
        step, answer: that was given.
        walks: in which it was given.
        found, wrong, open: how they ended.
        condemned: a fault, the good part that was condemned with it, and where it went astray.
    """

    step: str
    answer: str
    walks: int
    found: int
    wrong: int
    open: int
    condemned: tuple[tuple[str, str, Stray], ...]


def cases_of(procedure: Procedure) -> Iterator[Case]:
    """Each doubtful answer that leads somewhere, on a good vehicle and with each fault."""
    for step in procedure.steps.values():
        for answer in (key for key in IN_DOUBT if key in step.routes):
            for fault in (GOOD, *procedure.faults):
                yield Case(fault, 0, 1, doubt=(step.name, answer))


def doubted_of(procedure: Procedure, walks: Sequence[tuple[Case, Walk]]) -> tuple[Doubted, ...]:
    """Count ``walks`` in which the answer was given."""
    given: dict[tuple[str, str], list[tuple[Case, Walk]]] = {}
    for case, walk in walks:
        if case.doubt is not None and _was_given(case.doubt, walk):
            given.setdefault(case.doubt, []).append((case, walk))
    return tuple(_counted(procedure, *doubt, made) for doubt, made in given.items())


def _was_given(doubt: tuple[str, str], walk: Walk) -> bool:
    return any((taken.step, taken.outcome) == doubt for taken in walk.taken)


def _counted(
    procedure: Procedure, step: str, answer: str, made: Sequence[tuple[Case, Walk]]
) -> Doubted:
    ends = Counter(outcome_of(procedure, case.fault, walk) for case, walk in made)
    return Doubted(
        step=step,
        answer=answer,
        walks=len(made),
        found=ends[Outcome.FOUND],
        wrong=ends[Outcome.WRONG],
        open=ends[Outcome.UNRESOLVED],
        condemned=tuple(_condemned(procedure, made)),
    )


def _condemned(
    procedure: Procedure, made: Iterable[tuple[Case, Walk]]
) -> Iterator[tuple[str, str, Stray]]:
    for case, walk in made:
        wrong = outcome_of(procedure, case.fault, walk) is Outcome.WRONG
        part = good_part(procedure, case.faults, walk.finding) if wrong else ""
        if part:
            yield case.fault, part, stray_of(walk)

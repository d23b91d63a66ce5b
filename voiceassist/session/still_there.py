"""Dangers that were told in an earlier stage, and lie where the next one works too."""

from voiceassist.procedure.model import Caution, Kind, Procedure, Step
from voiceassist.session.session import Session

_WORK = frozenset({Kind.ASK, Kind.DO})


def still_there(
    procedure: Procedure, session: Session, queue: tuple[str, ...]
) -> tuple[Caution, ...]:
    """What was told at a plug that the steps of ``queue`` work at, and none of them tells."""
    everything = (*procedure.steps.values(), *procedure.repairs.values())
    steps = [procedure.step(name) for name in queue]
    told = {name for name, _ in session.warned}
    told -= {caution.name for step in steps for caution in step.cautions}
    if not told:
        return ()
    known = frozenset(point.connector for step in everything for point in step.points) - {""}
    here = frozenset[str]().union(*(_plugs(step, known) for step in steps))
    there = [step for step in everything if _plugs(step, known) & here]
    found = {c.name: c for step in there for c in step.cautions if c.name in told}
    grave = (caution for caution in found.values() if caution.signal.must_be_acknowledged)
    return tuple(caution for caution in grave if _comes_about(caution, session, steps))


def _comes_about(caution: Caution, session: Session, steps: list[Step]) -> bool:
    """Whether a state that it guards is there during ``steps``; where it names none, it always is.

    What no step asks for stays as it is.
    """
    needed: dict[str, set[str]] = {}
    for need in (need for step in steps for need in step.needs):
        needed.setdefault(need.condition, set()).add(need.state)
    guarded = caution.again_when
    there = (state in needed.get(name, {session.condition(name)}) for name, state in guarded)
    return not guarded or any(there)


def _plugs(step: Step, known: frozenset[str]) -> frozenset[str]:
    """Of the ``known`` plugs those of its points; at work, those it has open or shut."""
    if step.kind in _WORK and not step.points:
        moved = (*(need.condition for need in step.needs), *(name for name, _ in step.sets))
        return known.intersection(moved)
    return known.intersection(point.connector for point in step.points)

"""Faults that parts of a kind usually have, and that the file does not tell.

Nobody demands that they are found. But a good part must not be condemned for one of them, and a
way that condemns a part must be one that some fault takes.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from voiceassist.circuit.faults import CircuitFault
from voiceassist.circuit.usual import usual_faults
from voiceassist.procedure.model import FAIL, IN_DOUBT, Procedure, Step
from voiceassist.prove.cases import GOOD, Case
from voiceassist.prove.stray import Stray, stray_of
from voiceassist.prove.walk import Walk

#: A step, and the finding that an outcome of it leads to.
Way = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Untold:
    """A good part that is condemned for a fault which no file tells.

    Parts:
        fault: what is wrong, in words.
        part: that was condemned.
        stray: where it went astray.
    """

    fault: str
    part: str
    stray: Stray


# --- good parts condemned ---


def cases_of(procedure: Procedure) -> Iterator[Case]:
    """A walk with each usual fault that the file tells in no size."""
    assert procedure.circuit is not None
    known = {(fault.kind, fault.target) for fault in procedure.faults.values()}
    for fault in usual_faults(procedure.circuit):
        if (fault.kind, fault.target) not in known:
            yield Case(GOOD, 0, 1, untold=fault)


def untold_of(procedure: Procedure, walks: Iterable[tuple[Case, Walk]]) -> tuple[Untold, ...]:
    """The good parts that ``walks`` condemn, each once for a fault.

    A walk counts for nothing where a question was asked that faults are told to answer otherwise:
    nobody knows what this one would have it answered.
    """
    asked = {step for fault in procedure.faults.values() for step in fault.answers}
    found: dict[tuple[str, str], Untold] = {}
    for case, walk in walks:
        assert case.untold is not None
        part = _good_part(procedure, case.untold, walk.finding)
        if part and not walk.skipped and not asked & set(walk.path):
            one = Untold(_in_words(case.untold), part, stray_of(walk))
            found.setdefault((case.untold.name, part), one)
    return tuple(found.values())


def _good_part(procedure: Procedure, fault: CircuitFault, finding: str) -> str:
    """The part that is condemned though ``fault`` is in none that ``finding`` stands for."""
    part = procedure.findings[finding].condemns if finding else ""
    return "" if fault.target in {part, *_targets(procedure, finding)} else part


def _targets(procedure: Procedure, finding: str) -> set[str]:
    """What the faults are in that are found as ``finding``."""
    return {each.target for each in procedure.faults.values() if finding in each.found_as}


def _in_words(fault: CircuitFault) -> str:
    if fault.size is None:
        return fault.name
    return f"{fault.name} ({fault.size[0]:g} Ω)"


# --- ways that no fault takes ---


def untaken(procedure: Procedure, walks: Sequence[tuple[Case, Walk]]) -> tuple[Way, ...]:
    """Each way straight from a step that is come to, to a condemned part, that no walk took."""
    visited = {step for _, walk in walks for step in walk.path}
    taken = {way for _, walk in walks for way in _taken(procedure, walk)}
    return tuple(
        way
        for name, step in procedure.steps.items()
        if name in visited
        for way in ((name, finding) for finding in _condemning(procedure, step))
        if way not in taken
    )


def _taken(procedure: Procedure, walk: Walk) -> Iterator[Way]:
    """Where it went on; what the finding had to be proved by may have been asked in between."""
    yield from pairwise((*walk.path, walk.finding))
    for result in walk.taken:
        routes = procedure.step(result.step).routes
        if routes.get(result.outcome, routes.get(FAIL)) == walk.finding:
            yield result.step, walk.finding


def _condemning(procedure: Procedure, step: Step) -> Iterator[str]:
    """The findings that condemn a part and that an outcome of ``step`` leads straight to."""
    targets = (target for outcome, target in step.routes.items() if outcome not in IN_DOUBT)
    for target in dict.fromkeys(targets):
        if target in procedure.findings and procedure.findings[target].condemns:
            yield target

"""Which of two procedures goes first: the one in which what both can find is found sooner."""

from collections.abc import Sequence

from voiceassist.procedure.model import Procedure


def shared_first(procedures: Sequence[Procedure]) -> list[Procedure]:
    """``procedures`` in the order to run them in; of those alike, the shorter first."""
    shared = set.intersection(*(set(each.findings) for each in procedures))
    return sorted(procedures, key=lambda each: (_place(each, shared), len(each.steps)))


def _place(procedure: Procedure, shared: set[str]) -> float:
    """How far into a procedure the findings ``shared`` lie on average, as its file has it."""
    first: dict[str, int] = {}
    for number, step in enumerate(procedure.steps.values()):
        for target in step.routes.values():
            first.setdefault(target, number)
    places = [first[name] for name in sorted(shared) if name in first]
    return sum(places) / len(places) if places else 0.0

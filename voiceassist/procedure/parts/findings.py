"""From the shape of a finding to a ``Finding``."""

import re
from collections.abc import Iterable, Mapping, Sequence

from voiceassist.procedure.model import Finding, Kind, Step
from voiceassist.procedure.parts.scope import Scope
from voiceassist.procedure.shape.procedure import FindingShape
from voiceassist.procedure.text.tree import Path

#: A finding of this name blames nothing, unless it says otherwise.
NO_FAULT = "no-fault"
_CHANGES = re.compile(r"\b(?:chang|replac)(?:e|es|ed|ing)\b", re.IGNORECASE)


def build_finding(name: str, steps: Mapping[str, Step], scope: Scope) -> Finding:
    """The finding called ``name`` in the file; ``steps`` are all steps and repair steps."""
    body = scope.shape.findings[name]
    path: Path = ("findings", name)
    _check_names((*path, "because"), body.because, "step", scope.steps, scope)
    _check_names((*path, "before-fitting"), body.before_fitting, "step", scope.steps, scope)
    _check_names((*path, "repair"), body.repair, "repair step", scope.repairs, scope)
    _check_names((*path, "prove-with"), body.prove_with, "step", scope.steps, scope)
    _check_proofs(path, body, steps, scope)
    _check_listed(path, body, steps, scope)
    _check_condemned(path, body, steps, scope)
    return Finding(
        name=name,
        cause=body.cause,
        correction=body.correction,
        because=tuple(body.because),
        corrected=body.corrected or body.correction,
        condemns=body.condemns or "",
        proved_by=tuple(body.proved_by.items()),
        before_fitting=tuple(body.before_fitting),
        repair=tuple(body.repair),
        prove_with=tuple(body.prove_with),
        go_on=_go_on((*path, "go-on"), body, scope),
        no_fault=_no_fault(path, body, name, scope),
    )


def _no_fault(path: Path, body: FindingShape, name: str, scope: Scope) -> bool:
    """Whether it blames nothing; then there is nothing to condemn, repair or prove."""
    no_fault = name == NO_FAULT if body.no_fault is None else body.no_fault
    blaming = [
        key
        for key in ("condemns", "repair", "prove-with", "go-on")
        if scope.blame.written(path, key)
    ]
    if no_fault and blaming:
        scope.blame.error(
            (*path, blaming[0]), "nothing is wrong at 'no-fault', so this has no place there"
        )
    return no_fault


def _go_on(path: Path, body: FindingShape, scope: Scope) -> str:
    """The step at which the job goes on once it is put right."""
    if body.go_on is None:
        return ""
    if body.prove_with:
        message = "'go-on' goes on with the diagnosis, which 'prove-with' ends; keep one of them"
        scope.blame.error(path, message)
    known = [*scope.steps, *scope.uses]
    return body.go_on if scope.check_known(path, "step", body.go_on, known) else ""


def _check_names(
    path: Path, names: Iterable[str], kind: str, known: Sequence[str], scope: Scope
) -> None:
    for i, name in enumerate(names):
        scope.check_known((*path, i), kind, name, known)


def _check_proofs(path: Path, body: FindingShape, steps: Mapping[str, Step], scope: Scope) -> None:
    for role, name in body.proved_by.items():
        place = (*path, "proved-by", role)
        if not scope.check_known(place, "step", name, scope.steps):
            continue
        why_not = _cannot_prove(steps[name])
        if why_not and not scope.blame.blamed(("steps", name)):
            message = f"{name!r} {why_not}, so it cannot prove the {role}; name another step"
            scope.blame.error(place, message)


def _check_listed(path: Path, body: FindingShape, steps: Mapping[str, Step], scope: Scope) -> None:
    """Blame questions that pass whatever is answered, and sums of readings taken before."""
    for i, name in enumerate(body.before_fitting):
        if name in steps:
            _check_question((*path, "before-fitting", i), steps[name], scope)
    for i, name in enumerate(body.prove_with):
        if name not in steps:
            continue
        place = (*path, "prove-with", i)
        _check_question(place, steps[name], scope)
        old = sorted(_measured(steps[name], steps) - set(body.prove_with[:i]))
        if steps[name].formula is not None and old:
            message = f"{name!r} is worked out from {old[0]!r}; list that before it"
            scope.blame.error(place, message)


def _check_question(path: Path, step: Step, scope: Scope) -> None:
    if step.kind is Kind.ASK and not step.good:
        message = f"{step.name!r} passes whatever is answered; give it 'accept: yes' or the like"
        scope.blame.error(path, message)


def _measured(step: Step, steps: Mapping[str, Step]) -> set[str]:
    """The readings that a sum is worked out from, through other sums; facts are none."""
    found: set[str] = set()
    seen: set[str] = set()
    waiting = [step]
    while waiting:
        names = waiting.pop().names - seen
        seen |= names
        parts = [steps[name] for name in names if name in steps]
        waiting += [part for part in parts if part.formula is not None]
        found |= {part.name for part in parts if part.formula is None and not part.fact}
    return found


def _cannot_prove(step: Step) -> str:
    """Why a pass of ``step`` proves nothing; empty when it does."""
    if step.kind in {Kind.LAMP, Kind.SWEEP}:
        return ""
    if step.kind in {Kind.MEASURE, Kind.COUNT, Kind.COMPUTE}:
        return "" if step.limit or step.table else "has no limit"
    if step.kind is Kind.ASK:
        return (
            "" if step.good else "is a question without 'accept:', which cannot tell good from bad"
        )
    return "takes no reading"


def _check_condemned(
    path: Path, body: FindingShape, steps: Mapping[str, Step], scope: Scope
) -> None:
    if body.condemns and not scope.blame.written(path, "proved-by"):
        scope.blame.error(
            (*path, "condemns"), "a part is condemned unproved; add 'proved-by: {feed: a-step}'"
        )
    if body.proved_by and not scope.blame.written(path, "condemns"):
        scope.blame.error((*path, "proved-by"), "this proves nothing; add 'condemns: the part'")
    changes = [n for n in body.repair if n in steps and _CHANGES.search(steps[n].text)]
    if changes and not scope.blame.written(path, "condemns"):
        scope.blame.warning(
            path, f"{changes[0]!r} changes a part; add 'condemns:' and 'proved-by:'"
        )

"""Can every step and finding be reached, and does every path end?"""

from collections.abc import Iterator, Mapping

from voiceassist.procedure.model import NEVER, PASS, Finding, Procedure, Step
from voiceassist.procedure.text.fault_collector import FaultCollector
from voiceassist.procedure.text.tree import Path


def check_flow(procedure: Procedure, places: Mapping[str, Path], blame: FaultCollector) -> None:
    """Report steps and findings never reached, and circles.

    Args:
        procedure: all of it.
        places: where each step and finding stands in the file.
        blame: takes what is wrong.
    """
    found = reached(procedure, beyond=True)
    ends = [finding for name, finding in procedure.findings.items() if name in found]
    asked = {step for finding in ends for step in (*asked_first(finding), *finding.prove_with)}
    for name in procedure.steps:
        if name not in found | asked and places[name][-1] == name:
            blame.warning(places[name], "no path leads to this step")
    for name in procedure.findings:
        if name not in found and places[name][-1] == name:
            blame.warning(places[name], "no path leads to this finding")
    for circle in _circles(procedure):
        blame.error(
            places[circle[0]],
            "this path comes back to where it was and may never end: " + " → ".join(circle),
        )


def targets(step: Step) -> list[str]:
    """Where a step can lead, each once; skipped too."""
    skip = [step.skip] if step.skip and step.skip != NEVER else []
    return list(dict.fromkeys([*step.routes.values(), *skip]))


def passes(step: Step, outcome: str) -> bool:
    """True when ``step`` proves what it is for by ``outcome``."""
    return outcome == PASS or outcome in step.bright_enough or outcome in step.good


def failing(step: Step) -> list[str]:
    """Where a step leads when it does not pass."""
    return [target for key, target in step.routes.items() if target and not passes(step, key)]


def asked_first(finding: Finding) -> list[str]:
    """Steps that must have passed before a finding's repair, in the order they are asked for."""
    proofs = [step for _, step in finding.proved_by]
    return list(dict.fromkeys([*proofs, *finding.before_fitting]))


def reached(procedure: Procedure, *, beyond: bool = False) -> set[str]:
    """Steps and findings that a path from the first step leads to, past findings that go on.

    Args:
        procedure: all of it.
        beyond: go on from a finding to where its proofs and its repair lead when they fail.
    """
    seen: set[str] = set()
    waiting = [procedure.first]
    while waiting:
        name = waiting.pop()
        if name in seen:
            continue
        seen.add(name)
        if name in procedure.steps:
            waiting += targets(procedure.steps[name])
            continue
        finding = procedure.findings.get(name)
        if finding is not None and finding.go_on:
            waiting.append(finding.go_on)
        if beyond and finding is not None:
            for step in (*asked_first(finding), *finding.repair):
                waiting += failing(procedure.step(step))
    return seen


def _circles(procedure: Procedure) -> Iterator[list[str]]:
    """Each circle once, from the step where the walk first met it."""
    done: set[str] = set()
    path = {procedure.first: None}  # in order, and quick to look in
    walks = [iter(targets(procedure.steps[procedure.first]))]
    while walks:
        target = next(walks[-1], None)
        if target is None:
            walks.pop()
            done.add(path.popitem()[0])
        elif target in path:
            names = list(path)
            yield [*names[names.index(target) :], target]
        elif target in procedure.steps and target not in done:
            path[target] = None
            walks.append(iter(targets(procedure.steps[target])))

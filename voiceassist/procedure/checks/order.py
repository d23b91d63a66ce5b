"""Has every path to a limit taken the readings it needs, and proved what a finding condemns by?

A forward data-flow analysis: what is known before a step is what every path to it has brought.
What is known only shrinks where paths join, so it ends.
"""

from collections.abc import Iterator, Mapping
from enum import Enum

from voiceassist.procedure.checks.flow import asked_first, passes
from voiceassist.procedure.checks.units import is_value
from voiceassist.procedure.model import IN_DOUBT, NEVER, OVER, PASS, Finding, Kind, Procedure, Step
from voiceassist.procedure.text.fault_collector import FaultCollector
from voiceassist.procedure.text.tree import Path


class _Known(Enum):
    VALUE = "a reading of it was taken"
    PASSED = "it has passed"
    ANSWER = "it was answered"
    STATE = "the state of this condition is known"


_Facts = frozenset[tuple[_Known, str]]
_NONE: _Facts = frozenset()


def check_order(procedure: Procedure, places: Mapping[str, Path], blame: FaultCollector) -> None:
    """Report what is needed before it is known, and findings that a path reaches unproved.

    Args:
        procedure: all of it, without circles.
        places: where each step and finding stands in the file.
        blame: takes what is wrong.
    """
    before = _known_before(procedure)
    for name, step in procedure.steps.items():
        if name in before:
            place = (*places[name], "compute" if step.formula else "accept")
            _blame_missing(step, before[name], place, procedure, blame)
    for name, finding in procedure.findings.items():
        if name in before:
            _check_finding(procedure, finding, before[name], places[name], blame)


def _known_before(procedure: Procedure) -> dict[str, _Facts]:
    values = (fact.name for fact in procedure.facts.values() if fact.value is not None)
    words = (fact.name for fact in procedure.words.values() if fact.value)
    given = {(_Known.VALUE, name) for name in values} | {(_Known.ANSWER, name) for name in words}
    before = {procedure.first: frozenset(given)}
    changed = True
    while changed:
        changed = False
        for name in (*procedure.steps, *procedure.findings):
            for target, after in _edges(procedure, name, before[name]) if name in before else ():
                joined = before.get(target, after) & after
                if before.get(target) != joined:
                    before[target] = joined
                    changed = True
    return before


def _edges(procedure: Procedure, name: str, known: _Facts) -> Iterator[tuple[str, _Facts]]:
    """Where a step or finding leads, with what is known then."""
    if name in procedure.steps:
        step = procedure.steps[name]
        if step.skip and step.skip != NEVER:
            yield step.skip, known
        elif step.only_if and PASS in step.routes:
            yield step.routes[PASS], known
        yield from _outcomes(step, known)
        return
    finding = procedure.findings[name]
    for listed in (*asked_first(finding), *finding.repair):
        step = procedure.step(listed)
        for target, after in _outcomes(step, known, passing=False):
            if target:
                yield target, after
        known |= _gained(step, PASS)
    if finding.go_on:
        yield finding.go_on, known


def _outcomes(step: Step, known: _Facts, *, passing: bool = True) -> Iterator[tuple[str, _Facts]]:
    for outcome, target in step.routes.items():
        if passing or not passes(step, outcome):
            yield target, known | _gained(step, outcome)


def _gained(step: Step, outcome: str) -> _Facts:
    """What is known after ``outcome`` that was not before."""
    gained = {(_Known.STATE, need.condition) for need in step.needs}
    gained |= {(_Known.STATE, condition) for condition, _ in step.sets}
    if outcome in IN_DOUBT:
        return frozenset(gained)
    if is_value(step) and outcome != OVER:
        gained.add((_Known.VALUE, step.name))
    if step.kind is Kind.ASK:
        gained.add((_Known.ANSWER, step.name))
    if passes(step, outcome):
        gained.add((_Known.PASSED, step.name))
    return frozenset(gained)


def _needed(step: Step, procedure: Procedure) -> _Facts:
    """What a step's limit, table, formula and lookalikes cannot do without."""
    needed = {(_Known.VALUE, name) for name in step.values_used}
    if step.table is not None and step.table.conditional:
        asked = step.table.by in procedure.steps or step.table.by in procedure.words
        needed.add((_Known.ANSWER if asked else _Known.STATE, step.table.by))
    return frozenset(needed | {(_Known.ANSWER, name) for name, _ in step.only_if})


def _blame_missing(
    step: Step, known: _Facts, place: Path, procedure: Procedure, blame: FaultCollector
) -> None:
    known |= {(_Known.STATE, need.condition) for need in step.needs}
    for kind, name in sorted(_needed(step, procedure) - known, key=lambda pair: pair[1]):
        blame.error(place, f"a path leads here {_without(step, kind, name)}")


def _without(step: Step, kind: _Known, name: str) -> str:
    if kind is _Known.STATE:
        return f"with the state of {name!r} not known; add it to 'needs'"
    if kind is _Known.ANSWER:
        by = "'only-if'" if name in dict(step.only_if) else "the table"
        return f"without asking {name!r}, which {by} goes by"
    what = "formula" if step.formula is not None and name in step.formula.names else "limit"
    return f"without measuring {name!r}, which the {what} needs"


def _check_finding(
    procedure: Procedure, finding: Finding, known: _Facts, place: Path, blame: FaultCollector
) -> None:
    for role, name in finding.proved_by:
        if (_Known.PASSED, name) not in known and not procedure.step(name).only_if:
            blame.warning(
                (*place, "proved-by", role),
                f"a path leads here without proving the {role} ({name}); "
                "the session will ask for it first",
            )
    for where, name in _listed(finding):
        step = procedure.step(name)
        _blame_missing(step, known, (*place, *where), procedure, blame)
        known |= _gained(step, PASS)


def _listed(finding: Finding) -> Iterator[tuple[Path, str]]:
    """The steps of a finding's lists in the order they are taken, and where they stand."""
    for role, name in finding.proved_by:
        yield ("proved-by", role), name
    lists = {
        "before-fitting": finding.before_fitting,
        "repair": finding.repair,
        "prove-with": finding.prove_with,
    }
    for key, names in lists.items():
        for i, name in enumerate(names):
            yield (key, i), name

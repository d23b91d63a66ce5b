"""A procedure put into another one, in place of a step: its steps and findings under new names."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from voiceassist.procedure.faults import did_you_mean
from voiceassist.procedure.model import (
    PASS,
    Caution,
    Fact,
    Finding,
    Need,
    Procedure,
    Step,
    WordFact,
    Wording,
)
from voiceassist.procedure.shape.step import StepShape
from voiceassist.procedure.text.fault_collector import FaultCollector
from voiceassist.procedure.text.tree import Path

_NOTHING: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Shared:
    """What a file and those it uses must tell alike, by name.

    Parts:
        conditions: to state to the words for it.
        cautions: without the built-in ones.
        facts, words, before_changing, wordings, at_rest: as in ``Procedure``.
    """

    conditions: Mapping[str, Mapping[str, str]]
    cautions: Mapping[str, Caution]
    facts: Mapping[str, Fact]
    words: Mapping[str, WordFact]
    before_changing: Mapping[str, tuple[Need, ...]]
    wordings: Mapping[str, Mapping[str, Wording]]
    at_rest: Mapping[str, str]

    def joined(self, other: "Shared") -> "Shared":
        """Both together; where they differ, this one counts."""
        conditions = {
            name: {**other.conditions.get(name, {}), **self.conditions.get(name, {})}
            for name in (*self.conditions, *other.conditions)
        }
        wordings = {
            name: {**other.wordings.get(name, {}), **self.wordings.get(name, {})}
            for name in (*self.wordings, *other.wordings)
        }
        return Shared(
            conditions,
            {**other.cautions, **self.cautions},
            {**self.facts, **{n: f for n, f in other.facts.items() if n not in self.facts}},
            {**other.words, **self.words},
            {**other.before_changing, **self.before_changing},
            wordings,
            {**other.at_rest, **self.at_rest},
        )


@dataclass(frozen=True, slots=True)
class Ready:
    """A procedure file read.

    Parts:
        procedure: what it says, with what it puts in itself.
        shared: what it has to tell as the files that use it do.
    """

    procedure: Procedure
    shared: Shared


def put_in(name: str, ready: Ready, go: Mapping[str, str]) -> Procedure:
    """The steps, repairs and findings of ``ready`` called after the step ``name``.

    Facts keep their names, and the steps that ask for them are left out.

    Args:
        name: the step whose place they take.
        ready: the used file.
        go: findings of it to the step or finding to go to instead.
    """
    its = ready.procedure
    steps = {n: step for n, step in its.steps.items() if not step.fact}
    new = {n: f"{name}-{n}" for n in (*steps, *its.repairs, *its.findings)}
    ways = {**new, **go}
    return replace(
        its,
        steps={
            new[n]: replace(_renamed(step, new, ways), origin=step.origin or f"{its.name}/{n}")
            for n, step in steps.items()
        },
        repairs={new[n]: _renamed(step, new, ways) for n, step in its.repairs.items()},
        findings={
            new[n]: _finding(finding, new) for n, finding in its.findings.items() if n not in go
        },
    )


def _renamed(step: Step, new: Mapping[str, str], ways: Mapping[str, str]) -> Step:
    formula = step.formula.renamed(new) if step.formula else None
    return replace(
        step,
        name=new[step.name],
        text=formula.text if formula else step.text,
        formula=formula,
        limit=step.limit.renamed(new) if step.limit else None,
        table=step.table.renamed(new) if step.table else None,
        sweep=step.sweep.renamed(new) if step.sweep else None,
        lookalikes=tuple(replace(x, limit=x.limit.renamed(new)) for x in step.lookalikes),
        bands={text: limit.renamed(new) for text, limit in step.bands.items()},
        routes={outcome: ways.get(target, target) for outcome, target in step.routes.items()},
        skip=ways.get(step.skip, step.skip),
        only_if=tuple((new.get(name, name), answers) for name, answers in step.only_if),
    )


def _finding(finding: Finding, new: Mapping[str, str]) -> Finding:
    def named(names: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(new[name] for name in names)

    return replace(
        finding,
        name=new[finding.name],
        because=named(finding.because),
        proved_by=tuple((role, new[step]) for role, step in finding.proved_by),
        before_fitting=named(finding.before_fitting),
        repair=named(finding.repair),
        prove_with=named(finding.prove_with),
        go_on=new.get(finding.go_on, ""),
    )


# --- do the two files go together? ---


def check_go(path: Path, ready: Ready, body: StepShape, blame: FaultCollector) -> dict[str, str]:
    """The findings that lead on, checked; those that a good path ends at must be among them."""
    go, its = body.go or {}, ready.procedure
    for finding in go:
        if finding not in its.findings:
            hint = did_you_mean(finding, list(its.findings))
            blame.error((*path, "go", finding), f"{its.name} has no finding {finding!r}{hint}")
    good = list(_good_ends(its))
    for finding in good:
        if finding not in go:
            message = f"{its.name} ends well with {finding!r}; tell under 'go:' where to go on"
            blame.error(path, message)
    if not go and not good:
        known = ", ".join(its.findings)
        blame.error(path, f"nothing leads back from {its.name}; map one of {known} under 'go:'")
    return {finding: target for finding, target in go.items() if finding in its.findings}


def _good_ends(procedure: Procedure) -> Iterator[str]:
    """Findings that a pass leads to and that put nothing right."""
    passes = {step.routes.get(PASS) for step in procedure.steps.values()}
    for name, finding in procedure.findings.items():
        if name in passes and not _puts_right(finding):
            yield name


def _puts_right(finding: Finding) -> bool:
    return bool(finding.condemns or finding.repair or finding.prove_with or finding.go_on)


def check_agreement(path: Path, ready: Ready, other: Shared, blame: FaultCollector) -> None:
    """Report what the used file calls by the same name as ``other`` but tells otherwise."""
    for what, name in _differences(ready.shared, other):
        message = f"{ready.procedure.name} tells {what} {name!r} otherwise than this file"
        blame.error((*path, "use"), f"{message}; make them agree")


def _differences(its: Shared, ours: Shared) -> Iterator[tuple[str, str]]:
    for name, states in its.conditions.items():
        known = ours.conditions.get(name, _NOTHING)
        for state in states:
            if known.get(state, states[state]) != states[state]:
                yield "the condition", f"{name}: {state}"
    for name, caution in its.cautions.items():
        if ours.cautions.get(name, caution) != caution:
            yield "the caution", name
    for name, fact in its.facts.items():
        if replace(ours.facts.get(name, fact), source=fact.source) != fact:
            yield "the fact", name
    for name, words in its.words.items():
        if ours.words.get(name, words) != words:
            yield "the fact", name
    for name, needs in its.before_changing.items():
        if ours.before_changing.get(name, needs) != needs:
            yield "what comes before changing", name

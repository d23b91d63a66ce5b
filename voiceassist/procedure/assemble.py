"""From the shape of a file to a ``Procedure``; names that lead nowhere are blamed here."""

from collections.abc import Callable, Mapping
from dataclasses import replace

from voiceassist.procedure.checks.alike import with_alike
from voiceassist.procedure.checks.causes import check_causes
from voiceassist.procedure.checks.flow import check_flow
from voiceassist.procedure.checks.names import check_names
from voiceassist.procedure.checks.order import check_order
from voiceassist.procedure.checks.ranges import check_ranges
from voiceassist.procedure.checks.units import is_value, with_units
from voiceassist.procedure.checks.wire_words import check_wire_words
from voiceassist.procedure.checks.wording import check_wording
from voiceassist.procedure.model import ANSWERS, PASS, Kind, Procedure, Source, Step
from voiceassist.procedure.parts.before_changing import before_changing_of
from voiceassist.procedure.parts.cautions import built_in, cautions_of, with_automatic
from voiceassist.procedure.parts.circuit import circuit_of
from voiceassist.procedure.parts.conditions import Conditions, check_asked, conditions_of
from voiceassist.procedure.parts.facts import asking_steps, facts_of
from voiceassist.procedure.parts.findings import build_finding
from voiceassist.procedure.parts.leads import check_meter, with_leads
from voiceassist.procedure.parts.points import points_of, with_wires
from voiceassist.procedure.parts.scope import Scope
from voiceassist.procedure.parts.source import source_of_file
from voiceassist.procedure.parts.steps import build_step, kind_of
from voiceassist.procedure.parts.used_files import Ready, Shared, check_agreement, check_go, put_in
from voiceassist.procedure.parts.word_facts import asking_words, word_facts_of, words_of
from voiceassist.procedure.shape.procedure import ProcedureShape
from voiceassist.procedure.text.fault_collector import FaultCollector
from voiceassist.procedure.text.tree import Path

#: More steps than these, with those of used files, are refused: no job is so long.
MOST_STEPS = 1000

#: Finds a procedure to put in: its name to what it says, or to a sentence why it cannot be used.
Find = Callable[[str], Ready | str]


#: Kinds of step that give a value.
_VALUED = frozenset({Kind.MEASURE, Kind.COUNT, Kind.COMPUTE})


def build(
    shape: ProcedureShape, blame: FaultCollector, find: Find, reserved: Callable[[str], bool]
) -> Ready:
    """The procedure in ``shape``; to be trusted only when ``blame`` holds no error.

    Args:
        shape: the file.
        blame: takes what is wrong.
        find: finds a procedure that it uses.
        reserved: tells whether a phrase already means something in the language.
    """
    source = source_of_file(shape.source, blame)
    used = _used(shape, blame, find)
    parts = {
        name: put_in(name, ready, check_go(("steps", name), ready, shape.steps[name], blame))
        for name, ready in used.items()
    }
    conditions = conditions_of(shape, blame)
    scope = _scope(shape, blame, source, parts, reserved, conditions)
    check_names(scope, parts)
    for name in used:
        for finding, target in (shape.steps[name].go or {}).items():
            scope.check_target(("steps", name, "go", finding), target)
    shared = _shared(scope, used, conditions)
    return Ready(_procedure(scope, parts, shared), shared)


def _used(shape: ProcedureShape, blame: FaultCollector, find: Find) -> dict[str, Ready]:
    """Name of a step to the procedure whose steps take its place."""
    found: dict[str, Ready] = {}
    steps = len(shape.steps)
    for name, body in shape.steps.items():
        ready = find(body.use) if body.use else ""
        steps += len(ready.procedure.steps) if isinstance(ready, Ready) else 0
        if steps > MOST_STEPS:
            place: Path = ("steps", name) if body.use else ("steps",)
            blame.error(place, f"there are over {MOST_STEPS} steps here; use fewer")
            break
        if isinstance(ready, Ready):
            found[name] = ready
        elif ready:
            blame.error(("steps", name, "use"), ready)
    return found


def _scope(
    shape: ProcedureShape,
    blame: FaultCollector,
    source: Source,
    parts: Mapping[str, Procedure],
    reserved: Callable[[str], bool],
    conditions: Conditions,
) -> Scope:
    put = [step for part in parts.values() for step in part.steps.values()]
    asks = {n: body.answers or () for n, body in shape.steps.items() if body.ask}
    words = {n: words_of(body) for n, body in shape.facts.items() if body.words is not None}
    for part in parts.values():
        words |= {n: [one.name for one in fact.replies] for n, fact in part.words.items()}
    own = [n for n, body in shape.steps.items() if not body.use and kind_of(body) in _VALUED]
    valued = [name for name, body in shape.facts.items() if body.words is None]
    valued = list(dict.fromkeys([*valued, *(name for p in parts.values() for name in p.facts)]))
    return Scope(
        shape=shape,
        blame=blame,
        source=source,
        cautions=cautions_of(shape, blame),
        steps=[*(n for n, b in shape.steps.items() if not b.use), *(step.name for step in put)],
        uses=[n for n, body in shape.steps.items() if body.use],
        repairs=[*shape.repairs, *(name for part in parts.values() for name in part.repairs)],
        findings=[*shape.findings, *(name for part in parts.values() for name in part.findings)],
        facts=[*valued, *words],
        answers={
            **{name: [ANSWERS.get(key, key) for key in keys] for name, keys in asks.items()},
            **{s.name: [r.name for r in s.replies] for s in put if s.replies},
            **words,
        },
        values=[*own, *(step.name for step in put if is_value(step)), *valued],
        broken=[n for n, body in shape.steps.items() if body.use and n not in parts],
        reserved=reserved,
        states=conditions.states,
        points=points_of(shape, blame),
        held=conditions.held,
    )


def _shared(scope: Scope, used: Mapping[str, Ready], conditions: Conditions) -> Shared:
    own = scope.shape.cautions
    shared = Shared(
        conditions.states,
        {name: caution for name, caution in scope.cautions.items() if name in own},
        facts_of(scope.shape, scope.source, scope.blame),
        word_facts_of(scope),
        before_changing_of(scope),
        conditions.wordings,
        conditions.at_rest,
    )
    for name, ready in used.items():
        check_agreement(("steps", name), ready, shared, scope.blame)
        shared = shared.joined(ready.shared)
    return shared


def _procedure(scope: Scope, parts: Mapping[str, Procedure], shared: Shared) -> Procedure:
    shape, blame = scope.shape, scope.blame
    steps = _steps(scope, parts, shared)
    repairs = _repairs(scope, parts)
    own: dict[str, Path] = {
        **{name: ("steps", name) for name in shape.steps if name in steps},
        **{name: ("repairs", name) for name in shape.repairs},
    }
    whole = with_units({**steps, **repairs}, shared.facts, own, scope)
    known = {**built_in(), **scope.cautions}
    whole = {n: with_automatic(s, known) if n in own else s for n, s in whole.items()}
    whole = {n: with_leads(step, shared.conditions) for n, step in whole.items()}
    check_ranges(whole, own, blame)
    check_meter(whole, own, blame)
    check_asked(shape, (whole[name] for name in own), blame)
    check_wording(whole, own, scope)
    circuit, faults = circuit_of({n: whole[n] for n in steps}, shared.conditions, own, scope)
    check_wire_words(scope.points, circuit, blame)
    whole = {name: with_wires(step, circuit) for name, step in whole.items()}
    found = {name: build_finding(name, whole, scope) for name in shape.findings}
    entries = {name: next(iter(part.steps)) for name, part in parts.items()}
    found = {n: replace(f, go_on=entries.get(f.go_on, f.go_on)) for n, f in found.items()}
    for part in parts.values():
        found |= part.findings
    procedure = Procedure(
        name=shape.procedure,
        title=shape.title,
        subject=shape.subject,
        steps={name: whole[name] for name in steps},
        repairs={name: whole[name] for name in repairs},
        findings=found,
        complaints=tuple(shape.complaints),
        tools=tuple(dict.fromkeys([*shape.tools, *(t for p in parts.values() for t in p.tools)])),
        facts=shared.facts,
        words=shared.words,
        conditions=shared.conditions,
        wordings=shared.wordings,
        at_rest=shared.at_rest,
        before_changing=shared.before_changing,
        source=scope.source,
        circuit=circuit,
        faults=faults,
    )
    if not blame.has_errors:
        check_flow(procedure, places := _places(scope, parts, own), blame)
        if not blame.has_errors:
            check_order(procedure, places, blame)
            check_causes(procedure, places, blame)
            procedure = with_alike(procedure)
    return procedure


def _steps(scope: Scope, parts: Mapping[str, Procedure], shared: Shared) -> dict[str, Step]:
    """All steps in the order of the file; those that ask for facts come first."""
    entries = {name: next(iter(part.steps)) for name, part in parts.items()}
    found: dict[str, Step] = {}
    names = [*scope.shape.steps, ""]
    for (name, body), following in zip(scope.shape.steps.items(), names[1:], strict=True):
        if name in parts:
            found |= parts[name].steps
        elif not body.use:
            found[name] = build_step(("steps", name), body, following, scope)
    found = {name: step.led(entries) for name, step in found.items()}
    first = entries.get(names[0], names[0])
    asked = asking_words(shared.words, scope.source, first)
    return {**asking_steps(shared.facts, next(iter(asked), first)), **asked, **found}


def _repairs(scope: Scope, parts: Mapping[str, Procedure]) -> dict[str, Step]:
    """All repair steps."""
    entries = {name: next(iter(part.steps)) for name, part in parts.items()}
    found = {}
    for name, body in scope.shape.repairs.items():
        if body.use:
            message = "a repair step cannot use a file; write its steps here"
            scope.blame.error(("repairs", name, "use"), message)
        found[name] = build_step(("repairs", name), body, PASS, scope).led(entries)
    for part in parts.values():
        found |= part.repairs
    return found


def _places(
    scope: Scope, parts: Mapping[str, Procedure], own: Mapping[str, Path]
) -> dict[str, Path]:
    """Where each step and finding stands in the file, or the step that put it in."""
    places: dict[str, Path] = {name: ("facts", name) for name in scope.facts}
    for name, part in parts.items():
        for held in (*part.steps, *part.repairs, *part.findings):
            places[held] = ("steps", name)
    places |= own
    return places | {name: ("findings", name) for name in scope.shape.findings}

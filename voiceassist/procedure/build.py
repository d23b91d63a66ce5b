"""From the shape of a file to a ``Procedure``; names that lead nowhere are blamed here."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from voiceassist.procedure.blame import Blame
from voiceassist.procedure.faults import did_you_mean
from voiceassist.procedure.model import PASS, Finding, Procedure, Step
from voiceassist.procedure.shape import ProcedureShape
from voiceassist.procedure.steps import StepBuilder, after
from voiceassist.procedure.tree import Path
from voiceassist.procedure.units_check import units_of_steps


def build(shape: ProcedureShape, blame: Blame) -> Procedure:
    """The procedure in ``shape``; to be trusted only when ``blame`` holds no error."""
    steps = _all_steps(shape, blame)
    return Procedure(
        name=shape.procedure,
        title=shape.title,
        subject=shape.subject,
        steps={str(path[1]): step for path, step in steps.items() if path[0] == "steps"},
        repairs={str(path[1]): step for path, step in steps.items() if path[0] == "repairs"},
        findings={name: _finding(shape, name, blame) for name in shape.findings},
        complaints=tuple(shape.complaints),
        tools=tuple(shape.tools),
        source=shape.source,
    )


def _all_steps(shape: ProcedureShape, blame: Blame) -> dict[Path, Step]:
    builder = StepBuilder(shape, blame)
    names = list(shape.steps)
    steps: dict[Path, Step] = {
        ("steps", name): builder.build(("steps", name), body, after(names, name))
        for name, body in shape.steps.items()
    }
    for name, body in shape.repairs.items():
        if name in shape.steps:
            blame.error(("repairs", name), f"a step is called {name!r} too; rename one of them")
        steps["repairs", name] = builder.build(("repairs", name), body, PASS)
    for name in shape.findings.keys() & shape.steps.keys():
        blame.error(("findings", name), f"a step is called {name!r} too; rename one of them")
    units = units_of_steps(steps, blame)
    return {p: replace(s, unit=units[p]) if p in units else s for p, s in steps.items()}


def _finding(shape: ProcedureShape, name: str, blame: Blame) -> Finding:
    body = shape.findings[name]
    path: Path = ("findings", name)
    steps, repairs = list(shape.steps), list(shape.repairs)
    _check_names((*path, "because"), body.because, steps, blame)
    _check_names((*path, "before-fitting"), body.before_fitting, steps, blame)
    _check_names((*path, "repair"), body.repair, repairs, blame)
    _check_names((*path, "prove-with"), body.prove_with, steps, blame)
    return Finding(
        name=name,
        cause=body.cause,
        correction=body.correction,
        because=tuple(body.because),
        before_fitting=tuple(body.before_fitting),
        repair=tuple(body.repair),
        prove_with=tuple(body.prove_with),
    )


def _check_names(path: Path, names: Iterable[str], known: Sequence[str], blame: Blame) -> None:
    for i, name in enumerate(names):
        if name not in known:
            blame.error((*path, i), f"there is no step {name!r}" + did_you_mean(name, known))

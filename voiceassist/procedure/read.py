"""A procedure file's text to a ``Procedure``, or to every fault in it."""

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from voiceassist.procedure.blame import Blame
from voiceassist.procedure.build import build
from voiceassist.procedure.faults import Fault, Level, ProcedureFaultsError, did_you_mean
from voiceassist.procedure.flow import check_flow
from voiceassist.procedure.mend import Place, copied, mend
from voiceassist.procedure.model import Procedure
from voiceassist.procedure.shape import (
    AnswerShape,
    CautionShape,
    FindingShape,
    ProcedureShape,
    StepShape,
)
from voiceassist.procedure.tree import Path, Tree, dotted, read_tree

_MOST_ROUNDS = 4  # mending one part can uncover a fault in the part around it

_KEYS_AT: dict[str | int, type[BaseModel]] = {
    0: ProcedureShape,
    "cautions": CautionShape,
    "steps": StepShape,
    "repairs": StepShape,
    "findings": FindingShape,
    "answers": AnswerShape,
}


def read_procedure(text: str, file: str) -> Procedure:
    """Read a procedure from YAML ``text``.

    Args:
        text: the whole file.
        file: how to call it in messages.

    Raises:
        ProcedureFaultsError: with every fault of level ERROR (and any warnings) in it.
    """
    procedure, faults = inspect(text)
    if procedure is None:
        raise ProcedureFaultsError(file, faults)
    return procedure


def inspect(text: str) -> tuple[Procedure | None, tuple[Fault, ...]]:
    """Read ``text``.

    Returns:
        The procedure, or None when an error stops it; and every fault, in order of lines.
    """
    tree = read_tree(text)
    faults = list(tree.faults)
    shape = _shape(tree, faults)
    procedure = None
    if shape is not None:
        blame = Blame(tree)
        procedure = build(shape, blame)
        if not any(fault.level is Level.ERROR for fault in [*faults, *blame.faults]):
            check_flow(procedure, blame)
        faults += blame.faults
    ordered = tuple(sorted(faults, key=lambda fault: fault.line))
    stopped = any(fault.level is Level.ERROR for fault in ordered)
    return (None if stopped else procedure), ordered


def _shape(tree: Tree, faults: list[Fault]) -> ProcedureShape | None:
    """Check keys and kinds of value.

    Bad parts are blamed, then mended, so that the rest is checked in the same run.
    """
    if not isinstance(tree.value, dict) or not tree.value:
        if not faults:
            faults.append(
                Fault(Level.ERROR, "", 1, "this holds no procedure; begin with 'procedure: a-name'")
            )
        return None
    value = dict(copied(tree.value))
    mended: set[Place] = set()
    for _ in range(_MOST_ROUNDS):
        try:
            return ProcedureShape.model_validate(value)
        except ValidationError as error:
            problems = error.errors(include_url=False)
        new = [_fault(problem, tree) for problem in problems if problem["loc"] not in mended]
        faults += [fault for fault in new if fault not in faults]
        for problem in problems:
            mended |= mend(value, problem["loc"], missing=problem["type"] == "missing")
    return None


def _path(loc: tuple[int | str, ...], tree: Tree) -> Path:
    """The part of pydantic's location that is in the file (it adds names of classes tried)."""
    path: Path = ()
    for part in loc:
        if part == "[key]":
            break
        if (*path, part) in tree.lines:
            path = (*path, part)
    return path


def _fault(problem: ErrorDetails, tree: Tree) -> Fault:
    path = _path(problem["loc"], tree)
    return Fault(Level.ERROR, dotted(path), tree.line(path), _message(problem, path))


_SENTENCES = {
    "missing": "{last!r} is missing; add it",
    "extra_forbidden": "{last!r} is not a key here{hint}",
    "string_pattern_mismatch": "{found!r} is not a name; use small letters and digits, joined "
    "by hyphens, each part beginning with a letter",
    "literal_error": "{found!r} is not one of {expected}",
    "string_too_short": "this is empty; fill it in or leave the key out",
    "too_short": "this is empty; fill it in or leave the key out",
    "string_too_long": "this is too long to be spoken; keep it under 600 characters",
}
_KINDS = {
    "string_type": "text",
    "list_type": "a list",
    "dict_type": "a block of 'key: value' lines",
    "model_type": "a block of 'key: value' lines",
    "model_attributes_type": "a block of 'key: value' lines",
}


def _message(problem: ErrorDetails, path: Path) -> str:
    kind, found = problem["type"], problem.get("input")
    if kind in _KINDS:
        return f"{_KINDS[kind]} is wanted here, found {_found(found)}"
    last = str(problem["loc"][-1])
    hint = did_you_mean(last, _keys(path)) if kind == "extra_forbidden" else ""
    expected = problem.get("ctx", {}).get("expected", "")
    sentence = _SENTENCES.get(kind, problem["msg"].replace("{", "{{").replace("}", "}}"))
    return sentence.format(last=last, found=found, hint=hint, expected=expected)


def _found(value: object) -> str:
    if isinstance(value, dict):
        return "a block of 'key: value' lines"
    return "a list" if isinstance(value, list) else repr(value)


def _keys(path: Path) -> list[str]:
    """The keys allowed in the part that ``path``'s last key stands in."""
    inside = path[:-1]
    holder: str | int = 0
    if len(inside) >= 2:
        holder = inside[-2] if isinstance(inside[-2], str) else 0
    shape: type[BaseModel] = _KEYS_AT.get(holder, ProcedureShape)
    return [info.alias or name for name, info in shape.model_fields.items()]

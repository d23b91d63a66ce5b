"""A tree to the values of its shape; every key and kind of value that does not fit is blamed."""

import re
from collections.abc import Mapping
from typing import TypeVar

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from voiceassist.procedure.faults import Fault, Severity, did_you_mean
from voiceassist.procedure.shape.step import is_tag
from voiceassist.procedure.text.mend import Place, copied, mend
from voiceassist.procedure.text.tree import Path, Tree, dotted

S = TypeVar("S", bound=BaseModel)
#: Key at the top (or keys joined by dots), or tag of a shape, to the shape of the parts there;
#: "" is the file itself.
Shapes = Mapping[str, type[BaseModel]]

_NAME = re.compile(r"[a-z][a-z0-9]*(-[a-z][a-z0-9]*)*")
_PART = re.compile(r"[a-z0-9]+")

_MOST_ROUNDS = 4  # mending one part can uncover a fault in the part around it

_SENTENCES = {
    "missing": "{last!r} is missing; add it",
    "extra_forbidden": "{last!r} is not a key here{hint}",
    "string_pattern_mismatch": "{found!r} is not a name; use small letters and digits, joined "
    "by hyphens, each part beginning with a letter{hint}",
    "literal_error": "{found!r} is not one of {expected}",
    "int_parsing": "{found!r} is not a whole number; write one, such as 4",
    "float_parsing": "{found!r} is not a number; write one, such as 2.5",
    "finite_number": "{found!r} is not a number; write one, such as 2.5",
    "bool_parsing": "{found!r} is neither true nor false; write one of them",
    "string_too_short": "this is empty; fill it in or leave the key out",
    "too_short": "this is empty; fill it in or leave the key out",
    "string_too_long": "this is too long to be spoken; keep it under 600 characters",
}
_KINDS = {
    "string_type": "text",
    "int_type": "a whole number",
    "float_type": "a number",
    "bool_type": "true or false",
    "list_type": "a list",
    "dict_type": "a block of 'key: value' lines",
    "model_type": "a block of 'key: value' lines",
    "model_attributes_type": "a block of 'key: value' lines",
    "one_or_more": "a name or a list of names",
    "answer": "a name, or a block with 'say:' and 'go:',",
    "state": "words, or a block with 'do:',",
    "point": "where it is in words, or a block with 'where:',",
    "each": "a torque, or a block of what is tightened with its torque",
    "words": "a list of words, or a block of each with ways to say it",
    "text_or_list": "text or a list",
    "setting": "a value, or a block with 'by:' and 'table:',",
}


def shaped(tree: Tree, faults: list[Fault], shape: type[S], shapes: Shapes) -> S | None:
    """The values in ``tree``, a mapping; None when they cannot even be mended.

    Bad parts are added to ``faults``, then mended, so that the rest is checked in the same run.

    Args:
        tree: the file.
        faults: takes what is wrong.
        shape: of the whole file.
        shapes: key at the top, or tag, to the shape of the parts there, to tell the known keys.
    """
    assert isinstance(tree.value, dict)
    value = copied(tree.value)
    mended: set[Place] = set()
    named = set(faults)
    for _ in range(_MOST_ROUNDS):
        try:
            return shape.model_validate(value)
        except ValidationError as error:
            problems = error.errors(include_url=False)
        places = [
            tuple(part for part in problem["loc"] if not is_tag(part)) for problem in problems
        ]
        for problem, place in zip(problems, places, strict=True):
            fault = _fault(problem, place, tree, {"": shape, **shapes})
            if place not in mended and fault not in named:
                faults.append(fault)
                named.add(fault)
        for problem, place in zip(problems, places, strict=True):
            mended |= mend(value, place, missing=problem["type"] == "missing")
    return None


def _fault(problem: ErrorDetails, place: Place, tree: Tree, shapes: Shapes) -> Fault:
    path = _path(place, tree)
    message = _message(problem, path, shapes)
    return Fault(Severity.ERROR, dotted(path), tree.line(path), message)


def _path(place: Place, tree: Tree) -> Path:
    """The part of ``place`` that is in the file."""
    path: Path = ()
    for part in place:
        if part == "[key]" or (*path, part) not in tree.lines:
            break
        path = (*path, part)
    return path


def _message(problem: ErrorDetails, path: Path, shapes: Shapes) -> str:
    kind, found = problem["type"], problem.get("input")
    if kind in _KINDS:
        return (
            f"{_KINDS[kind]} is wanted here, found {_found(found)}{_as_written(kind, found, path)}"
        )
    last = str(problem["loc"][-1])
    hint = _as_name(found) if kind == "string_pattern_mismatch" else ""
    if kind == "extra_forbidden":
        hint = did_you_mean(last, _keys(path, problem, shapes))
    expected = problem.get("ctx", {}).get("expected", "")
    sentence = _SENTENCES.get(kind, problem["msg"].replace("{", "{{").replace("}", "}}"))
    return sentence.format(last=last, found=found, hint=hint, expected=expected)


#: How a block is written, by the key it stands under.
_BLOCKS = {
    "needs": "{key: off}",
    "switch": "{key: run}, the condition and the state in which it is closed",
    "conditions": "{off: turn the key off, run: turn the key to run}",
    "proved-by": "{feed: STEP, earth: STEP}",
    "answers": "{yes: STEP, no: FINDING}",
    "if-forgotten": "{key: at most 0.5 V}",
    "bands": "{at most 1 V: STEP}",
    "before-changing": "{plug: {key: off}}",
}


def _as_written(kind: str, found: object, path: Path) -> str:
    """How what is wanted would be written."""
    if kind == "list_type" and isinstance(found, str):
        named = path and path[-1] in {"because", "before-fitting", "repair", "prove-with"}
        return (
            "; write the names of steps, as in [new-part, plug-in]"
            if named
            else f"; write [{found}]"
        )
    if _KINDS[kind] != _KINDS["dict_type"]:
        return ""
    block = next((_BLOCKS[str(key)] for key in reversed(path) if str(key) in _BLOCKS), "")
    return f"; write it like {block}" if block else ""


def _as_name(found: object) -> str:
    """The name that ``found`` makes with hyphens in it, when it makes one."""
    name = "-".join(_PART.findall(str(found).casefold()))
    return f", as in {name!r}" if _NAME.fullmatch(name) else ""


def _found(value: object) -> str:
    if isinstance(value, dict):
        return "a block of 'key: value' lines"
    return "a list" if isinstance(value, list) else repr(value)


def _keys(path: Path, problem: ErrorDetails, shapes: Shapes) -> list[str]:
    """The keys allowed in the part that ``path``'s last key stands in."""
    tags = [str(part) for part in problem["loc"] if is_tag(part) and part in shapes]
    holders = (".".join(map(str, path[:end])) for end in range(len(path) - 1, 0, -1))
    holder = tags[-1] if tags else next((name for name in holders if name in shapes), "")
    shape = shapes.get(holder, shapes[""])
    return [info.alias or name for name, info in shape.model_fields.items()]

"""What pages tell of a kept procedure or meter: a quick look into files that were checked before.

The reader that checks them takes longer than a page does; a test holds that both say the same.
Nothing here raises for anything that a file holds.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from voiceassist.errors import MeasureError
from voiceassist.measure.expression import Expression
from voiceassist.procedure.model import Kind
from voiceassist.procedure.text.for_each import written_out
from voiceassist.procedure.text.tree import Value, read_tree

#: Name of a used procedure to its text; None when it is not there.
Library = Callable[[str], str | None]
CUSTOMER, SHOP = "customer", "shop"
_DEEPEST = 8


@dataclass(frozen=True, slots=True)
class FactWords:
    """A fact of a procedure in words.

    Parts:
        name: as limits call it.
        say: what it is.
        value: given by the procedure; empty when the technician is asked for it.
        shown_to: "customer" or "shop"; empty where the shop's settings decide.
    """

    name: str
    say: str
    value: str = ""
    shown_to: str = ""


@dataclass(frozen=True, slots=True)
class Words:
    """What a procedure tells pages.

    Parts:
        steps: step to what is done there.
        facts: by name.
        takes: step to the time, access, tools, parts and torque it tells, in a line.
        parts: step to what is fitted or used up there.
    """

    steps: Mapping[str, str] = field(default_factory=dict)
    facts: Mapping[str, FactWords] = field(default_factory=dict)
    takes: Mapping[str, str] = field(default_factory=dict)
    parts: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


def procedure_words(text: str, library: Library) -> Words:
    """The words of the procedure in ``text``, with those of the procedures that it puts in."""
    steps, facts = _read(text, library, _DEEPEST)
    asked = {fact.name: fact.say for fact in facts.values() if not fact.value}
    return Words(
        {**asked, **{name: _about(step.kind, step.words) for name, step in steps.items()}},
        facts,
        {name: step.takes for name, step in steps.items() if step.takes},
        {name: step.parts for name, step in steps.items() if step.parts},
    )


def meter_words(text: str) -> tuple[str, str, str]:
    """Title, serial number and day of calibration in a meter file; empty where it has none."""
    known = _dict(read_tree(text).value)
    return _text(known, "title"), _text(known, "serial"), _text(known, "calibrated")


@dataclass(frozen=True, slots=True)
class _Seen:
    """A step as it is written."""

    kind: Kind | None
    words: str
    takes: str
    parts: tuple[str, ...]


_Steps = dict[str, _Seen]


def _read(text: str, library: Library, deepest: int) -> tuple[_Steps, dict[str, FactWords]]:
    tree = _dict(written_out(read_tree(text)).value)
    steps: _Steps = {}
    facts = {fact.name: fact for fact in _facts(_dict(tree.get("facts")))}
    for name, value in [*_dict(tree.get("steps")).items(), *_dict(tree.get("repairs")).items()]:
        body = _dict(value)
        used = library(_text(body, "use")) if "use" in body and deepest else None
        if used is None:
            steps[name] = _seen(body)
        else:
            its, more = _read(used, library, deepest - 1)
            steps |= _put_in(name, its)
            facts = {**more, **facts}
    return steps, facts


def _seen(body: Mapping[str, Value]) -> _Seen:
    kind = next((kind for kind in Kind if _text(body, kind)), None)
    words = _text(body, kind) if kind else ""
    return _Seen(kind, words, "; ".join(_takes(body)), _listed(body, "parts"))


def _takes(body: Mapping[str, Value]) -> Iterator[str]:
    """What a step takes, piece by piece."""
    needs = {key: ", ".join(_listed(body, key)) for key in ("opens", "tools", "parts", "torque")}
    each = _dict(body.get("torque"))
    needs["torque"] = ", ".join(f"{what} {_text(each, what)}" for what in each) or needs["torque"]
    if effort := _text(body, "effort"):
        yield effort
    if needs["opens"]:
        yield f"opens {needs['opens']}"
    yield from (f"{key}: {needs[key]}" for key in ("tools", "parts", "torque") if needs[key])


def _listed(body: Mapping[str, Value], key: str) -> tuple[str, ...]:
    """One text or a list of texts."""
    value = body.get(key)
    listed = value if isinstance(value, list) else [value]
    return tuple(one for one in listed if isinstance(one, str) and one)


def _about(kind: Kind | None, words: str) -> str:
    """What a step is about; the text of a lamp step alone does not tell of the lamp."""
    return f"test lamp {words}" if kind is Kind.LAMP else words


def _put_in(name: str, its: _Steps) -> _Steps:
    """Steps called after the step ``name``, and formulas that call them so."""
    new = {n: f"{name}-{n}" for n in its}
    return {
        new[n]: replace(step, words=_renamed(step.words, new))
        if step.kind is Kind.COMPUTE
        else step
        for n, step in its.items()
    }


def _renamed(formula: str, new: Mapping[str, str]) -> str:
    try:
        return Expression.parse(formula).renamed(new).text
    except MeasureError:
        return formula


def _facts(tree: Mapping[str, Value]) -> Iterator[FactWords]:
    for name, value in tree.items():
        body = _dict(value)
        shown_to = _text(body, "shown-to")
        known = shown_to if shown_to in {CUSTOMER, SHOP} else ""
        yield FactWords(name, _text(body, "say") or name, _text(body, "value"), known)


def _dict(value: Value | None) -> Mapping[str, Value]:
    return value if isinstance(value, dict) else {}


def _text(body: Mapping[str, Value], key: str) -> str:
    value = body.get(key)
    return value if isinstance(value, str) else ""

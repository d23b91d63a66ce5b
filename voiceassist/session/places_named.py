"""Test points and parts of the circuit that are named in a question, beside those of the step."""

from collections.abc import Iterable, Mapping

from voiceassist.circuit.parts import Part
from voiceassist.procedure.model import Point, Procedure, Step
from voiceassist.session.complaint import words_of

#: What the name of a test point may end with, and need not in a question.
_KINDS = frozenset({"pin", "wire", "feed", "post", "stud"})


def others_named(procedure: Procedure, step: Step, text: str) -> tuple[Point, ...]:
    """The test points that ``text`` names, where none of those is of ``step``.

    By their whole names before those that are named without the last word: "the left turn".
    """
    points = {point.name: point for point in _points(procedure)}
    named = _longest(text, {name: words_of(name) for name in points})
    named = named or _longest(text, {name: words_of(name) - _KINDS for name in points})
    own = {point.name for point in step.points}
    return () if own & set(named) else tuple(points[name] for name in named)


def part_named(procedure: Procedure, text: str) -> Part | None:
    """The one part of the circuit that ``text`` names in full, with more than a test point has."""
    parts = procedure.circuit.parts if procedure.circuit is not None else {}
    named = _longest(text, {name: words_of(name) for name in parts})
    if len(named) != 1 or _longest(text, {p.name: words_of(p.name) for p in _points(procedure)}):
        return None
    words = words_of(named[0]) - _KINDS
    alike = any(words <= words_of(point.name) for point in _points(procedure))
    return None if alike else parts[named[0]]


def points_behind(procedure: Procedure, thing: str) -> tuple[Point, ...]:
    """The test points of which it is told that they are at ``thing``: "the joint box"."""
    return tuple(p for p in _points(procedure) if f" {thing} " in f" {p.where} ") if thing else ()


def _longest(text: str, names: Mapping[str, frozenset[str]]) -> tuple[str, ...]:
    """Those of which all words are said, and more than of any other."""
    said = words_of(text)
    found = {name: len(words) for name, words in names.items() if words and words <= said}
    most = max(found.values(), default=0)
    return tuple(name for name, many in found.items() if many == most)


def _points(procedure: Procedure) -> Iterable[Point]:
    steps = (*procedure.steps.values(), *procedure.repairs.values())
    return dict.fromkeys(point for step in steps for point in step.points)

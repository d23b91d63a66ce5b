"""Faults of a circuit as written in a file."""

from collections.abc import Mapping
from functools import partial
from types import MappingProxyType

from voiceassist.circuit.comes import Comes
from voiceassist.circuit.drivers import Module
from voiceassist.circuit.faults import CircuitFault, FaultKind, with_fault
from voiceassist.circuit.model import Circuit
from voiceassist.circuit.parts import Part, Relay, Switch
from voiceassist.circuit.reading import CircuitReader, Path
from voiceassist.circuit.shape import ComesShape, FaultShape

_KINDS = tuple(kind.value for kind in FaultKind)
_LIKELY = 0.01
#: Main field of a part to the quantity it is of.
_QUANTITIES: Mapping[str, str] = MappingProxyType(
    {
        "volt": "voltage",
        "ohm": "resistance",
        "coil_ohm": "resistance",
        "watt": "power",
        "ampere": "current",
    }
)
_SIZED = {FaultKind.HIGH, FaultKind.EARTH, FaultKind.SUPPLY, FaultKind.SHORTED}
_KEYS = MappingProxyType({n: info.alias or n for n, info in FaultShape.model_fields.items()})
_ALWAYS = {"found-as", "comes", "likely", "answers"}


def faults_of(
    shapes: Mapping[str, FaultShape], circuit: Circuit, reader: CircuitReader
) -> dict[str, CircuitFault]:
    """The faults in ``shapes``, by name; each is tried on ``circuit``."""
    found = {}
    for name, shape in shapes.items():
        fault = fault_at(("faults", name), shape, circuit, reader)
        if fault is not None:
            found[name] = fault
    return found


def fault_at(
    path: Path, shape: FaultShape, circuit: Circuit, reader: CircuitReader
) -> CircuitFault | None:
    """The fault at ``path``; None when it cannot be used."""
    kind = _kind(path, shape, reader)
    if kind is None:
        return None
    target = getattr(shape, kind.value.replace("-", "_"))
    place = (*path, kind.value)
    if not _check_target(place, kind, target, circuit, reader):
        return None
    part = circuit.parts.get(target)
    _check_keys(path, kind, part, shape, reader)
    named = [shape.found_as] if isinstance(shape.found_as, str) else shape.found_as
    for finding in named:
        reader.knows((*path, "found-as"), "finding", finding, reader.known.findings)
    check_answers((*path, "answers"), shape.answers, reader)
    make = partial(
        CircuitFault,
        name=str(path[-1]),
        kind=kind,
        target=target,
        terminal=shape.terminal or "",
        size=_size(path, shape, kind, part, reader),
        stuck_closed=shape.state == "closed",
        pins=_pins(path, shape, reader),
        found_as=tuple(named),
        likely=_likely(path, shape, reader),
        comes=_comes((*path, "comes"), shape.comes, reader),
        answers=shape.answers,
    )
    fault = reader.attempt(path, make)
    tried = fault and reader.attempt(place, partial(with_fault, circuit, fault))
    return fault if tried else None


def check_answers(path: Path, answers: Mapping[str, str], reader: CircuitReader) -> None:
    """Blame answers of steps that are not there, or that cannot be given."""
    for step, answer in answers.items():
        if reader.knows((*path, step), "step", step, list(reader.known.steps)):
            choices = reader.known.steps[step]
            if choices:
                reader.knows((*path, step), f"answer to {step!r}", answer, choices)


def _kind(path: Path, shape: FaultShape, reader: CircuitReader) -> FaultKind | None:
    given = [_KEYS[field] for field in shape.model_fields_set]
    kinds = [kind for kind in _KINDS if kind in given]
    if len(kinds) == 1:
        return FaultKind(kinds[0])
    if kinds or not reader.blame.written(path, *_KINDS):
        found = " and ".join(kinds) or "none of them"
        reader.blame.error(path, f"a fault has one of {', '.join(_KINDS)}; found {found}")
    return None


def _check_target(
    place: Path, kind: FaultKind, target: str, circuit: Circuit, reader: CircuitReader
) -> bool:
    parts, plugs = list(circuit.parts), list(circuit.plugs)
    if kind is FaultKind.MIXED:
        return reader.knows(place, "plug", target, plugs)
    if kind in {FaultKind.EARTH, FaultKind.SUPPLY}:
        return reader.knows(place, "node or part", target, [*circuit.nodes, *parts])
    if target not in parts and reader.blame.written(("circuit", "parts"), target):
        return False  # blamed where it stands
    return reader.knows(place, "part", target, parts)


def _check_keys(
    path: Path, kind: FaultKind, part: Part | None, shape: FaultShape, reader: CircuitReader
) -> None:
    """Blame keys without effect and missing ones."""
    takes = {kind.value, *_ALWAYS}
    needs: set[str] = set()
    if kind in {FaultKind.OPEN, FaultKind.HIGH}:
        takes |= {"terminal"}
    if kind in _SIZED or kind is FaultKind.WEAK:
        takes |= {"value"}
    if kind is FaultKind.WRONG or (kind is FaultKind.STUCK and isinstance(part, Module)):
        needs = {"value"}
    if kind is FaultKind.STUCK and isinstance(part, Switch | Relay):
        needs = {"state"}
    if kind is FaultKind.MIXED:
        needs = {"pins"}
    given = {_KEYS[field] for field in shape.model_fields_set}
    for key in sorted(given - takes - needs):
        reader.blame.error((*path, key), f"{key!r} has no effect here; take it out")
    for key in sorted(needs):
        if not reader.blame.written(path, key):
            reader.blame.error(path, f"this fault needs {key!r}; add it")


def _size(
    path: Path, shape: FaultShape, kind: FaultKind, part: Part | None, reader: CircuitReader
) -> tuple[float, float] | None:
    if shape.value is None:
        return None
    quantity = {FaultKind.WEAK: "voltage", FaultKind.STUCK: "ratio"}.get(kind, "resistance")
    if kind is FaultKind.WRONG and part is not None:
        quantity = _QUANTITIES.get(part.MAIN, "resistance")
    place = (*path, "value")
    ends = shape.value.split(" to ")
    numbers = [reader.number(place, text, quantity) for text in ends[:2]]
    least, most = numbers[0], numbers[-1]
    return None if least is None or most is None else (least, most)


def _pins(path: Path, shape: FaultShape, reader: CircuitReader) -> tuple[str, str]:
    if shape.pins is None:
        return ("", "")
    if len(shape.pins) != 2:
        reader.blame.error((*path, "pins"), "two pins change places; name two")
        return ("", "")
    return (shape.pins[0], shape.pins[1])


def _comes(path: Path, shape: ComesShape | None, reader: CircuitReader) -> Comes | None:
    if shape is None:
        return None
    if not shape.when and shape.chance is None:
        reader.blame.error(path, "tell 'when:' it is there, or its 'chance:' a second")
        return None
    when = reader.closed_when((*path, "when"), shape.when)
    chance = reader.number((*path, "chance"), shape.chance, "ratio")
    return reader.attempt(path, lambda: Comes(when, 1.0 if chance is None else chance))


def _likely(path: Path, shape: FaultShape, reader: CircuitReader) -> float:
    found = reader.number((*path, "likely"), shape.likely, "ratio")
    return _LIKELY if found is None else found

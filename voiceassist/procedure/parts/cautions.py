"""Cautions: those that every procedure can name, a file's own, and those that add themselves."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import cache
from importlib.resources import files

from pydantic import TypeAdapter

from voiceassist.procedure.model import Caution, Kind, Signal, Step
from voiceassist.procedure.shape.procedure import CautionShape, ProcedureShape
from voiceassist.procedure.text.fault_collector import FaultCollector
from voiceassist.procedure.text.tree import read_tree

FUSE, OHMMETER = "fuse-like-for-like", "no-ohmmeter-live"
_GRAVITY = list(Signal)


@cache
def built_in() -> Mapping[str, Caution]:
    """The cautions that come with the program, by name."""
    text = (
        files("voiceassist.procedure.parts").joinpath("cautions.yaml").read_text(encoding="utf-8")
    )
    shapes = TypeAdapter(dict[str, CautionShape]).validate_python(read_tree(text).value)
    return {name: _caution(name, shape) for name, shape in shapes.items()}


def cautions_of(shape: ProcedureShape, blame: FaultCollector) -> dict[str, Caution]:
    """A file's own cautions and the built-in ones; its own come first.

    One that takes the name of a built-in caution must be at least as grave.
    """
    own = {name: _caution(name, caution) for name, caution in shape.cautions.items()}
    for name, caution in own.items():
        known = built_in().get(name)
        if known and _GRAVITY.index(caution.signal) > _GRAVITY.index(known.signal):
            message = f"the built-in caution {name!r} is a {known.signal}; do not make less of it"
            blame.error(("cautions", name, "signal"), message)
    for name, written in shape.cautions.items():
        for condition, state in written.again_when.items():
            if state not in shape.conditions.get(condition, {}):
                message = f"no condition of this procedure is {condition!r} with a state {state!r}"
                blame.error(("cautions", name, "again-when", condition), message)
    return {**own, **{name: c for name, c in built_in().items() if name not in own}}


def by_gravity(cautions: Iterable[Caution]) -> tuple[Caution, ...]:
    """The gravest first."""
    return tuple(sorted(cautions, key=lambda caution: _GRAVITY.index(caution.signal)))


def with_automatic(step: Step, known: Mapping[str, Caution]) -> Step:
    """The step with the cautions that its fuse or its ohmmeter calls for."""
    names = [FUSE] if step.fuse is not None else []
    if step.kind is Kind.MEASURE and step.unit is not None and step.unit.quantity == "resistance":
        names.append(OHMMETER)
    there = {caution.name for caution in step.cautions}
    added = [known[name] for name in names if name not in there]
    return replace(step, cautions=by_gravity([*step.cautions, *added])) if added else step


def _caution(name: str, shape: CautionShape) -> Caution:
    signal = Signal(shape.signal)
    return Caution(
        name,
        signal,
        shape.hazard,
        shape.avoid,
        only_authorised=shape.only_authorised,
        short=shape.short or "",
        again_when=tuple(shape.again_when.items()),
    )

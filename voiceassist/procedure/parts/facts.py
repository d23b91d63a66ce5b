"""Values of the job: as written, and the steps that ask for those the file does not give."""

from collections.abc import Mapping
from functools import partial

from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import QUANTITIES, unit
from voiceassist.procedure.model import PASS, Fact, Kind, Source, Step
from voiceassist.procedure.parts.source import source_of
from voiceassist.procedure.shape.procedure import FactShape, ProcedureShape
from voiceassist.procedure.text.fault_collector import FaultCollector
from voiceassist.procedure.text.tree import Path


def facts_of(shape: ProcedureShape, default: Source, blame: FaultCollector) -> dict[str, Fact]:
    """The facts of a file, by name; those that cannot be used are blamed and left out."""
    values = {name: body for name, body in shape.facts.items() if body.words is None}
    found = {name: _fact(name, body, default, blame) for name, body in values.items()}
    return {name: fact for name, fact in found.items() if fact is not None}


def _fact(name: str, body: FactShape, default: Source, blame: FaultCollector) -> Fact | None:
    path: Path = ("facts", name)
    if body.unit is None:
        if not blame.written(path, "unit"):
            blame.error(path, "a fact needs its 'unit:', or the 'words:' it can be")
        return None
    its_unit = blame.attempt((*path, "unit"), partial(unit, body.unit))
    source = source_of((*path, "source"), body.source, blame, default)
    if its_unit is None:
        return None
    value = None
    if body.value is not None:
        value = blame.attempt((*path, "value"), partial(Quantity.parse, body.value))
        if value is not None:
            value = blame.attempt((*path, "value"), partial(value.to, its_unit)) and value
    elif its_unit.quantity not in QUANTITIES:
        blame.error(path, f"a fact in {its_unit} cannot be spoken; give it a 'value:'")
    return Fact(name, body.say, its_unit, value, source)


def asking_steps(facts: Mapping[str, Fact], first: str) -> dict[str, Step]:
    """A step for each fact without a value, one after another and then on to ``first``."""
    asked = [fact for fact in facts.values() if fact.value is None]
    following = [*(fact.name for fact in asked[1:]), first]
    return {fact.name: _asking(fact, go) for fact, go in zip(asked, following, strict=False)}


def _asking(fact: Fact, following: str) -> Step:
    return Step(
        name=fact.name,
        kind=Kind.MEASURE,
        text=fact.say,
        unit=fact.unit,
        source=fact.source,
        routes={PASS: following},
        fact=fact.name,
    )

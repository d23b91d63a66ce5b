"""Do the units of every limit and formula go together, and is each name in it a value?"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import partial

from voiceassist.measure.expression import Expression, LimitExpression
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import Unit
from voiceassist.procedure.faults import did_you_mean
from voiceassist.procedure.model import Fact, Kind, Step, written
from voiceassist.procedure.parts.scope import Scope
from voiceassist.procedure.text.tree import Path

#: Wire is sold in some sizes only; this is one of them.
_AREA = "1.5 mm²"
#: Trial values differ from each other in no round number, so that no difference is zero.
_APART = Decimal("0.0137")


@dataclass(frozen=True, slots=True)
class _Rule:
    """A limit, or one end of a sweep, and where it stands below its step."""

    place: tuple[str, ...]
    limit: LimitExpression


def with_units(
    steps: Mapping[str, Step], facts: Mapping[str, Fact], places: Mapping[str, Path], scope: Scope
) -> dict[str, Step]:
    """The steps with the unit of each; limits whose names or units do not fit are blamed.

    Limits and formulas are tried with a value for each reading that they need, as soon as the
    unit of all these is known.

    Args:
        steps: all steps and repair steps, by name.
        facts: by name.
        places: where each step stands in the file; steps of used files are not among them.
        scope: takes the blame.
    """
    check = _Check(steps, facts, places, scope)
    check.run()
    return check.steps


class _Check:
    def __init__(
        self,
        steps: Mapping[str, Step],
        facts: Mapping[str, Fact],
        places: Mapping[str, Path],
        scope: Scope,
    ) -> None:
        self.steps = dict(steps)
        self._places = places
        self._scope = scope
        self._blame = scope.blame
        self._trial: dict[str, Quantity] = {}
        for fact in facts.values():
            self._know(fact.name, fact.unit, fact.value)
        for step in steps.values():
            self._know_early(step)

    def run(self) -> None:
        waiting = {name: _names(self.steps[name]) for name in self._places if name in self.steps}
        for name in [name for name, names in waiting.items() if name in names]:
            self._blame_names(self.steps[name])
            del waiting[name]
        while ready := [name for name, names in waiting.items() if names <= self._trial.keys()]:
            for name in ready:
                del waiting[name]
                self._settle(self.steps[name])
        for name in waiting:
            self._blame_names(self.steps[name])

    def _know_early(self, step: Step) -> None:
        """What has a unit whatever its limit says."""
        if step.unit is not None and step.kind is not Kind.SWEEP:
            self._know(step.name, step.unit)

    def _know(self, name: str, unit: Unit, value: Quantity | None = None) -> None:
        """Have a value for ``name`` to try formulas with."""
        number = 1 + _APART * (len(self._trial) + 1)
        trial = Quantity.parse(_AREA) if unit.quantity == "area" else Quantity(number, unit)
        self._trial.setdefault(name, value or trial)

    def _settle(self, step: Step) -> None:
        """Find the step's unit, and hold all its limits to it."""
        path = self._places[step.name]
        unit = step.unit
        if step.formula is not None:
            made = self._computed((*path, "compute"), step.formula)
            unit = made.unit if made else None
        for rule in _rules(step):
            for end in self._ends((*path, *rule.place), rule.limit):
                unit = unit or end.unit
                self._hold((*path, *rule.place), end, unit)
        for place, value in _plain_values(step):
            self._hold((*path, place), value, unit)
        if step.table is not None and not step.table.conditional:
            self._hold_rows(path, step)
        if step.kind is Kind.SWEEP and unit is None:
            self._blame.error(path, "a sweep needs a 'unit: V', or a limit of its start or end")
        if unit is not None:
            self.steps[step.name] = replace(step, unit=unit)
            if step.kind is not Kind.SWEEP:
                self._know(step.name, unit)

    def _ends(self, path: Path, limit: LimitExpression) -> list[Quantity]:
        """The ends of ``limit`` with trial values; their order is known only without names."""
        ends = [self._computed(path, end) for end in (limit.low, limit.high) if end]
        known = [end for end in ends if end is not None]
        if limit.names or self._blame.attempt(path, partial(limit.fill, {})) is not None:
            return known
        return known[:1]

    def _computed(self, path: Path, formula: Expression) -> Quantity | None:
        return self._blame.attempt(path, partial(formula.compute, self._trial))

    def _hold(self, path: Path, value: Quantity, unit: Unit | None) -> None:
        if unit is not None and value.unit.quantity != unit.quantity:
            message = f"this is a {value.unit.quantity}, and the step reads a {unit.quantity}"
            self._blame.error(path, f"{message}; use the same kind of unit")

    def _hold_rows(self, path: Path, step: Step) -> None:
        """The keys of a table of values are of the kind it goes by."""
        assert step.table is not None
        by = self._trial[step.table.by]
        for row in step.table.rows:
            if row.when is not None:
                place = (*path, "accept", "table", row.key)
                limit = row.when.fill({})
                ends = [end for end in (limit.low, limit.high) if end is not None]
                if any(end.unit.quantity != by.unit.quantity for end in ends):
                    message = f"{step.table.by!r} is a {by.unit.quantity}"
                    self._blame.error(place, f"{message}; give rows in its kind of unit")

    def _blame_names(self, step: Step) -> None:
        path = self._places[step.name]
        for place, names in _wanted(step):
            known = self._trial.keys() - {step.name}
            for name in sorted(names - known):
                if not self._scope.may_be_broken(name) and not self._echoes(step, name):
                    self._blame.error((*path, *place), self._why_not(step, name, place[0]))

    def _echoes(self, step: Step, name: str) -> bool:
        """True when ``name`` lacks its unit for a fault that stands elsewhere."""
        step_of = self.steps.get(name)
        return step_of is not None and is_value(step_of) and not self._needs(name, step.name)

    def _needs(self, name: str, wanted: str) -> bool:
        """True when the limit of ``name`` goes by ``wanted``, or by what goes by it."""
        seen: set[str] = set()
        ahead = [name]
        while ahead:
            here = ahead.pop()
            if here == wanted:
                return True
            if here in self.steps and here not in seen:
                ahead += _names(self.steps[here])
            seen.add(here)
        return False

    def _why_not(self, step: Step, name: str, place: str) -> str:
        what = "formula" if place == "compute" else "limit"
        values = [s.name for s in self.steps.values() if is_value(s)]
        if name == step.name:
            return f"the {what} needs the step's own reading, {name!r}; use an earlier one"
        if name in values:
            needed = f"{name!r} in the {what} needs this step's own reading in its turn"
            return f"{needed}; name a step that is read before"
        if name in self.steps:
            return f"{name!r} in the {what} is a step that gives no value; use one that does"
        hint = did_you_mean(name, list(dict.fromkeys([*values, *self._trial])))
        return f"{name!r} in the {what} is not measured by any step{hint}"


def is_value(step: Step) -> bool:
    """True when limits and formulas can use its reading by its name."""
    return step.kind in {Kind.MEASURE, Kind.COUNT, Kind.COMPUTE}


def _rules(step: Step) -> Iterator[_Rule]:
    if step.limit is not None:
        yield _Rule(("accept",), step.limit)
    for row in step.table.rows if step.table else ():
        yield _Rule(("accept", "table", written(row.key)), row.limit)
    for place, limit in _sweep_ends(step):
        yield _Rule(("accept", place), limit)
    for text, limit in step.bands.items():
        yield _Rule(("bands", text), limit)
    for lookalike in step.lookalikes:
        yield _Rule(("if-forgotten", lookalike.need.condition), lookalike.limit)


def _sweep_ends(step: Step) -> Iterator[tuple[str, LimitExpression]]:
    if step.sweep is not None and step.sweep.start is not None:
        yield "start", step.sweep.start
    if step.sweep is not None and step.sweep.end is not None:
        yield "end", step.sweep.end


def _plain_values(step: Step) -> Iterator[tuple[str, Quantity]]:
    """Values beside the limit that must be of its kind."""
    if step.plausible is not None:
        yield "plausible", step.plausible[0]
    if step.steady is not None:
        yield "steady", step.steady
    if step.sweep is not None:
        steps = (step.sweep.largest_step, step.sweep.smallest_step)
        yield from (("accept", size) for size in steps if size is not None)


def _wanted(step: Step) -> Iterator[tuple[tuple[str, ...], frozenset[str]]]:
    """Where names stand below a step, and which."""
    if step.formula is not None:
        yield ("compute",), step.formula.names
    if step.table is not None and not step.table.conditional:
        yield ("accept", "by"), frozenset({step.table.by})
    for rule in _rules(step):
        yield rule.place, rule.limit.names


def _names(step: Step) -> frozenset[str]:
    return frozenset().union(*(names for _, names in _wanted(step)))

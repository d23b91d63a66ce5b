"""Numbers that sound alike and lie either side of a limit: thirteen and thirty, and their like.

They are mistaken for each other by people and recognisers alike; the session asks for single
digits at a step where that would change what comes next.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

from voiceassist.errors import MeasureError
from voiceassist.language.meanings import Reading
from voiceassist.language.sounds_alike import TEENS
from voiceassist.measure.expression import LimitExpression
from voiceassist.measure.limit import Limit
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import Unit, a_thousand_apart, units_of
from voiceassist.procedure.model import FAIL, HIGH, LOW, PASS, Kind, Procedure, Step

_HUNDRED = Decimal(100)
_THOUSAND = 3
#: Where no step tells what is plausible, a supply is not taken to read more than this times its
#: limit, from a limit of so many volts on. Common practice, no source.
_MOST_OF_LIMIT, _SUPPLY_VOLT = Decimal(2), Decimal(9)
_DEEPEST = 8


@dataclass(frozen=True, slots=True)
class Span:
    """A limit with usual values put in, and the readings that can be at all.

    Parts:
        limit: its ends.
        plausible: lowest and highest; None when not told.
    """

    limit: Limit
    plausible: tuple[Quantity, Quantity] | None

    @property
    def ends(self) -> tuple[Quantity, ...]:
        """The ends that there are."""
        return tuple(end for end in (self.limit.low, self.limit.high) if end is not None)

    def hundreds(self, unit: Unit) -> Iterator[Decimal]:
        """0, and the whole hundreds of ``unit`` just below an end; a meter shows 999 at most."""
        sizes = (abs(end.to(unit).value) for end in self.ends)
        found = {size // _HUNDRED * _HUNDRED for size in sizes if size < _HUNDRED * 10}
        yield from sorted({Decimal(0), *found})

    def teens(self, unit: Unit) -> Iterator[tuple[Decimal, Decimal]]:
        """Each teen and the tens it is taken for, in ``unit``, that have an end between them."""
        ends = [end.to(unit).value for end in self.ends]
        for base in self.hundreds(unit):
            for teen, ten in TEENS:
                if any(base + teen <= end <= base + ten for end in ends):
                    yield base + teen, base + ten

    def can_be(self, value: Quantity) -> bool:
        """False for a reading that is questioned anyhow, or that no circuit gives."""
        if self.plausible is not None:
            return self.plausible[0] <= value <= self.plausible[1]
        most = max(abs(end.in_base) for end in self.ends)
        if value.unit.quantity != "voltage" or most < _SUPPLY_VOLT:
            return True
        return value.in_base <= most * _MOST_OF_LIMIT


def with_alike(procedure: Procedure) -> Procedure:
    """``procedure`` with the steps marked whose readings may be mistaken over their limit."""
    steps = {
        name: replace(step, alike=True) if _is_alike(procedure, step) else step
        for name, step in procedure.steps.items()
    }
    return replace(procedure, steps=steps)


def _is_alike(procedure: Procedure, step: Step) -> bool:
    return any(
        differ(step, span, Reading(teen, unit), Reading(ten, unit))
        for span in spans(procedure, step)
        for unit in units_spoken(step, span)
        for teen, ten in span.teens(unit)
    )


def spans(procedure: Procedure, step: Step) -> Iterator[Span]:
    """The limits that ``step`` can have, with the usual values of earlier readings put in.

    A limit that cannot be worked out so is left out.
    """
    if step.kind not in {Kind.MEASURE, Kind.COUNT}:
        return
    rules = [step.limit] if step.limit is not None else []
    rules += [row.limit for row in step.table.rows] if step.table is not None else []
    for rule in rules:
        limit = _filled(procedure, rule, _DEEPEST)
        if limit is not None:
            yield Span(limit, step.plausible)


def units_spoken(step: Step, span: Span) -> tuple[Unit, ...]:
    """The step's own unit, and the smaller one that a meter shows near an end below 1."""
    if step.unit is None:
        return ()
    if all(abs(end.to(step.unit).value) >= 1 for end in span.ends):
        return (step.unit,)
    smaller = (
        unit
        for unit in units_of(step.unit.quantity)
        if a_thousand_apart(unit, step.unit) and unit.factor < step.unit.factor
    )
    return (step.unit, *smaller)


def differ(step: Step, span: Span, one: Reading, other: Reading) -> bool:
    """True when two readings that can both be lead to different places."""
    targets = (_branch(step, span, one), _branch(step, span, other))
    return None not in targets and targets[0] != targets[1]


def _branch(step: Step, span: Span, reading: Reading) -> str | None:
    """Where ``reading`` leads; None for one that cannot be."""
    assert reading.unit is not None
    value = Quantity(reading.value, reading.unit)
    if not span.can_be(value):
        return None
    if span.limit.holds(value):
        return step.routes.get(PASS, "")
    side = LOW if span.limit.low is not None and value < span.limit.low else HIGH
    return step.routes.get(side) or step.routes.get(FAIL, "")


def _filled(procedure: Procedure, rule: LimitExpression, depth: int) -> Limit | None:
    """``rule`` with usual values: those of facts, and the middle of what earlier steps accept.

    Of a table the first row counts.
    """
    try:
        return rule.fill({name: _usual(procedure, name, depth - 1) for name in rule.names})
    except MeasureError:
        return None


def _usual(procedure: Procedure, name: str, depth: int) -> Quantity:
    """A usual value of a fact or step.

    Raises:
        MeasureError: there is none.
    """
    fact = procedure.facts.get(name)
    if fact is not None and fact.value is not None:
        return fact.value
    step = procedure.steps.get(name)
    if step is None or depth <= 0:
        raise MeasureError(f"no usual value of {name!r} is known")
    if step.formula is not None:
        return step.formula.compute(
            {part: _usual(procedure, part, depth - 1) for part in step.formula.names}
        )
    rule = step.table.rows[0].limit if step.table is not None else step.limit
    limit = _filled(procedure, rule, depth) if rule is not None else None
    if limit is None:
        raise MeasureError(f"no usual value of {name!r} is known")
    if limit.low is not None and limit.high is not None:
        return (limit.low + limit.high).times(Decimal("0.5"))
    return limit.low or limit.high  # type: ignore[return-value]  # a limit has one end

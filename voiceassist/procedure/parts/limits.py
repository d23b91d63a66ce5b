"""Limits, tables and sweeps of a step, as written under ``accept`` and beside it."""

from functools import partial

from voiceassist.measure.expression import LimitExpression
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.sweep import SweepLimit
from voiceassist.measure.table import LimitTable, Row
from voiceassist.procedure.faults import did_you_mean
from voiceassist.procedure.model import ANSWERS, Lookalike, Need, written
from voiceassist.procedure.parts.scope import Scope
from voiceassist.procedure.shape.step import StepShape, SweepShape, TableShape
from voiceassist.procedure.text.fault_collector import FaultCollector
from voiceassist.procedure.text.tree import Path

#: Readings a sweep takes at least, when it does not tell.
_LEAST = 3


def limit_at(path: Path, text: str | None, blame: FaultCollector) -> LimitExpression | None:
    """The limit written as ``text``; None when there is none or it cannot be read."""
    if text is None:
        return None
    if text not in blame.limits:
        limit = blame.attempt(path, partial(LimitExpression.parse, text))
        if limit is None:
            return None
        blame.limits[text] = limit
    return blame.limits[text]


def quantity_at(
    path: Path, text: str | None, blame: FaultCollector, kind: str = ""
) -> Quantity | None:
    """The value above zero written as ``text``, of the quantity ``kind`` when one is named."""
    if text is None:
        return None
    value = blame.attempt(path, partial(Quantity.parse, text, kind))
    if value is None:
        return None
    if value.value <= 0:
        blame.error(path, f"{value} is not above zero; give a greater value")
        return None
    if kind and value.unit.quantity != kind:
        blame.error(path, f"{value} is a {value.unit.quantity}; give a {kind}")
        return None
    return value


def table_at(path: Path, shape: TableShape, scope: Scope) -> LimitTable | None:
    """The table of limits in ``shape``; None when it cannot be used."""
    if shape.by in scope.states and shape.by in scope.steps:
        scope.blame.error((*path, "by"), f"{shape.by!r} is a step and a condition; rename one")
    if shape.by in scope.states:
        _check_words(path, shape, list(scope.states[shape.by]), "state", scope.blame)
        rows = [_word_row(path, key, key, text, scope.blame) for key, text in shape.table.items()]
    elif shape.by in scope.answers:
        known = [written(name) for name in scope.answers[shape.by]]
        _check_words(path, shape, known, "answer", scope.blame)
        rows = [
            _word_row(path, key, ANSWERS.get(key, key), text, scope.blame)
            for key, text in shape.table.items()
        ]
    else:
        known = [*scope.states, *scope.answers, *scope.values]
        if not scope.check_known((*path, "by"), "condition, question or value", shape.by, known):
            return None
        rows = [_value_row(path, key, text, scope.blame) for key, text in shape.table.items()]
    found = tuple(row for row in rows if row is not None)
    if len(found) < len(rows):
        return None
    return scope.blame.attempt(path, partial(LimitTable, shape.by, found))


def _check_words(
    path: Path, shape: TableShape, known: list[str], kind: str, blame: FaultCollector
) -> None:
    for key in shape.table:
        if key not in known:
            hint = did_you_mean(key, known)
            blame.error((*path, "table", key), f"{shape.by!r} has no {kind} {key!r}{hint}")
    for word in known:
        if word not in shape.table:
            blame.warning((*path, "table"), f"there is no row for the {kind} {word!r}; add it")


def _word_row(path: Path, key: str, name: str, text: str, blame: FaultCollector) -> Row | None:
    limit = limit_at((*path, "table", key), text, blame)
    return Row(name, None, limit) if limit is not None else None


def _value_row(path: Path, key: str, text: str, blame: FaultCollector) -> Row | None:
    place = (*path, "table", key)
    when, limit = limit_at(place, key, blame), limit_at(place, text, blame)
    if when is None or limit is None:
        return None
    if not when.names and blame.attempt(place, partial(when.fill, {})) is None:
        return None
    return blame.attempt(place, partial(Row, key, when, limit))


def sweep_at(path: Path, shape: SweepShape, blame: FaultCollector) -> SweepLimit | None:
    """What the readings of a sweep must do; None when it cannot be used."""
    start = limit_at((*path, "start"), shape.start, blame)
    end = limit_at((*path, "end"), shape.end, blame)
    largest = quantity_at((*path, "largest-step"), shape.largest_step, blame)
    smallest = quantity_at((*path, "smallest-step"), shape.smallest_step, blame)
    least = _LEAST if shape.least is None else shape.least
    rising = shape.direction == "rising"
    return blame.attempt(path, partial(SweepLimit, rising, start, end, least, largest, smallest))


def plausible_at(
    path: Path, text: str | None, blame: FaultCollector
) -> tuple[Quantity, Quantity] | None:
    """The lowest and highest reading that can occur; None when not told."""
    limit = limit_at(path, text, blame)
    if limit is None:
        return None
    if limit.names or limit.low is None or limit.high is None:
        blame.error(path, "give two plain values, such as 0 V to 30 V")
        return None
    filled = blame.attempt(path, partial(limit.fill, {}))
    return (filled.low, filled.high) if filled and filled.low and filled.high else None


def lookalikes_at(
    path: Path, body: StepShape, needs: tuple[Need, ...], scope: Scope
) -> tuple[Lookalike, ...]:
    """The readings that tell of a forgotten condition; each must be one the step needs."""
    found = []
    known = {need.condition: need for need in needs}
    for name, text in body.if_forgotten.items():
        limit = limit_at((*path, name), text, scope.blame)
        if name in known and limit is not None:
            found.append(Lookalike(known[name], limit))
        elif name not in body.needs and scope.check_condition((*path, name), name):
            scope.blame.error((*path, name), f"the step does not need {name!r}; add it to 'needs'")
    return tuple(found)

"""The limit of a step as it stands now: its row of a table, and earlier readings put in."""

from dataclasses import dataclass

from voiceassist.errors import MeasureError
from voiceassist.language.meanings import Answer
from voiceassist.measure.expression import LimitExpression
from voiceassist.measure.limit import Limit
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.table import LimitTable
from voiceassist.measure.uncertainty import Estimate
from voiceassist.procedure.model import Step
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.values import estimates, words


@dataclass(frozen=True, slots=True)
class Filled:
    """A limit with its values put in.

    Parts:
        limit: its ends.
        low, high: the same with the doubt of the readings they are taken from.
    """

    limit: Limit
    low: Estimate | None
    high: Estimate | None


def limit_now(setup: SessionSetup, session: Session, step: Step) -> Filled | None:
    """The step's limit with facts and earlier readings put in; None when it has none.

    Raises:
        MeasureError: a reading it needs has not been taken, or no row of its table holds.
    """
    known = estimates(setup, session, step.names)
    rule = step.limit or _row(setup, session, step.table, known)
    return fill(rule, known) if rule is not None else None


def fill(rule: LimitExpression, known: dict[str, Estimate]) -> Filled:
    """``rule`` with the values it needs put in.

    Raises:
        MeasureError: one is missing, or its units do not go together.
    """
    limit = rule.fill({name: estimate.quantity for name, estimate in known.items()})
    return Filled(limit, *rule.estimate(known))


def missing(setup: SessionSetup, session: Session, step: Step) -> tuple[str, ...]:
    """Names of what the step's limit or formula needs and nothing gives."""
    known = estimates(setup, session, step.names).keys() | dict(session.holding(step)).keys()
    return tuple(sorted(step.names - known - _answered(session) - words(setup, session).keys()))


def _answered(session: Session) -> set[str]:
    return {r.step for r in session.ledger if not r.superseded and isinstance(r.meaning, Answer)}


def _row(
    setup: SessionSetup, session: Session, table: LimitTable | None, known: dict[str, Estimate]
) -> LimitExpression | None:
    if table is None:
        return None
    by = _state_of(setup, session, table.by, known)
    row = table.pick(by, {n: e.quantity for n, e in known.items()}) if by is not None else None
    if row is None:
        raise MeasureError(f"no row of the table holds for {table.by}")
    return row


def _condition(setup: SessionSetup, session: Session, name: str) -> str:
    """The state a condition is in, or was in when a result under correction was taken."""
    holding = (
        session.holding(setup.step(session))
        if session.corrected_conditions is None
        else session.corrected_conditions
    )
    return dict(holding).get(name, "")


def _state_of(
    setup: SessionSetup, session: Session, name: str, known: dict[str, Estimate]
) -> str | Quantity | None:
    """What a table goes by: a state of the vehicle, an answer, or an earlier value."""
    if state := _condition(setup, session, name):
        return state
    result = session.latest(name)
    if result is not None and isinstance(result.meaning, Answer):
        return result.outcome
    if name in (given := words(setup, session)):
        return given[name]
    return known[name].quantity if name in known else None

"""A minus where none belongs: the leads are the wrong way round, and nothing is condemned by it."""

from decimal import Decimal

from voiceassist.measure.limit import Verdict
from voiceassist.measure.quantity import Quantity
from voiceassist.session.copying import replace
from voiceassist.session.outputs import VerdictGiven
from voiceassist.session.possible import abs_of, limit_or_none
from voiceassist.session.session import Result, Session, SessionSetup, Turn

#: A meter with its leads in the air, or a drop in a good wire, may show a little of either sign:
#: under this share of what is wanted a minus tells nothing. Common practice, no source.
_SLIGHT = Decimal(10)
_SIGNED = frozenset({"voltage", "current"})


def leads_reversed(setup: SessionSetup, session: Session, result: Result) -> bool:
    """True for a negative reading where only positive ones pass, and more than a trace of it."""
    value = result.quantity
    if value is None or value.value >= 0 or value.unit.quantity not in _SIGNED:
        return False
    limit = limit_or_none(setup, session, setup.step(session))
    if limit is None:
        return False
    if limit.low is not None:
        return _positive(limit.low) and not abs_of(value).times(_SLIGHT) < limit.low
    return limit.high is not None and _positive(limit.high) and limit.high < abs_of(value)


def ask_to_swap(setup: SessionSetup, session: Session, result: Result) -> Turn:
    """Have the leads swapped; the reading does not count."""
    key = "current" if result.quantity and result.quantity.unit.quantity == "current" else "leads"
    verdict = VerdictGiven(
        step=session.step,
        text=setup.book(f"swap.{key}"),
        reading=result.shown,
        limit="",
        verdict=Verdict.NOT_VALID.value,
    )
    return Turn(replace(session, swapped=True), (verdict,))


def _positive(end: Quantity) -> bool:
    return end.value > 0

"""A reading against its limit, with the doubt of the meter."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from types import MappingProxyType

from voiceassist.errors import MeasureError
from voiceassist.language.meanings import Reading, Spread
from voiceassist.measure.decision import Decision, decide
from voiceassist.measure.limit import Limit, Verdict
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.uncertainty import Estimate, estimate_of
from voiceassist.measure.units import Unit
from voiceassist.procedure.model import FAIL, HIGH, LOW, PASS, Kind, Step
from voiceassist.session.close_call import advice, doubt_named
from voiceassist.session.copying import replace
from voiceassist.session.judged import Judged, not_valid, route, verdict_given
from voiceassist.session.limits import Filled, fill, limit_now, missing
from voiceassist.session.outputs import VerdictGiven
from voiceassist.session.own_words import own_words
from voiceassist.session.session import Result, Session, SessionSetup
from voiceassist.session.shown import short, show, show_limit
from voiceassist.session.skipping import why_not_skip
from voiceassist.session.values import estimates, measured

#: Routes a verdict may take, the most particular first.
ROUTES: Mapping[Verdict, tuple[str, ...]] = MappingProxyType(
    {
        Verdict.PASS: (PASS,),
        Verdict.LOW: (LOW, FAIL),
        Verdict.HIGH: (HIGH, FAIL),
    }
)
_UNSTEADY = (FAIL, HIGH, LOW)


def reading(setup: SessionSetup, session: Session, step: Step, said: Reading | Spread) -> Judged:
    """Judge a value, or one that wanders between two."""
    shown = show(said, step, setup.book)
    value, wander = _value(said, step)
    if value is None:
        text = setup.book("verdict.wrong_kind", shown=shown, unit=step.unit)
        return not_valid(step, shown, text)
    if step.kind is Kind.COUNT and value.value != value.value.to_integral_value():
        return not_valid(step, shown, setup.book("verdict.whole", shown=shown))
    if wander is not None and step.steady is not None and step.steady < wander:
        return _unsteady(setup, session, step, said, wander, step.steady)
    result = Result(step.name, session.stage, said, PASS, True, shown, value, wander)
    return against_limit(setup, session, step, result, _ends(setup, step, value, wander))


def _ends(
    setup: SessionSetup, step: Step, value: Quantity, wander: Quantity | None
) -> tuple[Estimate, ...]:
    """The value with its doubt; of one that wanders, both its ends."""
    if wander is None:
        return (measured(setup, step, value),)
    half = wander.times(Decimal("0.5"))
    return measured(setup, step, value - half), measured(setup, step, value + half)


def computed(setup: SessionSetup, session: Session, step: Step) -> Judged:
    """Judge what a COMPUTE step's formula gives."""
    assert step.formula is not None
    lacking = missing(setup, session, step)
    if lacking:
        joined = setup.book.join("list.and", lacking)
        return not_valid(step, "", setup.book("verdict.no_value", missing=joined))
    known = estimates(setup, session, step.formula.names)
    try:
        found = estimate_of(step.formula.compute, known)
    except MeasureError as error:
        return not_valid(step, "", setup.book("verdict.no_sum", reason=error.found))
    shown = short(found.quantity)
    result = Result(step.name, session.stage, None, PASS, True, shown, found.quantity)
    return against_limit(setup, session, step, result, (found,))


def against_limit(
    setup: SessionSetup, session: Session, step: Step, result: Result, found: Sequence[Estimate]
) -> Judged:
    """Put the verdict of the step's limit on ``result``, whose value or ends are ``found``."""
    try:
        limit = limit_now(setup, session, step)
    except MeasureError:
        lacking = setup.book.join("list.and", missing(setup, session, step) or (step.name,))
        return not_valid(step, result.shown, setup.book("verdict.no_limit", missing=lacking))
    if limit is None:
        return Judged(result, None, step.routes[PASS])
    decisions = [decide(each, limit.low, limit.high, setup.risk) for each in found]
    verdicts = {decision.verdict for decision in decisions}
    if len(verdicts) > 1:
        return _guarded(_wandering(setup, session, step, result, limit), decisions)
    judged = _guarded(_judged(setup, session, step, result, limit, verdicts.pop()), decisions)
    judged = _in_band(setup, session, step, judged, found)
    unloaded = _note(result.quantity, found[0]) if isinstance(result.meaning, Reading) else None
    return _with_note(setup, judged, unloaded)


def _in_band(
    setup: SessionSetup, session: Session, step: Step, judged: Judged, found: Sequence[Estimate]
) -> Judged:
    """A reading that fails leads where the first band tells that surely holds it."""
    if judged.result is None or judged.result.passed:
        return judged
    for text, rule in step.bands.items():
        try:
            band = fill(rule, estimates(setup, session, rule.names))
        except MeasureError:
            continue
        if all(decide(e, band.low, band.high, setup.risk).verdict is Verdict.PASS for e in found):
            return replace(judged, target=step.routes[text])
    return judged


def _guarded(judged: Judged, decisions: Sequence[Decision]) -> Judged:
    """With the guards of the limit; of a value that wanders, those of its lower and upper end."""
    if judged.verdict is None:
        return judged
    low, high = decisions[0].guard_low, decisions[-1].guard_high
    verdict = replace(judged.verdict, guard_low=short(low), guard_high=short(high))
    return replace(judged, verdict=verdict)


def _with_note(setup: SessionSetup, judged: Judged, unloaded: str | None) -> Judged:
    if unloaded is None or judged.verdict is None:
        return judged
    said = f"{judged.verdict.text} {setup.book('verdict.unloaded', shown=unloaded)}"
    return replace(judged, verdict=replace(judged.verdict, text=said))


def _judged(
    setup: SessionSetup,
    session: Session,
    step: Step,
    result: Result,
    limit: Filled,
    verdict: Verdict,
) -> Judged:
    limit_text = show_limit(limit.limit, setup.book)
    if verdict is Verdict.TOO_CLOSE:
        end = short(_nearest(result.quantity, limit.limit))
        text = setup.book("verdict.too_close", limit=end or limit_text)
        text = " ".join(
            [text, *doubt_named(setup, step, result), advice(setup, session, step, result)]
        )
        return Judged(
            None, verdict_given(setup, step, result.shown, verdict, limit.limit, text), ""
        )
    text = own_words(step, verdict.value)
    text = text or setup.book(f"verdict.{verdict.value}", limit=limit_text)
    passed = verdict is Verdict.PASS
    result = replace(result, outcome=verdict.value, passed=passed, limit=limit_text)
    given = verdict_given(setup, step, result.shown, verdict, limit.limit, text)
    return Judged(result, given, route(step, ROUTES[verdict]))


def _nearest(value: Quantity | None, limit: Limit) -> Quantity | None:
    """The end of the limit that ``value`` is too close to."""
    ends = [end for end in (limit.low, limit.high) if end is not None]
    if value is None or not ends:
        return None
    return min(ends, key=lambda end: abs(end.in_base - value.in_base))


def _wandering(
    setup: SessionSetup, session: Session, step: Step, result: Result, limit: Filled
) -> Judged:
    """A value that wanders over its limit: that is not the meter, and no range of it helps."""
    assert result.quantity is not None
    current = result.quantity.unit.quantity == "current"
    key = "verdict.switching" if current else "verdict.loose"
    text = setup.book(key, shown=result.shown)
    if session.tries:
        stuck = why_not_skip(setup, session)
        text = f"{text} {setup.book('advice.stuck' if stuck else 'advice.skip')}"
    return Judged(
        None, verdict_given(setup, step, result.shown, Verdict.TOO_CLOSE, limit.limit, text), ""
    )


# --- the value ---


def _value(said: Reading | Spread, step: Step) -> tuple[Quantity | None, Quantity | None]:
    """The value with its unit and how far it wanders; None for a value of another kind."""
    if isinstance(said, Reading):
        return _quantity(said, step.unit), None
    low = _quantity(replace(said.low, unit=said.low.unit or said.high.unit), step.unit)
    high = _quantity(said.high, step.unit)
    if low is None or high is None:
        return None, None
    if high < low:
        low, high = high, low
    low = low.to(high.unit)
    return Quantity((low.value + high.value) / 2, high.unit), high - low


def _quantity(said: Reading, own: Unit | None) -> Quantity | None:
    unit = said.unit or own
    if unit is None or (own is not None and unit.quantity != own.quantity):
        return None
    value = Quantity(said.value, unit)
    # one zero for all that is subtracted and compared at the step
    return value if own is None or unit.zero == own.zero else value.as_read(own)


def _note(read: Quantity | None, found: Estimate) -> str | None:
    """What the meter's own load took away, where that shows in the digits that were read."""
    if read is None or read.same_as(found.quantity):
        return None
    lost = abs((found.quantity.to(read.unit) - read).value)
    return short(found.quantity) if lost >= read.step else None


def _unsteady(
    setup: SessionSetup,
    session: Session,
    step: Step,
    said: Reading | Spread,
    wander: Quantity,
    steady: Quantity,
) -> Judged:
    shown, limit = (
        show(said, step, setup.book),
        setup.book.plain("limit.steady", most=short(steady)),
    )
    verdict = VerdictGiven(
        step=step.name,
        text=setup.book("verdict.unsteady", wander=short(wander), most=short(steady)),
        reading=shown,
        limit=limit,
        verdict=Verdict.HIGH.value,
    )
    result = Result(step.name, session.stage, said, FAIL, False, shown, limit=limit)
    return Judged(result, verdict, route(step, _UNSTEADY))

"""A row of readings that should rise or fall steadily."""

from voiceassist.errors import MeasureError
from voiceassist.language.meanings import Series
from voiceassist.measure.limit import Verdict
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.sweep import SweepFault, SweepLimit, judge_sweep
from voiceassist.procedure.model import FAIL, PASS, Step
from voiceassist.session.judge_reading import ROUTES
from voiceassist.session.judged import Judged, not_valid, route
from voiceassist.session.outputs import VerdictGiven
from voiceassist.session.session import Result, Session, SessionSetup
from voiceassist.session.shown import show, show_sweep
from voiceassist.session.values import estimate, estimates

#: Faults in the way the readings go; their own route comes first.
_WAY = frozenset(
    {SweepFault.WRONG_WAY, SweepFault.STANDS_STILL, SweepFault.JUMPS, SweepFault.TOO_FEW}
)


def sweep(setup: SessionSetup, session: Session, step: Step, said: Series) -> Judged:
    """Judge all readings of a SWEEP step together."""
    assert step.sweep is not None
    assert step.unit is not None
    shown = show(said, step, setup.book)
    read = [Quantity(reading.value, reading.unit or step.unit) for reading in said.readings]
    if any(q.unit.quantity != step.unit.quantity for q in read):
        text = setup.book("verdict.wrong_kind", shown=shown, unit=step.unit)
        return not_valid(step, shown, text)
    points = [estimate(setup, f"{step.name} {i}", value) for i, value in enumerate(read)]
    try:
        found = judge_sweep(
            step.sweep, points, estimates(setup, session, step.sweep.names), setup.risk
        )
    except MeasureError:
        return not_valid(step, shown, setup.book("verdict.no_limit", missing=step.name))
    if found.reason is SweepFault.TOO_FEW:
        return not_valid(step, shown, setup.book("sweep.few", least=step.sweep.least))
    return _judged(setup, session, step, said, shown, found.verdict, found.reason, found.at)


def _judged(
    setup: SessionSetup,
    session: Session,
    step: Step,
    said: Series,
    shown: str,
    verdict: Verdict,
    reason: SweepFault | None,
    at: int,
) -> Judged:
    assert step.sweep is not None
    limit = show_sweep(step.sweep, setup.book)
    given = VerdictGiven(
        step=step.name,
        text=_text(setup, step.sweep, verdict, reason, at),
        reading=shown,
        limit=limit,
        verdict=verdict.value,
    )
    if verdict is Verdict.TOO_CLOSE:
        return Judged(None, given, "")
    passed = verdict is Verdict.PASS
    outcome = FAIL if reason in _WAY else verdict.value
    result = Result(step.name, session.stage, said, outcome, passed, shown, limit=limit)
    routes = (FAIL, *ROUTES[verdict]) if reason in _WAY else ROUTES[verdict]
    return Judged(result, given, route(step, routes) if not passed else step.routes[PASS])


def _text(
    setup: SessionSetup, limit: SweepLimit, verdict: Verdict, reason: SweepFault | None, at: int
) -> str:
    if verdict is Verdict.PASS:
        return setup.book("verdict.pass")
    if verdict is Verdict.TOO_CLOSE:
        return setup.book("sweep.too_close", number=at + 1)
    key = reason.value.replace(" ", "_") if reason else "start"
    way = setup.book.plain("sweep.rising" if limit.rising else "sweep.falling")
    end = limit.start if reason is SweepFault.START else limit.end
    return setup.book(f"sweep.{key}", number=at + 1, way=way, limit=end.text if end else "")

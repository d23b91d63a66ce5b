"""A meter that shows over range, against the limit of its step."""

from voiceassist.language.meanings import OverRange
from voiceassist.measure.limit import Limit, Verdict
from voiceassist.procedure.model import FAIL, HIGH, OVER, PASS, Step
from voiceassist.session.copying import replace
from voiceassist.session.judged import Judged, not_valid, route, verdict_given
from voiceassist.session.own_words import own_words
from voiceassist.session.possible import limit_or_none
from voiceassist.session.session import Result, Session, SessionSetup
from voiceassist.session.shown import show_limit


def over_range(setup: SessionSetup, session: Session, step: Step) -> Judged:
    """Judge a meter that shows over range: it passes where a limit has no upper end."""
    if step.unit is not None and step.unit.quantity == "voltage" and OVER not in step.routes:
        # A vehicle has no voltage above the highest range of a hand meter.
        return not_valid(step, setup.book.say(OverRange()), setup.book("verdict.over_unlimited"))
    limit = limit_or_none(setup, session, step)
    if limit is not None and limit.high is None and OVER not in step.routes:
        return _beyond(setup, session, step, limit)
    shown = setup.book.say(OverRange())
    limit_text = show_limit(limit, setup.book) if limit else ""
    key = "verdict.over" if limit_text else "verdict.over_unlimited"
    said = own_words(step, OVER) or setup.book(key, limit=limit_text)
    verdict = verdict_given(setup, step, shown, Verdict.HIGH, limit, said)
    target = route(step, (OVER, HIGH, FAIL))
    if not target:
        return Judged(None, verdict, "")
    result = _result(setup, session, step, OVER, limit_text)
    return Judged(result, verdict, target)


def _beyond(setup: SessionSetup, session: Session, step: Step, limit: Limit) -> Judged:
    result = replace(
        _result(setup, session, step, PASS, show_limit(limit, setup.book)), passed=True
    )
    text = setup.book("verdict.pass")
    verdict = verdict_given(setup, step, result.shown, Verdict.PASS, limit, text)
    return Judged(result, verdict, step.routes[PASS])


def _result(setup: SessionSetup, session: Session, step: Step, outcome: str, limit: str) -> Result:
    shown = setup.book.say(OverRange())
    return Result(step.name, session.stage, OverRange(), outcome, False, shown, limit=limit)

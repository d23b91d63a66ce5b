"""From what was said at a step to its result."""

from dataclasses import dataclass

from voiceassist.errors import MeasureError
from voiceassist.language.meanings import Answer, Identifier, Lamp, Meaning, OverRange, Reading
from voiceassist.measure.limit import Limit, Verdict, check
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.model import FAIL, HIGH, LOW, OVER, PASS, Kind, Step
from voiceassist.session.outputs import VerdictGiven
from voiceassist.session.session import Desk, Result, Session
from voiceassist.session.shown import short, show, show_lamps, show_limit

#: Routes a verdict may take, the most particular first.
_ROUTES = {
    Verdict.PASS: (PASS,),
    Verdict.LOW: (LOW, FAIL),
    Verdict.HIGH: (HIGH, FAIL),
}


@dataclass(frozen=True, slots=True)
class Judged:
    """A result with its verdict, not yet taken.

    Parts:
        result: None when it does not count (``verdict`` says why).
        verdict: what is spoken of it; None when there is nothing to say.
        target: where it leads; empty when the step stays.
    """

    result: Result | None
    verdict: VerdictGiven | None
    target: str


def judge(desk: Desk, session: Session, meaning: Meaning) -> Judged:
    """Judge ``meaning`` as the answer to the current step.

    The session is not changed; the caller decides whether to take the result.
    """
    step = desk.step(session)
    if isinstance(meaning, Reading):
        return _reading(desk, session, step, meaning)
    if isinstance(meaning, OverRange):
        return _over_range(desk, session, step)
    if isinstance(meaning, Lamp):
        return _lamp(desk, session, step, meaning)
    shown = show(meaning, step, desk.book)
    if isinstance(meaning, Identifier):
        result = Result(step.name, session.stage, meaning, PASS, True, shown)
        return Judged(result, None, step.routes[PASS])
    assert isinstance(meaning, Answer)
    result = Result(step.name, session.stage, meaning, meaning.name, True, shown)
    return Judged(result, None, step.routes[meaning.name])


def limit_now(step: Step, session: Session) -> Limit | None:
    """The step's limit with earlier readings put in; None when it has none.

    Raises:
        MeasureError: a reading it needs has not been taken.
    """
    return step.limit.fill(session.values()) if step.limit else None


def fits(step: Step, meaning: Meaning) -> bool:
    """True when ``meaning`` is the kind of answer that ``step`` wants."""
    if isinstance(meaning, Answer):
        return step.kind is Kind.ASK and meaning.name in step.routes
    if isinstance(meaning, Identifier):
        return step.kind is Kind.IDENTIFY and meaning.name == step.text
    wanted = {Kind.MEASURE: (Reading, OverRange), Kind.LAMP: (Lamp,)}.get(step.kind, ())
    return isinstance(meaning, wanted)


def _reading(desk: Desk, session: Session, step: Step, said: Reading) -> Judged:
    unit = said.unit or step.unit
    shown = show(said, step, desk.book)
    if unit is None or (step.unit and unit.quantity != step.unit.quantity):
        text = desk.book("verdict.wrong_kind", shown=shown, unit=step.unit)
        return _no_result(step, shown, "", text)
    quantity = Quantity(said.value, unit)
    try:
        limit = limit_now(step, session)
    except MeasureError:
        missing = desk.book.join("list.and", sorted(_missing(step, session)))
        return _no_result(step, shown, "", desk.book("verdict.no_limit", missing=missing))
    doubt = desk.accuracy.half_width(quantity) if desk.accuracy else None
    verdict = check(quantity, limit, doubt) if limit else Verdict.PASS
    return _judged(desk, session, step, said, quantity, verdict, limit)


def _missing(step: Step, session: Session) -> set[str]:
    return set(step.limit.names - session.values().keys()) if step.limit else set()


def _judged(
    desk: Desk,
    session: Session,
    step: Step,
    said: Reading,
    quantity: Quantity,
    verdict: Verdict,
    limit: Limit | None,
) -> Judged:
    shown = str(quantity)
    limit_text = show_limit(limit, desk.book) if limit else ""
    key = {Verdict.TOO_CLOSE: "too_close"}.get(verdict, verdict.value) if limit else "kept"
    given = VerdictGiven(
        step=step.name,
        text=desk.book(f"verdict.{key}", limit=limit_text),
        reading=shown,
        limit=limit_text,
        verdict=verdict.value,
        low=short(limit.low) if limit else "",
        high=short(limit.high) if limit else "",
    )
    if verdict is Verdict.TOO_CLOSE:
        return Judged(None, given, "")
    result = Result(
        step=step.name,
        stage=session.stage,
        meaning=said,
        outcome=verdict.value,
        passed=verdict is Verdict.PASS,
        shown=shown,
        quantity=quantity,
        limit=limit_text,
    )
    return Judged(result, given, _route(step, _ROUTES[verdict]))


def _over_range(desk: Desk, session: Session, step: Step) -> Judged:
    limit = step.limit.text if step.limit else ""
    shown = desk.book.say(OverRange())
    verdict = VerdictGiven(
        step=step.name,
        text=desk.book("verdict.over", limit=limit),
        reading=shown,
        limit=limit,
        verdict=Verdict.HIGH.value,
    )
    target = _route(step, (OVER, HIGH, FAIL))
    if not target:
        return Judged(None, verdict, "")
    result = Result(step.name, session.stage, OverRange(), OVER, False, shown, limit=limit)
    return Judged(result, verdict, target)


def _lamp(desk: Desk, session: Session, step: Step, lamp: Lamp) -> Judged:
    passed = lamp.name in step.bright_enough
    wanted = show_lamps(step.bright_enough, desk.book)
    shown = desk.book.say(lamp)
    verdict = VerdictGiven(
        step=step.name,
        text=desk.book("verdict.pass") if passed else desk.book("verdict.lamp", wanted=wanted),
        reading=shown,
        limit=wanted,
        verdict=(Verdict.PASS if passed else Verdict.LOW).value,
    )
    result = Result(step.name, session.stage, lamp, lamp.name, passed, shown, limit=wanted)
    routes = (
        (PASS,)
        if passed
        else (lamp.name, FAIL, *(("dim", "off") if lamp.name == "flickering" else ()))
    )
    return Judged(result, verdict, _route(step, routes))


def _route(step: Step, keys: tuple[str, ...]) -> str:
    return next((step.routes[key] for key in keys if key in step.routes), "")


def _no_result(step: Step, shown: str, limit: str, text: str) -> Judged:
    verdict = VerdictGiven(
        step=step.name, text=text, reading=shown, limit=limit, verdict=Verdict.NOT_VALID.value
    )
    return Judged(None, verdict, "")

"""From the shape of a step to a ``Step``."""

import re
from collections.abc import Mapping
from functools import partial

from voiceassist.measure.expression import Expression, LimitExpression
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import QUANTITIES, Unit, base_unit, unit
from voiceassist.procedure.model import NEVER, Caution, Kind, Need, Point, Step
from voiceassist.procedure.parts.accept import accepted_by
from voiceassist.procedure.parts.answers import replies_of
from voiceassist.procedure.parts.cautions import by_gravity
from voiceassist.procedure.parts.details import details_of
from voiceassist.procedure.parts.keys import check_keys, kinds_given
from voiceassist.procedure.parts.limits import limit_at, lookalikes_at, plausible_at, quantity_at
from voiceassist.procedure.parts.routes import routes_of
from voiceassist.procedure.parts.says import says_of
from voiceassist.procedure.parts.scope import Scope
from voiceassist.procedure.parts.source import source_of
from voiceassist.procedure.parts.times import seconds_at
from voiceassist.procedure.parts.word_facts import OnlyIf, only_if_of
from voiceassist.procedure.shape.step import StepShape
from voiceassist.procedure.text.fault_collector import FaultCollector
from voiceassist.procedure.text.tree import Path

_PICTURE = re.compile(r"\w[\w. -]*\.(?:png|jpe?g|svg)", re.IGNORECASE)


def build_step(path: Path, body: StepShape, following: str, scope: Scope) -> Step:
    """The step at ``path``; ``following`` is where a pass leads when it does not say."""
    blame = scope.blame
    check_keys(path, body, blame)
    kind = kind_of(body)
    text = getattr(body, kind.value) or ""
    needs = scope.needs((*path, "needs"), body.needs)
    accepted = accepted_by(path, body, kind, scope)
    return Step(
        name=str(path[-1]),
        kind=kind,
        text=text,
        needs=needs,
        cautions=_cautions(path, body, scope),
        points=_points_in(text, scope.points),
        before=_before((*path, "before"), body, needs, blame),
        how=body.how or "",
        why=body.why or "",
        limit=accepted.limit,
        table=accepted.table,
        sweep=accepted.sweep,
        formula=_formula(path, body, blame),
        unit=_unit(path, body, kind, blame),
        plausible=plausible_at((*path, "plausible"), body.plausible, blame),
        steady=quantity_at((*path, "steady"), body.steady, blame),
        source=source_of((*path, "source"), body.source, blame, scope.source),
        source_resistance=quantity_at(
            (*path, "source-resistance"), body.source_resistance, blame, "resistance"
        ),
        lookalikes=lookalikes_at((*path, "if-forgotten"), body, needs, scope),
        when_close=body.if_close or "",
        wait_s=_wait_s(path, body, blame),
        settles_s=_settles_s((*path, "settles"), body.settles, blame),
        prompt_after_s=_prompt_after_s((*path, "prompt-after"), body.prompt_after, blame),
        fuse=quantity_at((*path, "fuse"), body.fuse, blame, "current"),
        picture=_picture((*path, "picture"), body.picture, blame),
        bright_enough=accepted.bright_enough,
        good=accepted.good,
        replies=replies_of(path, body, scope) if kind is Kind.ASK else (),
        routes=routes_of(path, body, kind, following, accepted, scope),
        bands=_bands((*path, "bands"), body, blame),
        skip=_skip((*path, "skip"), body.skip, scope),
        says=says_of(path, body, accepted, scope),
        meter=_meter((*path, "meter"), body, blame),
        voided_by=_voided_by((*path, "voided-by"), body, scope),
        details=details_of(path, body, blame),
        only_if=_only_if((*path, "only-if"), body, kind, scope),
        sets=tuple((n.condition, n.state) for n in scope.needs((*path, "sets"), body.sets)),
    )


def _only_if(path: Path, body: StepShape, kind: Kind, scope: Scope) -> OnlyIf:
    if body.only_if and kind is Kind.ASK and body.skip in {None, NEVER}:
        message = "a question with 'only-if' needs a 'skip:', where it leads when left out"
        scope.blame.error(path, message)
    return only_if_of(path, body.only_if, scope)


def _meter(path: Path, body: StepShape, blame: FaultCollector) -> Quantity | None:
    """The range to read on, which must be of what is read."""
    return quantity_at(path, body.meter, blame)


def _bands(path: Path, body: StepShape, blame: FaultCollector) -> dict[str, LimitExpression]:
    """Limits of readings that fail, by their words."""
    found = ((text, limit_at((*path, text), text, blame)) for text in body.bands)
    return {text: limit for text, limit in found if limit is not None}


def _before(path: Path, body: StepShape, needs: tuple[Need, ...], blame: FaultCollector) -> str:
    """What is spoken ahead of its changes, without a full stop."""
    if body.before and not any(not need.momentary for need in needs) and not body.use:
        message = "'before' is spoken ahead of a change, and nothing is changed here"
        blame.error(path, f"{message}; add 'needs:', or call it 'how'")
    return (body.before or "").rstrip(". ")


def _voided_by(path: Path, body: StepShape, scope: Scope) -> tuple[str, ...]:
    return tuple(name for name in body.voided_by if scope.check_condition(path, name))


def kind_of(body: StepShape) -> Kind:
    """Its kind; the first of several, which is a fault already."""
    given = [key for key in kinds_given(body) if key in list(Kind)]
    return Kind(given[0]) if given else Kind.DO


def _formula(path: Path, body: StepShape, blame: FaultCollector) -> Expression | None:
    if body.compute is None:
        return None
    return blame.attempt((*path, "compute"), partial(Expression.parse, body.compute))


def _unit(path: Path, body: StepShape, kind: Kind, blame: FaultCollector) -> Unit | None:
    """The unit written; that of a limit is found later, when its readings have theirs."""
    if kind is Kind.MEASURE and not blame.written(path, "accept", "unit"):
        blame.error(path, "a measurement needs a limit ('accept: 5 V to 6 V') or a 'unit: V'")
    if body.unit is None:
        return base_unit("count") if kind is Kind.COUNT else None
    found = blame.attempt((*path, "unit"), partial(unit, body.unit))
    if found is not None and found.quantity not in QUANTITIES:
        blame.error((*path, "unit"), f"a reading in {found} cannot be spoken; take another unit")
        return None
    return found


def _wait_s(path: Path, body: StepShape, blame: FaultCollector) -> int:
    """How long to wait, in seconds."""
    if body.wait is None:
        return 0
    if body.wait_for is None:
        if not blame.written(path, "for"):
            blame.error(path, "a waiting step needs its time, such as 'for: 20 min'")
        return 0
    return seconds_at((*path, "for"), body.wait_for, blame)


def _settles_s(path: Path, text: str | None, blame: FaultCollector) -> int:
    """How long the reading takes to settle, in seconds; 0 where it is there at once."""
    return 0 if text is None else seconds_at(path, text, blame)


def _prompt_after_s(path: Path, text: str | None, blame: FaultCollector) -> int | None:
    """How long an answer may take, in seconds; 0 for as long as one likes."""
    if text is None:
        return None
    return 0 if text == NEVER else seconds_at(path, text, blame)


def _picture(path: Path, text: str | None, blame: FaultCollector) -> str:
    if text is not None and not _PICTURE.fullmatch(text):
        blame.error(path, f"{text!r} is no picture beside this file; name a .png, .jpg or .svg")
    return text or ""


def _skip(path: Path, target: str | None, scope: Scope) -> str:
    if target is not None and target != NEVER and path[0] != "repairs":
        scope.check_target(path, target)
    return target or ""


def _cautions(path: Path, body: StepShape, scope: Scope) -> tuple[Caution, ...]:
    names = [body.caution] if isinstance(body.caution, str) else body.caution or []
    place = (*path, "caution")
    known = list(scope.cautions)
    found = [name for name in names if scope.check_known(place, "caution", name, known)]
    return by_gravity(scope.cautions[name] for name in dict.fromkeys(found))


def _points_in(text: str, points: Mapping[str, Point]) -> tuple[Point, ...]:
    """The test points named in ``text``, in its order; longest names first, so none overlap."""
    found: list[tuple[int, Point]] = []
    rest = text
    for name in sorted(points, key=len, reverse=True):
        if name not in rest:
            continue
        pattern = re.compile(rf"\b{re.escape(name)}\b")
        if match := pattern.search(rest):
            found.append((match.start(), points[name]))
            rest = pattern.sub(lambda m: " " * len(m[0]), rest)
    return tuple(point for _, point in sorted(found, key=lambda pair: pair[0]))

"""Where each outcome of a step leads."""

from collections.abc import Mapping

from voiceassist.measure.expression import LimitExpression
from voiceassist.procedure.model import (
    ANSWERS,
    FAIL,
    HIGH,
    IN_DOUBT,
    LAMP_STATES,
    LOW,
    OVER,
    PASS,
    Kind,
    written,
)
from voiceassist.procedure.parts.accept import Accepted
from voiceassist.procedure.parts.scope import Scope
from voiceassist.procedure.shape.step import AnswerShape, StepShape
from voiceassist.procedure.text.tree import Path

_ROUTES = (LOW, HIGH, OVER, FAIL, *LAMP_STATES)


def routes_of(
    path: Path, body: StepShape, kind: Kind, following: str, accepted: Accepted, scope: Scope
) -> dict[str, str]:
    """Outcome to step or finding.

    Args:
        path: of the step.
        body: the step.
        kind: what it wants.
        following: where a pass leads when the step does not say; empty for nowhere.
        accepted: what it accepts.
        scope: what there is to lead to.
    """
    routes = {PASS: body.then or following, **body.bands}
    for key in _ROUTES:
        if target := getattr(body, key):
            routes[key] = target
    if kind is Kind.ASK:
        del routes[PASS]
        for key, answer in (body.answers or {}).items():
            go = answer.go if isinstance(answer, AnswerShape) else answer
            routes[ANSWERS.get(key, key)] = go
    for key in IN_DOUBT:
        if target := getattr(body, key.replace("-", "_")):
            routes[key] = target
    for key, target in routes.items():
        _check_target(path, body, key, target, scope)
    spoilt = [key for key in _ROUTES if key not in routes and scope.blame.written(path, key)]
    for key in _missing(path, body, kind, routes, accepted) if not spoilt else ():
        scope.blame.error(path, f"a reading that {key} leads nowhere; add {_remedy(key)}")
    return routes


def _check_target(path: Path, body: StepShape, key: str, target: str, scope: Scope) -> None:
    if path[0] == "repairs" and key == PASS:
        return  # a repair step is followed by the next one its finding lists
    if not target and not scope.blame.written(path, "then"):
        scope.blame.error(path, "the last step leads nowhere after a pass; add 'then: a-finding'")
    elif target and (key != PASS or body.then):
        scope.check_target((*path, *_place(body, key)), target)


def _place(body: StepShape, key: str) -> tuple[str, ...]:
    """The keys below a step where the route of ``key`` is written."""
    if key == PASS:
        return ("then",)
    if key in body.bands:
        return ("bands", key)
    if not body.answers or key in IN_DOUBT:
        return (key,)
    return ("answers", written(key))


def _remedy(key: str) -> str:
    word = key.removeprefix("is ")
    return f"'{word}:' or 'fail:'" if word in {LOW, HIGH, *LAMP_STATES} else "'fail:'"


def _missing(
    path: Path, body: StepShape, kind: Kind, routes: Mapping[str, str], accepted: Accepted
) -> list[str]:
    """What a reading that fails is like, for each such outcome that has no route."""
    if path[0] == "repairs" or FAIL in routes:
        return []
    if kind is Kind.LAMP:
        must = ("bright", "dim", "off")  # flickering goes where dim does
        bad = [state for state in must if state not in accepted.bright_enough]
        return [f"is {state}" for state in bad if state not in routes]
    if kind is Kind.SWEEP:
        return ["does not go as it should"]
    missing = [f"is {end}" for end in _failing_ends(accepted) if end not in routes]
    if body.steady and not {LOW, HIGH} & set(routes):
        missing.append("wanders")
    return missing


def _failing_ends(accepted: Accepted) -> list[str]:
    limits: list[LimitExpression] = [accepted.limit] if accepted.limit else []
    limits += [row.limit for row in accepted.table.rows] if accepted.table else []
    ends = ((LOW, any(limit.low for limit in limits)), (HIGH, any(limit.high for limit in limits)))
    return [key for key, there in ends if there]

"""Where each outcome of a step leads."""

from collections.abc import Mapping, Sequence

from voiceassist.errors import MeasureError
from voiceassist.measure.expression import LimitExpression
from voiceassist.procedure.blame import Blame
from voiceassist.procedure.faults import did_you_mean
from voiceassist.procedure.model import ANSWERS, FAIL, HIGH, LAMP_STATES, LOW, OVER, PASS, Kind
from voiceassist.procedure.shape import AnswerShape, StepShape
from voiceassist.procedure.tree import Path


def routes_of(
    path: Path, body: StepShape, kind: Kind, following: str, targets: Sequence[str], blame: Blame
) -> dict[str, str]:
    """Outcome to step or finding.

    Args:
        path: of the step.
        body: the step.
        kind: what it wants.
        following: where a pass leads when the step does not say.
        targets: all steps and findings there are.
        blame: takes what is wrong.
    """
    routes = {PASS: body.then or following}
    for key in (LOW, HIGH, OVER, FAIL, *LAMP_STATES):
        if target := getattr(body, key):
            routes[key] = target
    if kind is Kind.ASK:
        del routes[PASS]
        for key, answer in (body.answers or {}).items():
            go = answer.go if isinstance(answer, AnswerShape) else answer
            routes[ANSWERS.get(key, key)] = go
    for key, target in routes.items():
        _check_target(path, key, target, targets, blame)
    for key in _missing(path, body, kind, routes):
        blame.error(path, f"a reading that is {key} leads nowhere; add '{key}:' or 'fail:'")
    return routes


def _check_target(path: Path, key: str, target: str, targets: Sequence[str], blame: Blame) -> None:
    if path[0] == "repairs" and target == PASS:
        return  # a repair step is followed by the next one its finding lists
    if not target:
        blame.error(path, "the last step leads nowhere after a pass; add 'then: a-finding'")
    elif target not in targets:
        place = (*path, "then" if key == PASS else key)
        blame.error(
            place, f"there is no step or finding {target!r}" + did_you_mean(target, targets)
        )


def _missing(path: Path, body: StepShape, kind: Kind, routes: Mapping[str, str]) -> list[str]:
    """The failing outcomes that have no route."""
    if path[0] == "repairs" or FAIL in routes:
        return []
    if kind is Kind.LAMP:
        good = [body.accept] if isinstance(body.accept, str) else body.accept or ["bright"]
        must = ("bright", "dim", "off")  # flickering goes where dim does
        return [state for state in must if state not in routes and state not in good]
    if kind is Kind.MEASURE and isinstance(body.accept, str):
        return [key for key in _failing_ends(body.accept) if key not in routes]
    return []


def _failing_ends(accept: str) -> list[str]:
    try:
        limit = LimitExpression.parse(accept)
    except MeasureError:
        return []  # blamed where the limit is read
    return [key for key, end in ((LOW, limit.low), (HIGH, limit.high)) if end]

"""From the shape of a step to a ``Step``."""

import re
from collections.abc import Iterable, Mapping, Sequence
from functools import partial

from voiceassist.measure.expression import LimitExpression
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import Unit, unit
from voiceassist.procedure.blame import Blame
from voiceassist.procedure.faults import did_you_mean
from voiceassist.procedure.model import (
    ANSWERS,
    HIGH,
    LAMP_STATES,
    LOW,
    OVER,
    Caution,
    Kind,
    Need,
    Point,
    Reply,
    Signal,
    Step,
)
from voiceassist.procedure.routes import routes_of
from voiceassist.procedure.shape import AnswerShape, ProcedureShape, StepShape
from voiceassist.procedure.tree import Path

_WORD = r"[^\W\d_]+(?:['’][^\W\d_]+)?"
_PHRASE = re.compile(rf"{_WORD}(?: {_WORD})*")


class StepBuilder:
    """Builds the steps of one procedure; faults go to its ``blame``."""

    def __init__(self, shape: ProcedureShape, blame: Blame) -> None:
        self._shape = shape
        self._blame = blame
        self._targets = [*shape.steps, *shape.findings]
        self._cautions = {
            name: Caution(name, Signal(c.signal), c.hazard, c.avoid)
            for name, c in shape.cautions.items()
        }

    def build(self, path: Path, body: StepShape, following: str) -> Step:
        """The step at ``path``; ``following`` is where a pass leads when it does not say."""
        kind, text = self._kind(path, body)
        return Step(
            name=str(path[-1]),
            kind=kind,
            text=text,
            needs=self._needs((*path, "needs"), body.needs),
            cautions=self._cautions_of(path, body),
            points=_points_in(text, self._shape.points),
            how=body.how or "",
            why=body.why or "",
            limit=self._limit(path, body, kind),
            unit=self._unit(path, body, kind),
            plausible=self._plausible((*path, "plausible"), body.plausible),
            bright_enough=self._bright_enough(path, body, kind),
            replies=self._replies(path, body, kind),
            routes=routes_of(path, body, kind, following, self._targets, self._blame),
            sets=tuple((n.condition, n.state) for n in self._needs((*path, "sets"), body.sets)),
        )

    def _kind(self, path: Path, body: StepShape) -> tuple[Kind, str]:
        given = [(kind, getattr(body, kind.value)) for kind in Kind if getattr(body, kind.value)]
        if len(given) != 1:
            found = " and ".join(kind.value for kind, _ in given) or "none of them"
            kinds = "measure, lamp, ask, identify and do"
            self._blame.error(path, f"a step has one of {kinds}; found {found}")
        return given[0] if given else (Kind.DO, "")

    def _limit(self, path: Path, body: StepShape, kind: Kind) -> LimitExpression | None:
        if kind is not Kind.MEASURE:
            self._only_for("a measurement", path, body, ("unit", "plausible", LOW, HIGH, OVER))
            return None
        if body.accept is None and body.unit is None:
            self._blame.error(
                path, "a measurement needs a limit ('accept: 5 V to 6 V') or a 'unit: V'"
            )
        if isinstance(body.accept, list):
            self._blame.error((*path, "accept"), "a measurement has one limit, not a list")
            return None
        if body.accept is None:
            return None
        return self._blame.attempt((*path, "accept"), partial(LimitExpression.parse, body.accept))

    def _unit(self, path: Path, body: StepShape, kind: Kind) -> Unit | None:
        if kind is not Kind.MEASURE or body.unit is None:
            return None
        return self._blame.attempt((*path, "unit"), partial(unit, body.unit))

    def _plausible(self, path: Path, text: str | None) -> tuple[Quantity, Quantity] | None:
        if text is None:
            return None
        limit = self._blame.attempt(path, partial(LimitExpression.parse, text))
        if limit is None:
            return None
        if limit.names or limit.low is None or limit.high is None:
            self._blame.error(path, "give two plain values, such as 0 V to 30 V")
            return None
        filled = self._blame.attempt(path, partial(limit.fill, {}))
        return (filled.low, filled.high) if filled and filled.low and filled.high else None

    def _bright_enough(self, path: Path, body: StepShape, kind: Kind) -> tuple[str, ...]:
        if kind is not Kind.LAMP:
            self._only_for("a lamp step", path, body, LAMP_STATES)
            return ()
        wanted = body.accept if isinstance(body.accept, list) else [body.accept or "bright"]
        for state in wanted:
            if state not in LAMP_STATES:
                self._blame.error(
                    (*path, "accept"),
                    f"{state!r} is no lamp state" + did_you_mean(state, LAMP_STATES),
                )
        return tuple(wanted)

    def _replies(self, path: Path, body: StepShape, kind: Kind) -> tuple[Reply, ...]:
        if kind is not Kind.ASK:
            self._only_for("a question", path, body, ("answers",))
            return ()
        if not body.answers:
            self._blame.error(path, "a question needs 'answers:', each with where it leads")
        answers = (body.answers or {}).items()
        return tuple(self._reply((*path, "answers", key), key, a) for key, a in answers)

    def _reply(self, path: Path, key: str, answer: str | AnswerShape) -> Reply:
        if key in ANSWERS:
            return Reply(ANSWERS[key])
        phrases = answer.say if isinstance(answer, AnswerShape) else [key]
        for phrase in phrases:
            if not _PHRASE.fullmatch(phrase):
                self._blame.error(
                    path, f"{phrase!r} cannot be said as it is; write it in plain words"
                )
        return Reply(key, tuple(phrase.lower() for phrase in phrases))

    def _needs(self, path: Path, needs: Mapping[str, str]) -> tuple[Need, ...]:
        conditions = self._shape.conditions
        found = []
        for name, state in needs.items():
            states = conditions.get(name, {})
            if name not in conditions:
                known = did_you_mean(name, list(conditions))
                self._blame.error((*path, name), f"there is no condition {name!r}{known}")
            elif state not in states:
                known = did_you_mean(state, list(states))
                self._blame.error((*path, name), f"{name!r} has no state {state!r}{known}")
            else:
                found.append(Need(name, state, states[state]))
        return tuple(found)

    def _cautions_of(self, path: Path, body: StepShape) -> tuple[Caution, ...]:
        names = [body.caution] if isinstance(body.caution, str) else body.caution or []
        for name in names:
            if name not in self._cautions:
                known = did_you_mean(name, list(self._cautions))
                self._blame.error((*path, "caution"), f"there is no caution {name!r}{known}")
        found = [self._cautions[name] for name in names if name in self._cautions]
        return tuple(sorted(found, key=lambda caution: list(Signal).index(caution.signal)))

    def _only_for(self, owner: str, path: Path, body: StepShape, keys: Iterable[str]) -> None:
        for key in keys:
            if getattr(body, key):
                self._blame.error((*path, key), f"{key!r} is for {owner}; take it out")


def _points_in(text: str, points: Mapping[str, str]) -> tuple[Point, ...]:
    """The test points named in ``text``, in its order; longest names first, so none overlap."""
    found: list[tuple[int, Point]] = []
    rest = text
    for name in sorted(points, key=len, reverse=True):
        pattern = re.compile(rf"\b{re.escape(name)}\b")
        if match := pattern.search(rest):
            found.append((match.start(), Point(name, points[name])))
            rest = pattern.sub(lambda m: " " * len(m[0]), rest)
    return tuple(point for _, point in sorted(found, key=lambda pair: pair[0]))


def after(names: Sequence[str], name: str) -> str:
    """The name that follows ``name``; empty after the last."""
    following = names[names.index(name) + 1 :]
    return following[0] if following else ""

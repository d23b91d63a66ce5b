"""What a step says of itself: its prompt, its how and why, its limit, and what results mean."""

import re
from collections.abc import Iterator

from voiceassist.errors import MeasureError
from voiceassist.measure.expression import LimitExpression
from voiceassist.measure.fuse import fuse_colour
from voiceassist.procedure.model import IN_DOUBT, PASS, Kind, Need, Point, SourceKind, Step
from voiceassist.procedure.parts.asking import wording_in
from voiceassist.session.details import opens
from voiceassist.session.limits import fill, limit_now
from voiceassist.session.session import Detail, Session, SessionSetup
from voiceassist.session.shown import show_lamps, show_limit, show_sweep, spoken_name
from voiceassist.session.spans import show_time
from voiceassist.session.values import estimates

#: Kinds whose sentence has the article already.
_AFTER_THE = frozenset({Kind.MEASURE, Kind.SWEEP, Kind.COUNT})

#: "voltage from the feed pin to body earth, lamp lit": the red lead is at the first of them, as in
#: a drawing of the step.
_BETWEEN = re.compile(r".*?\bfrom (.+?) to ([^,]+?)(?:,| while | with |$)")
#: "voltage across the battery posts, low beam on"
_POSTS = re.compile(r".*?\bacross [\w ]*posts\b")

#: Kinds whose instrument is in place before anything is read.
_PROBED = frozenset({Kind.MEASURE, Kind.SWEEP, Kind.LAMP})


def step_text(setup: SessionSetup, session: Session, step: Step) -> str:
    """What the step wants, at the wanted level of detail.

    BRIEF tells an expert the name of the step alone. NORMAL tells where a test point is,
    and how to go about a step, the first time it comes. TEACHING tells that each time, and why.
    The rating of a fuse that is to be fitted is never left out.
    """
    parts = [*rest(setup, session, step), _text(setup, session, step), *moment(setup, step)]
    return " ".join(parts)


def moment(setup: SessionSetup, step: Step) -> list[str]:
    """What is held only while one reads: said last, when the probes are in place."""
    key = "step.moment_probes" if step.kind in _PROBED else "step.moment"
    return [setup.book(key, instruction=_held(setup, need)) for need in step.held]


def _held(setup: SessionSetup, need: Need) -> str:
    """What to hold, and for how long at most."""
    if need.hold is None or not need.hold.most_s:
        return need.instruction
    most = show_time(setup, need.hold.most_s)
    return setup.book.plain("hold.at_most", instruction=need.instruction, time=most)


def rest(setup: SessionSetup, session: Session, step: Step) -> list[str]:
    """How long what was held must still rest before it is held again."""
    since = dict(session.let_go)
    holds = [(need.hold, since[need.condition]) for need in step.held if need.condition in since]
    left = [hold.rest_s - int(session.now_s - at_s) for hold, at_s in holds if hold]
    most = max(left, default=0)
    return [setup.book("hold.rest", time=show_time(setup, most))] if most > 0 else []


def _text(setup: SessionSetup, session: Session, step: Step) -> str:
    if setup.detail is Detail.BRIEF:
        return _brief(setup, session, step)
    teaching = setup.detail is Detail.TEACHING
    points = [p for p in step.points if teaching or p.name not in session.explained]
    parts = [_wish(setup, session, step), *_where(setup, points)]
    if teaching or _how_mark(step) not in session.explained:
        parts += _how(setup, step)
    parts += _fuse(setup, step)
    return " ".join([*parts, *(_why(setup, step) if teaching else ())])


def told_with(setup: SessionSetup, step: Step) -> frozenset[str]:
    """What need not be told again once the step was asked for; by its name alone, nothing was."""
    if setup.detail is Detail.BRIEF and step.kind not in _NEVER_BY_NAME:
        return frozenset({_LAMP_MARK}) if step.kind is Kind.LAMP else frozenset()
    marks = {_how_mark(step), *_MARKS.get(step.kind, ())}
    marks |= {_STEADY_MARK} if step.steady is not None else set()
    return frozenset({point.name for point in step.points} | marks)


#: An expert too is told what is wanted there.
_NEVER_BY_NAME = frozenset({Kind.ASK, Kind.DO, Kind.IDENTIFY, Kind.WAIT})
#: Marks of what was told, beside the names of test points.
_LAMP_MARK = "lamp: bright, dim or off"
_WAIT_MARK = "wait: told when it is over"
_STEADY_MARK = "steady: said between which values it moves"
_MARKS = {Kind.LAMP: (_LAMP_MARK,), Kind.WAIT: (_WAIT_MARK,)}


def _how_mark(step: Step) -> str:
    return f"how: {step.how}"


def how_text(setup: SessionSetup, step: Step) -> str:
    """Where its test points are, how to go about it and how the leads are held; empty for none."""
    sentences = [*_where(setup, step.points), *_how(setup, step), *_fuse(setup, step)]
    return " ".join([*sentences, *opens(setup, step), *_leads(setup, step)])


def states_text(setup: SessionSetup, step: Step) -> str:
    """How the states that it needs are brought about, where the file tells; else empty."""
    told = (wording_in(setup.procedure, need.condition, need.state).how for need in step.needs)
    return " ".join(setup.book("inform.how", how=how) for how in told if how)


def _leads(setup: SessionSetup, step: Step) -> Iterator[str]:
    """Which lead goes where, of a voltage between two places."""
    if step.kind not in _AFTER_THE or step.unit is None or step.unit.quantity != "voltage":
        return
    if _POSTS.match(step.text):
        yield setup.book("range.posts")
    elif held := _BETWEEN.match(step.text):
        yield setup.book("range.leads", red=held[1], black=held[2])


def points_text(setup: SessionSetup, step: Step) -> str:
    """Where its test points are; empty for none."""
    return " ".join(_where(setup, step.points))


def explanation(setup: SessionSetup, session: Session, step: Step) -> str:
    """All there is to tell of the step: where, how, why, and what each result would mean."""
    about = (how_text(setup, step), states_text(setup, step))
    parts = [*about, *_why(setup, step), *meanings(setup, session, step)]
    return " ".join(part for part in parts if part)


def limit_text(setup: SessionSetup, session: Session, step: Step) -> str:
    """The step's limit in words; empty when it has none.

    Raises:
        MeasureError: a reading it needs has not been taken.
    """
    if step.bright_enough:
        return show_lamps(step.bright_enough, setup.book)
    if step.sweep is not None:
        return show_sweep(step.sweep, setup.book)
    filled = limit_now(setup, session, step)
    return show_limit(filled.limit, setup.book) if filled else ""


def limit_if_known(setup: SessionSetup, session: Session, step: Step) -> str:
    """The step's limit in words; empty as well when a reading it needs has not been taken."""
    try:
        return limit_text(setup, session, step)
    except MeasureError:
        return ""


def source_text(setup: SessionSetup, step: Step) -> str:
    """Where the step's limit comes from, and what to do when the maker's value is wanted."""
    said = setup.book("limit.source", source=step.source)
    if step.source.kind is SourceKind.MAKER and not step.source.name:
        return f"{said} {setup.book('limit.enter')}"
    return said


def meanings(setup: SessionSetup, session: Session, step: Step) -> tuple[str, ...]:
    """A sentence for each finding that a result but a pass leads to at once; none comes twice.

    A way that leads to another step is not told: its name says nothing to who hears it.
    """
    outcomes: dict[str, list[str]] = {}
    for key, to in step.routes.items():
        finding = setup.procedure.findings.get(to)
        if finding is not None and key != PASS and key not in IN_DOUBT:
            outcomes.setdefault(finding.cause, []).append(_outcome(setup, session, step, key))
    return tuple(
        setup.book("inform.meaning", outcome=setup.book.join("list.or", found), cause=cause)
        for cause, found in outcomes.items()
    )


def _brief(setup: SessionSetup, session: Session, step: Step) -> str:
    if step.kind in _NEVER_BY_NAME:
        return " ".join([_wish(setup, session, step), *_fuse(setup, step)])
    name = spoken_name(step.name)
    if step.kind is Kind.LAMP and _LAMP_MARK not in session.explained:
        return setup.book("step.brief_lamp", name=name)
    if step.kind is Kind.LAMP:
        return setup.book("step.brief", name=name)
    return setup.book("step.brief", name=name) if _judged(step) else _wish(setup, session, step)


def _judged(step: Step) -> bool:
    return step.limit is not None or step.sweep is not None


def _wish(setup: SessionSetup, session: Session, step: Step) -> str:
    text = step.text
    if step.kind in _AFTER_THE and not step.fact:
        text = text.removeprefix("the ")
    if step.kind is Kind.ASK and session.wait_over:
        text = step.question
    if step.kind is Kind.IDENTIFY:
        text = setup.book.plain(f"identifier.{step.text}")
    key = "fact" if step.fact and step.kind is Kind.MEASURE else step.kind.value
    if step.kind is Kind.LAMP and _LAMP_MARK in session.explained:
        key = "lamp_again"
    if step.kind is Kind.WAIT and _WAIT_MARK in session.explained:
        key = "wait_again"
    if key == "measure" and session.has_practised("reading", once=True):
        key = "measure_again"
    if step.kind is Kind.DO and session.has_practised("done", once=True):
        key = "do_again"
    parts = [setup.book(f"step.{key}", text=text, time=show_time(setup, step.wait_s))]
    if step.steady is not None:
        again = "_again" if _STEADY_MARK in session.explained else ""
        parts.append(setup.book(f"step.steady{again}"))
    return " ".join(parts)


def _where(setup: SessionSetup, points: list[Point] | tuple[Point, ...]) -> list[str]:
    return [setup.book("step.point", name=p.name, where=p.where) for p in points]


def _how(setup: SessionSetup, step: Step) -> list[str]:
    return [setup.book("inform.how", how=step.how)] if step.how else []


def _why(setup: SessionSetup, step: Step) -> list[str]:
    return [setup.book("inform.why", why=step.why)] if step.why else []


def _fuse(setup: SessionSetup, step: Step) -> list[str]:
    colour = fuse_colour(step.fuse) if step.fuse is not None else None
    return [setup.book("step.fuse", rating=step.fuse, colour=colour)] if colour else []


def band(setup: SessionSetup, session: Session, rule: LimitExpression) -> str:
    """A band of readings in words, with the values that it hangs on where they are known."""
    try:
        filled = fill(rule, estimates(setup, session, rule.names))
    except MeasureError:
        return rule.text
    return show_limit(filled.limit, setup.book)


def _outcome(setup: SessionSetup, session: Session, step: Step, key: str) -> str:
    """An outcome in words: "too low", "dim", "no", or a procedure's own answer."""
    if key in step.bands:
        return band(setup, session, step.bands[key])
    own = [r.phrases[0] for r in step.replies if r.name == key and r.phrases]
    if own:
        return own[0]
    return setup.book.plain(f"outcome.{key}")

"""Questions in people's own words. None of these moves the job."""

from collections.abc import Sequence

from voiceassist.measure.units import Unit
from voiceassist.procedure.model import Kind
from voiceassist.procedure.parts.clamp import CLAMP
from voiceassist.session.actions.alone import alone
from voiceassist.session.actions.details import detail, tools
from voiceassist.session.actions.enter import asked
from voiceassist.session.actions.inform import how, read_back
from voiceassist.session.actions.metering import MEASURED
from voiceassist.session.actions.not_heard import tell
from voiceassist.session.actions.places import elsewhere, place
from voiceassist.session.actions.stuck import stuck
from voiceassist.session.actions.times import named_time
from voiceassist.session.closing import because_lines
from voiceassist.session.events import Event, Heard, about_of
from voiceassist.session.naming import (
    ALONE,
    ASKED,
    DROPPED,
    METER,
    MINUS,
    PLACE,
    STUCK,
    TIME,
    WORD,
    step_called,
    where_is,
)
from voiceassist.session.outputs import Output, Say
from voiceassist.session.session import Result, Session, SessionSetup, Turn
from voiceassist.session.shown import spoken_name
from voiceassist.session.states import State

#: What is asked that is no detail of the step.
_OTHERWISE = {
    f"{ASKED}{STUCK}": stuck,
    f"{ASKED}{TIME}": named_time,
    f"{ASKED}{PLACE}": place,
    f"{ASKED}{ALONE}": alone,
}
#: What is told of the meter that one sentence answers.
_OF_METER = {
    f"{ASKED}{METER}": "asked.meter",
    f"{ASKED}{MINUS}": "swap.leads",
    f"{ASKED}{DROPPED}": "asked.dropped",
}
_CLAMP, _CLAMP_METER = "clamp", "clamp-meter"
#: Quantities that the multimeter itself reads.
_BY_METER = frozenset({"voltage", "current", "resistance"})


def read_one(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """One earlier reading, by the name of its step or test point."""
    name = about_of(event)
    step = step_called(setup.procedure, session, name)
    result = session.latest(step) if step else None
    if result is None:
        return tell(setup, session, "asked.not_measured", name=spoken_name(name))
    return _read(setup, session, result)


def read_last(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The last reading that counts."""
    given = [r for r in session.ledger if not r.superseded and r.outcome != "done"]
    return _read(setup, session, given[-1]) if given else read_back(setup, session, event)


def _read(setup: SessionSetup, session: Session, result: Result) -> Turn:
    return tell(setup, session, "asked.was", step=spoken_name(result.step), shown=result.shown)


def how_or_where(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """How to go about the step; where another place is, if that is named in a question."""
    said = event.words if isinstance(event, Heard) else ""
    asking = set(setup.book.plain("data.where_asking").split())
    clauses = (clause for clause in said.split(",") if asking & set(clause.lower().split()))
    words = next(clauses, "")
    return (elsewhere(setup, session, words) if words else None) or how(setup, session)


def how_of(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Where a test point is, by its name; a detail of the step; or what a word means."""
    name = about_of(event)
    if name.startswith(ASKED):
        words = event.words if isinstance(event, Heard) else ""
        if name in _OTHERWISE:
            return _OTHERWISE[name](setup, session, event)
        if name in _OF_METER:
            return tell(setup, session, _OF_METER[name])
        return detail(setup, session, name.removeprefix(ASKED), words)
    if name.startswith(WORD):
        return _meant_by(setup, session, name.removeprefix(WORD))
    where = where_is(setup.procedure, name)
    if not where:
        return how_or_where(setup, session, event)
    return tell(setup, session, "step.point", name=name, where=where)


def _meant_by(setup: SessionSetup, session: Session, word: str) -> Turn:
    """What a word of the trade means, and where that is on this vehicle.

    Where the current is read by a clamp, that is what a clamp is.
    """
    step = setup.step(session)
    if word == _CLAMP and any(need.condition == CLAMP for need in step.needs):
        word = _CLAMP_METER
    name = word.replace("-", " ")
    where = where_is(setup.procedure, name)
    place = (setup.book("step.point", name=name, where=where),) if where else ()
    text = " ".join((setup.book(f"word.{word}"), *place))
    return Turn(session, (Say(step=session.step, text=text),))


def unsafe(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Why what is about to be done must not be, and what is wanted; no caution is heeded by it."""
    reason = setup.book(f"unsafe.{about_of(event) or 'any'}")
    paused = session.state is State.STAND_BY
    awaited = setup.book("unsafe.paused") if paused else asked(session)
    return Turn(session, (Say(step=session.step, text=f"{reason} {awaited}".rstrip()),))


def tool(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """What this step takes, then the tools of the procedure; whether a bulb does for the lamp."""
    if instead := _for_the_lamp(setup, event):
        return tell(setup, session, instead[0], lamp=instead[1])
    step = setup.step(session)
    own = tools(setup, session)
    said: list[Output] = [Say(step=step.name, text=own)] if own else []
    key = _tool_key(step.kind, step.unit)
    if key:
        said.append(Say(step=step.name, text=setup.book(key)))
    if setup.procedure.tools:
        listed = setup.book.join("list.and", _each_once(setup.procedure.tools))
        said.append(Say(step=step.name, text=setup.book("tool.all", tools=listed)))
    return Turn(session, tuple(said)) if said else tell(setup, session, "inform.no_how")


def _for_the_lamp(setup: SessionSetup, event: Event) -> tuple[str, str] | None:
    """The answer, and the lamp that the procedure names, where it is asked what does for it.

    Any filament lamp of that power loads a wire as much: common practice, no source.
    """
    said = event.words.lower().strip(" ?.!").split() if isinstance(event, Heard) else []
    if not set(setup.book.plain("tool.instead_asking").split()) & set(said):
        return None
    named = setup.book.plain("tool.lamp_named")
    lamp = next((tool for tool in setup.procedure.tools if tool.startswith(named)), "")
    return ("tool.bulb" if lamp else "tool.no_lamp"), lamp


def _each_once(tools: Sequence[str]) -> list[str]:
    """``tools`` without a plain one that another tells more of: "multimeter with long leads"."""
    return [
        tool for tool in tools if not any(o != tool and o.startswith(f"{tool} ") for o in tools)
    ]


def _tool_key(kind: Kind, unit: Unit | None) -> str:
    if kind is Kind.LAMP:
        return "tool.lamp"
    return "tool.meter" if kind in MEASURED and unit and unit.quantity in _BY_METER else ""


def cause_so_far(setup: SessionSetup, session: Session) -> Turn:
    """What is known of the cause so far, and what it stands on."""
    finding = setup.procedure.findings.get(session.finding)
    if finding is None:
        failed = [r for r in session.ledger if not r.superseded and not r.passed and r.limit]
        if not failed:
            return tell(setup, session, "cause.unknown")
        last = failed[-1]
        shown = f"{spoken_name(last.step)} {last.shown}"
        return tell(setup, session, "cause.hint", reading=shown)
    because = ". ".join(because_lines(session, finding))
    key = "cause.suspected" if session.suspected else "cause.found"
    text = setup.book(key, cause=finding.cause)
    if because:
        text = f"{text} {setup.book('finding.because', readings=because)}"
    return Turn(session, (Say(step=session.step, text=text),))

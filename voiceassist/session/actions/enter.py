"""Coming to a step: its cautions first, then what to change, then what it wants."""

from dataclasses import replace

from voiceassist.language.meanings import Command, Correction
from voiceassist.language.phrasebook import capitalised
from voiceassist.measure.limit import Verdict
from voiceassist.procedure.model import Caution, Kind, Need, Step
from voiceassist.session.events import Event, Heard
from voiceassist.session.outputs import (
    Ask,
    CautionAcknowledged,
    CautionSpoken,
    ConditionChange,
    Output,
    Say,
    VerdictGiven,
)
from voiceassist.session.session import Desk, Detail, Session, Turn
from voiceassist.session.shown import show
from voiceassist.session.states import State

_STATE_OF = {
    Kind.MEASURE: State.MEASURE,
    Kind.LAMP: State.LAMP,
    Kind.ASK: State.ASK,
    Kind.IDENTIFY: State.IDENTIFY,
    Kind.DO: State.DO,
}


#: Commands that *help* tells, the most useful first.
_TOLD = (
    *("repeat", "why", "how", "limit", "go-back", "skip", "read-back", "disregard", "note"),
    *("stand-by", "finish"),
)


def enter(desk: Desk, session: Session, name: str) -> Turn:
    """Come to the step ``name``."""
    session = replace(session, step=name, pending=(), correcting=False, resume=None, abandon=None)
    step = desk.step(session)
    spoken = caution_outputs(desk, session, step)
    if any(caution.acknowledge for caution in spoken):
        ask = Ask(step=name, text=desk.book("caution.acknowledge"))
        prompt: tuple[Output, ...] = (*spoken, ask)
        return Turn(replace(session, state=State.CAUTION, prompt=prompt), prompt)
    return Turn(session, spoken).then(prepare(desk, session))


def caution_outputs(desk: Desk, session: Session, step: Step) -> tuple[CautionSpoken, ...]:
    """The step's cautions; those still to be acknowledged are marked."""
    return tuple(
        CautionSpoken(
            step=step.name,
            text=desk.book(
                "caution.text", signal=c.signal.value, hazard=c.hazard, avoid=capitalised(c.avoid)
            ),
            name=c.name,
            signal=c.signal.value,
            acknowledge=_must_acknowledge(c, session),
        )
        for c in step.cautions
    )


def _must_acknowledge(caution: Caution, session: Session) -> bool:
    return caution.signal.must_be_acknowledged and caution.name not in session.acknowledged


def prepare(desk: Desk, session: Session) -> Turn:
    """Ask for the changes that the step needs; with none, ask for its answer."""
    changes = open_changes(desk, session)
    if not changes:
        return prompt_step(desk, session)
    ask = Ask(step=session.step, text=desk.book("condition.done"))
    prompt: tuple[Output, ...] = (*changes, ask)
    return Turn(replace(session, state=State.CONDITION, prompt=prompt), prompt)


def open_changes(desk: Desk, session: Session) -> tuple[ConditionChange, ...]:
    """The changes the step needs that are not known to hold."""
    return tuple(
        ConditionChange(
            step=session.step,
            text=desk.book("condition.change", instruction=need.instruction),
            name=need.condition,
            state=need.state,
            met=False,
        )
        for need in open_needs(desk, session)
    )


def open_needs(desk: Desk, session: Session) -> tuple[Need, ...]:
    """What the step needs that is not known to hold."""
    needs = desk.step(session).needs
    return tuple(n for n in needs if session.condition(n.condition) != n.state)


def prompt_step(desk: Desk, session: Session) -> Turn:
    """Ask for the step's answer."""
    step = desk.step(session)
    ask = Ask(step=step.name, text=step_text(desk, step))
    prompt = (*caution_outputs(desk, session, step), ask)
    return Turn(replace(session, state=_STATE_OF[step.kind], prompt=prompt), (ask,))


def step_text(desk: Desk, step: Step) -> str:
    """What the step wants, at the wanted level of detail."""
    book, brief = desk.book, desk.detail is Detail.BRIEF
    text = book.plain(f"identifier.{step.text}") if step.kind is Kind.IDENTIFY else step.text
    key = "brief" if brief and step.kind is Kind.MEASURE else step.kind.value
    parts = [book(f"step.{key}", text=text)]
    if not brief:
        parts += [book("step.point", name=p.name, where=p.where) for p in step.points]
        parts += [book("inform.how", how=step.how)] if step.how else []
    if desk.detail is Detail.TEACHING and step.why:
        parts.append(book("inform.why", why=step.why))
    return " ".join(parts)


# --- actions ---


def acknowledge(desk: Desk, session: Session, event: Event) -> Turn:
    """The technician has understood the caution."""
    names = tuple(caution.name for caution in desk.step(session).cautions)
    session = replace(session, acknowledged=session.acknowledged | set(names))
    given = CautionAcknowledged(step=session.step, text="", names=names)
    return Turn(session, (given,)).then(prepare(desk, session))


def conditions_met(desk: Desk, session: Session, event: Event) -> Turn:
    """The changes are made."""
    met = tuple(
        ConditionChange(step=c.step, name=c.name, state=c.state, met=True)
        for c in open_changes(desk, session)
    )
    session = session.with_conditions(tuple((c.name, c.state) for c in met))
    return Turn(session, met).then(prompt_step(desk, session))


def too_early(desk: Desk, session: Session, event: Event) -> Turn:
    """A value came before its caution or its condition was settled: it does not count."""
    assert isinstance(event, Heard)
    first = event.meanings[0]
    meaning = first.meaning if isinstance(first, Correction) else first
    if session.state is State.CAUTION:
        text = desk.book("condition.first_caution")
    else:
        changes = desk.book.join("list.and", (n.instruction for n in open_needs(desk, session)))
        text = desk.book("condition.first", changes=changes)
    verdict = VerdictGiven(
        step=session.step,
        text=text,
        reading=show(meaning, desk.step(session), desk.book),
        limit="",
        verdict=Verdict.NOT_VALID.value,
    )
    return Turn(session, (verdict,))


def not_expected(desk: Desk, session: Session, event: Event) -> Turn:
    """It means something, but nothing here: say what is awaited."""
    prompt = " ".join(output.text for output in session.prompt if isinstance(output, Ask))
    return Turn(
        session, (Say(step=session.step, text=desk.book("nothing.expected", prompt=prompt)),)
    )


def repeat(desk: Desk, session: Session, event: Event) -> Turn:
    """Say the last prompt again, its cautions first."""
    return Turn(session, session.prompt)


def help_now(desk: Desk, session: Session, event: Event) -> Turn:
    """Tell what is awaited here, then what can be said at any time."""
    asked = tuple(output for output in session.prompt if isinstance(output, Ask))
    words = desk.book.join("list.or", (desk.book.say(Command(n)) for n in _TOLD))
    return Turn(
        session, (*asked, Say(step=session.step, text=desk.book("inform.help", options=words)))
    )

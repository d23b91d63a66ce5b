"""Coming to a step: its cautions first, then what to change, then what it wants."""

from voiceassist.language.meanings import Correction
from voiceassist.language.phrasebook import capitalised
from voiceassist.measure.limit import Verdict
from voiceassist.procedure.model import Caution, Kind, Need, Step
from voiceassist.session.copying import replace
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
from voiceassist.session.plan import changes
from voiceassist.session.session import Desk, Session, Turn
from voiceassist.session.shown import show
from voiceassist.session.states import State
from voiceassist.session.worded import step_text

STATE_OF = {
    Kind.MEASURE: State.MEASURE,
    Kind.COUNT: State.MEASURE,
    Kind.SWEEP: State.SWEEP,
    Kind.LAMP: State.LAMP,
    Kind.ASK: State.ASK,
    Kind.IDENTIFY: State.IDENTIFY,
    Kind.COMPUTE: State.COMPUTE,
    Kind.WAIT: State.WAIT,
    Kind.DO: State.DO,
}


def enter(desk: Desk, session: Session, name: str) -> Turn:
    """Come to the step ``name``."""
    session = replace(session.settled, step=name)
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
                "caution.authorised" if c.only_authorised else "caution.text",
                signal=c.signal.value,
                hazard=c.hazard,
                avoid=capitalised(c.avoid),
            ),
            name=c.name,
            signal=c.signal.value,
            hazard=c.hazard,
            acknowledge=_must_acknowledge(c, session),
        )
        for c in step.cautions
    )


def _must_acknowledge(caution: Caution, session: Session) -> bool:
    return caution.signal.must_be_acknowledged and caution.name not in session.acknowledged


def prepare(desk: Desk, session: Session) -> Turn:
    """Ask for the changes that the step needs; with none, ask for its answer."""
    to_make = open_changes(desk, session)
    if not to_make:
        return prompt_step(desk, session)
    ask = Ask(step=session.step, text=desk.book("condition.done"))
    cautions = caution_outputs(desk, session, desk.step(session))
    waiting = replace(session, state=State.CONDITION, prompt=(*cautions, *to_make, ask))
    return Turn(waiting, (*to_make, ask))


def open_changes(desk: Desk, session: Session) -> tuple[ConditionChange, ...]:
    """The changes the step needs, in a safe order."""
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
    """What has to be changed for the step, in a safe order."""
    needs = desk.step(session).needs
    procedure = desk.procedure
    return changes(needs, session.conditions, procedure.before_changing, procedure.conditions)


def prompt_step(desk: Desk, session: Session) -> Turn:
    """Ask for the step's answer."""
    step = desk.step(session)
    ask = Ask(step=step.name, text=step_text(desk, session, step), picture=step.picture)
    prompt = (*caution_outputs(desk, session, step), ask)
    asked = replace(
        session,
        state=STATE_OF[step.kind],
        prompt=prompt,
        told=session.told | {point.name for point in step.points},
        since_s=session.now_s,
    )
    return Turn(asked, (ask,))


# --- actions ---


def acknowledge(desk: Desk, session: Session, event: Event) -> Turn:
    """The technician has understood the caution."""
    names = tuple(caution.name for caution in desk.step(session).cautions)
    session = replace(session, acknowledged=session.acknowledged | set(names))
    given = CautionAcknowledged(step=session.step, text="", names=names)
    return Turn(session, (given,)).then(prepare(desk, session))


def caution_refused(desk: Desk, session: Session, event: Event) -> Turn:
    """The technician does not accept the caution: the step does not begin."""
    gated = any(caution.only_authorised for caution in desk.step(session).cautions)
    key = "caution.not_authorised" if gated else "caution.refused"
    return Turn(session, (Say(step=session.step, text=desk.book(key)),))


def conditions_met(desk: Desk, session: Session, event: Event) -> Turn:
    """The changes are made."""
    met = tuple(
        ConditionChange(step=c.step, name=c.name, state=c.state, met=True)
        for c in open_changes(desk, session)
    )
    changed = session.with_conditions(tuple((c.name, c.state) for c in met))
    changed = replace(changed, under=None)
    return Turn(changed, met).then(prompt_step(desk, changed))


def stand_again(desk: Desk, session: Session) -> Turn:
    """Back at a step that was left for a while: what it needs is brought about, if it must be."""
    if session.state not in STATE_OF.values() or session.state is State.WAIT:
        return Turn(session, session.prompt)
    if open_needs(desk, session):
        return prepare(desk, session)
    return prompt_step(desk, session)


def too_early(desk: Desk, session: Session, event: Event) -> Turn:
    """A value came before its caution or its condition was settled: it does not count."""
    assert isinstance(event, Heard)
    first = event.meanings[0]
    meaning = first.meaning if isinstance(first, Correction) else first
    if session.state is State.CAUTION:
        text = desk.book("condition.first_caution")
    else:
        to_make = desk.book.join("list.and", (n.instruction for n in open_needs(desk, session)))
        text = desk.book("condition.first", changes=to_make)
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

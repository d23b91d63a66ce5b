"""Coming to a step: its cautions first, then what to change, then what it wants."""

from collections.abc import Iterable, Mapping

from voiceassist.language.phrasebook import capitalised
from voiceassist.procedure.model import Kind, Need, Procedure
from voiceassist.procedure.parts.clamp import CLAMP, place_of, with_clamp_off
from voiceassist.procedure.parts.leads import LEADS, VOLTS, with_leads_back
from voiceassist.session.carried import Offer, offer
from voiceassist.session.copying import replace
from voiceassist.session.events import Event
from voiceassist.session.outputs import Ask, ConditionChange, Output, Say
from voiceassist.session.plan import changes
from voiceassist.session.session import Detail, Session, SessionSetup, Turn
from voiceassist.session.shown import spoken_name
from voiceassist.session.states import State
from voiceassist.session.waits import due_again
from voiceassist.session.warning import as_needed, in_full, warned_of
from voiceassist.session.worded import limit_if_known, step_text, told_with

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

#: Words that may be said in one breath: changes and the reading that follows. Common practice.
ONE_BREATH = 40

#: What is practised when a carried reading is affirmed.
CARRIED = "carried"
#: Kinds of step whose changes are asked for together with their answer.
_AT_ONCE = frozenset({Kind.MEASURE, Kind.COUNT, Kind.LAMP, Kind.ASK, Kind.DO})
_ASKED_AT_ONCE = frozenset(STATE_OF[kind] for kind in _AT_ONCE)


def enter(setup: SessionSetup, session: Session, name: str) -> Turn:
    """Come to the step ``name``."""
    returning = session.returning if setup.procedure.step(name).kind is Kind.WAIT else ""
    session = replace(session.settled, step=name, returning=returning)
    offered = offer(setup, session)
    return measure(setup, session) if offered is None else _still_so(setup, session, offered)


def _still_so(setup: SessionSetup, session: Session, offered: Offer) -> Turn:
    """Ask whether a reading of an earlier part of the job still holds."""
    key = "carried.too" if session.has_practised(CARRIED, once=True) else "carried.ask"
    step, job = capitalised(spoken_name(session.step)), spoken_name(offered.carried.job)
    text = setup.book(key, step=step, shown=offered.shown, job=job)
    ask = Ask(step=session.step, text=text)
    return Turn(replace(session, state=State.CARRIED, prompt=(ask,)), (ask,))


def measure(setup: SessionSetup, session: Session) -> Turn:
    """Begin the step at hand: its cautions first."""
    name, step = session.step, setup.step(session)
    spoken = as_needed(setup, session, step, open_needs(setup, session))
    if any(caution.acknowledge for caution in spoken):
        ask = Ask(step=name, text=setup.book("caution.acknowledge"))
        prompt: tuple[Output, ...] = (*in_full(setup, session, step), ask)
        waiting = replace(session, state=State.CAUTION, prompt=prompt)
        return Turn(waiting, (*spoken, in_short(setup, session, ask, "affirm")))
    return Turn(session, spoken).then(prepare(setup, session))


def in_short(setup: SessionSetup, session: Session, ask: Ask, answer: str) -> Ask:
    """``ask`` shorter once its plain ``answer`` was given; a caution that waits tells so."""
    again = session.has_practised(answer, once=True)
    return replace(ask, text=setup.book(f"again.{answer}")) if again else ask


def prepare(setup: SessionSetup, session: Session) -> Turn:
    """Ask for the changes that the step needs; with none, ask for its answer.

    Changes and an answer are asked for in one breath where that is short: the answer then says
    that the changes were made.
    """
    to_make = open_changes(setup, session)
    if not to_make:
        return when_ready(setup, session)
    first = _before(setup, session)
    ready = prompt_step(setup, session)
    after = session.with_conditions(tuple((c.name, c.state) for c in to_make))
    given = (*first, *to_make, *ready.outputs)
    if not due_again(setup, after) and _in_one_breath(setup, session, given):
        prompt = (*in_full(setup, session, setup.step(session)), *given)
        return Turn(replace(ready.session, prompt=prompt), given)
    ask = Ask(step=session.step, text=setup.book("condition.done"))
    cautions = in_full(setup, session, setup.step(session))
    waiting = replace(session, state=State.CONDITION, prompt=(*cautions, *first, *to_make, ask))
    told = in_short(setup, session, ask, "done")
    told = replace(told, text="") if session.has_practised("done") else told
    return Turn(waiting, (*first, *to_make, told))


def _before(setup: SessionSetup, session: Session) -> tuple[Output, ...]:
    """What is done ahead of the changes."""
    text = setup.step(session).before
    return (Say(step=session.step, text=setup.book("step.before", text=text)),) if text else ()


def when_ready(setup: SessionSetup, session: Session) -> Turn:
    """Ask for the step's answer, once a wait that was broken has come again."""
    due = due_again(setup, session)
    if not due:
        return prompt_step(setup, session)
    said = Say(step=session.step, text=setup.book("wait.again"))
    waiting = replace(session, returning=session.step)
    return Turn(waiting, (said,)).then(enter(setup, waiting, due))


def _in_one_breath(setup: SessionSetup, session: Session, spoken: tuple[Output, ...]) -> bool:
    """True when changes and reading can be asked for at once; a trainee gets one after another."""
    words = sum(len(output.text.split()) for output in spoken)
    instrument = setup.step(session).kind in _AT_ONCE
    return instrument and words <= ONE_BREATH and setup.detail is not Detail.TEACHING


def unmade(setup: SessionSetup, session: Session) -> tuple[ConditionChange, ...]:
    """Changes that were asked for together with the step's answer, and are not told as made."""
    asked = {o.name for o in session.prompt if isinstance(o, ConditionChange)}
    if not asked or session.state not in _ASKED_AT_ONCE:
        return ()
    return tuple(change for change in open_changes(setup, session) if change.name in asked)


def as_made(setup: SessionSetup, session: Session, *, said: bool = False) -> Turn:
    """What was asked for together with the step's answer counts as made, since that came.

    ``said`` when the answer is the word that it is done.
    """
    made = tuple(replace(c, text="", met=True) for c in unmade(setup, session))
    if not made:
        return Turn(session)
    changed = session.with_conditions(tuple((c.name, c.state) for c in made), said=said)
    return Turn(warned_of(replace(changed, corrected_conditions=None), setup.step(session)), made)


def clamped(setup: SessionSetup, session: Session) -> Turn:
    """The clamp is around the wire whose current was read there."""
    place = place_of(setup.step(session))
    if not place or session.condition(CLAMP) == place:
        return Turn(session)
    change = ConditionChange(step=session.step, name=CLAMP, state=place, met=True)
    return Turn(session.with_conditions(((CLAMP, place),)), (change,))


def open_changes(setup: SessionSetup, session: Session) -> tuple[ConditionChange, ...]:
    """The changes the step needs, in a safe order."""
    return to_bring_about(setup, session, open_needs(setup, session))


def to_bring_about(
    setup: SessionSetup, session: Session, needs: Iterable[Need]
) -> tuple[ConditionChange, ...]:
    """What to say of each of ``needs`` that does not hold yet."""
    return tuple(
        ConditionChange(
            step=session.step,
            text=setup.book("condition.change", instruction=need.instruction),
            name=need.condition,
            state=need.state,
            met=False,
        )
        for need in needs
    )


def open_needs(setup: SessionSetup, session: Session) -> tuple[Need, ...]:
    """What has to be changed for the step, in a safe order."""
    procedure, step = setup.procedure, setup.step(session)
    if session.condition(LEADS) not in {"", VOLTS}:
        step = with_leads_back(step, procedure.conditions, procedure.before_changing)
    is_repair = step.name in procedure.repairs
    at = session.condition(CLAMP)
    step = with_clamp_off(step, at, procedure.conditions, is_repair=is_repair)
    needs = [need for need in step.needs if not need.momentary]
    back = _at_rest_only(procedure) if is_repair else procedure.conditions
    return changes(needs, session.conditions, procedure.before_changing, back)


def _at_rest_only(procedure: Procedure) -> Mapping[str, Mapping[str, str]]:
    """What may be put back on the way to a repair: no load or key that was switched off for it."""
    rest = procedure.at_rest
    return {
        name: {state: text for state, text in states.items() if state == rest.get(name)}
        for name, states in procedure.conditions.items()
    }


def prompt_step(setup: SessionSetup, session: Session) -> Turn:
    """Ask for the step's answer."""
    step = setup.step(session)
    ask = Ask(
        step=step.name,
        text=step_text(setup, session, step),
        picture=step.picture,
        limit=limit_if_known(setup, session, step),
    )
    prompt = (*in_full(setup, session, step), ask)
    asked = replace(
        warned_of(session, step),
        state=STATE_OF[step.kind],
        prompt=prompt,
        explained=session.explained | told_with(setup, step),
        since_s=session.now_s,
    )
    return Turn(asked, (ask,))


def stand_again(setup: SessionSetup, session: Session) -> Turn:
    """Back at a step that was left for a while: what it needs is brought about, if it must be."""
    if session.state not in STATE_OF.values():
        return Turn(session, session.prompt)
    if open_needs(setup, session):
        return prepare(setup, session)
    return (
        Turn(session, session.prompt) if session.state is State.WAIT else when_ready(setup, session)
    )


def not_expected(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """It means something, but nothing here: say what is awaited."""
    return _told(setup, session, "nothing.expected")


def _told(setup: SessionSetup, session: Session, key: str) -> Turn:
    """The sentence ``key``, with what is awaited."""
    return Turn(session, (Say(step=session.step, text=setup.book(key, prompt=asked(session))),))


def asked(session: Session) -> str:
    """What was asked last."""
    return " ".join(output.text for output in session.prompt if isinstance(output, Ask))


def repeat(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Say the last prompt again, its cautions first, and more of a step than its name."""
    if setup.detail is not Detail.BRIEF:
        return Turn(session, session.prompt)
    step = setup.step(session)
    name = step_text(setup, session, step)
    whole = step_text(replace(setup, detail=Detail.NORMAL), session, step)
    again = [
        replace(each, text=whole) if isinstance(each, Ask) and each.text == name else each
        for each in session.prompt
    ]
    return Turn(session, tuple(again))

"""The vehicle is not as it was believed to be: he forgot a change, or tells its state."""

from collections.abc import Iterable, Mapping

from voiceassist.language.meanings import Command, Meaning
from voiceassist.language.phrasebook import capitalised
from voiceassist.measure.limit import Verdict
from voiceassist.procedure.parts.asking import wording_in
from voiceassist.session.actions.confirm import ask_which, made_as_asked
from voiceassist.session.actions.enter import (
    enter,
    not_expected,
    open_changes,
    open_needs,
    prepare,
    stand_again,
)
from voiceassist.session.actions.made_ready import what_comes_first
from voiceassist.session.copying import replace
from voiceassist.session.earlier import restore
from voiceassist.session.events import Event, Heard, meaning_of
from voiceassist.session.naming import IN_STATE, READ_SO
from voiceassist.session.outputs import (
    ConditionChange,
    FindingWithdrawn,
    Output,
    Say,
    VerdictGiven,
    Withdrawn,
)
from voiceassist.session.session import Session, SessionSetup, Turn
from voiceassist.session.shown import show, spoken_name
from voiceassist.session.spoilt import last_needing, taken_without
from voiceassist.session.states import AT_A_STEP, State
from voiceassist.session.unknown import unknown
from voiceassist.session.unlike import unlike_asked


def forgot(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """A change was not made, or a state is told: what the step needs is brought about anew."""
    meaning = meaning_of(event)
    assert isinstance(meaning, Command)
    if meaning.about.startswith(READ_SO):
        return _take_back(setup, session, event, meaning.about.removeprefix(READ_SO))
    if IN_STATE in meaning.about:
        return _tell(setup, session, event, _states((meaning,)))
    if session.state is State.CONFIRM:  # that explains the doubtful value, which counts no more
        return _again(setup, session.undisturbed.keeping(session))
    if session.state not in AT_A_STEP:
        return not_expected(setup, session, event)
    return _again(setup, session)


def told_with_value(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Of several meanings, states that are told, with a value or without.

    The value counts unless the step is read in another state.
    """
    assert isinstance(event, Heard)
    told = [m for m in event.meanings if isinstance(m, Command) and IN_STATE in m.about]
    states = _states(told)
    values = tuple(m for m in event.meanings if m not in told)
    if not states:
        return ask_which(setup, session, event)
    if not values:
        return _tell(setup, session, event, states)
    if unlike_asked(setup, session, states.items()):
        refused = _taken_otherwise(setup, session, values[0])
        of_vehicle = setup.procedure.conditions
        kept = {name: state for name, state in states.items() if state in of_vehicle.get(name, ())}
        return _tell(setup, session, event, kept, refused)
    known = Turn(session.with_conditions(tuple(states.items())), _new(session, states))
    return known.then(ask_which(setup, known.session, replace(event, meanings=values)))


def _take_back(setup: SessionSetup, session: Session, event: Event, name: str) -> Turn:
    """The last readings that hang on ``name`` were taken without: they are taken again."""
    first, need = taken_without(setup, session, name), last_needing(setup, session, name)
    if first is None or need is None:
        return not_expected(setup, session, event)
    earlier = restore(session, first).without_condition(name)
    gone = [r for r in session.ledger[len(first.ledger) :] if not r.superseded and not r.by_itself]
    named = dict.fromkeys(spoken_name(result.step) for result in gone)
    text = setup.book(
        "forgot.taken_back",
        steps=capitalised(setup.book.join("list.and", named)),
        denied=wording_in(setup.procedure, name, need.state).denied,
    )
    withdrawn: list[Output] = [Withdrawn(step=result.step) for result in gone]
    if session.finding:
        withdrawn.append(FindingWithdrawn(name=session.finding))
    said = Say(step=session.step, text=text)
    return Turn(earlier, (said, *withdrawn)).then(enter(setup, earlier, earlier.step))


def _states(told: Iterable[Command]) -> Mapping[str, str]:
    """Condition to state; what is told last of one stands."""
    return dict(one.about.split(IN_STATE) for one in told)


def _taken_otherwise(setup: SessionSetup, session: Session, value: Meaning) -> Output:
    """That a value told with such a state does not count."""
    at_caution = session.state is State.CAUTION
    text = what_comes_first(setup, session) if at_caution else setup.book("condition.other")
    shown = show(value, setup.step(session), setup.book)
    not_valid = Verdict.NOT_VALID.value
    return VerdictGiven(step=session.step, text=text, reading=shown, limit="", verdict=not_valid)


def _tell(
    setup: SessionSetup, session: Session, event: Event, states: Mapping[str, str], *first: Output
) -> Turn:
    """What follows from ``states`` that are told; ``first`` is said of a value that was with them.

    At a doubtful value they explain it, and it counts no more.
    """
    if session.state is State.CONFIRM:
        stood = session.undisturbed.keeping(session)
        told = _told(setup, stood, states, *first)
        return made_as_asked(setup, session, event) if told.session is stood else told
    if session.state not in AT_A_STEP:
        return not_expected(setup, session, event)
    return _told(setup, session, states, *first)


def _again(setup: SessionSetup, session: Session) -> Turn:
    """He does not say what: nothing that the step needs is taken to hold."""
    needed = [need.condition for need in setup.step(session).needs]
    lost = unknown(session, (name for name, _ in session.conditions if name in needed))
    kept = tuple(pair for pair in session.conditions if pair[0] not in needed)
    without = replace(session, conditions=kept)
    if session.state is State.CAUTION:
        return Turn(without, (*lost, *_then(setup, session), *without.prompt))
    if not needed:
        return Turn(without, _then(setup, session)).then(stand_again(setup, without))
    return Turn(without, (*lost, *_then(setup, session))).then(prepare(setup, without))


def _told(setup: SessionSetup, session: Session, states: Mapping[str, str], *first: Output) -> Turn:
    """The vehicle is told to be in ``states``: what is still needed is asked for."""
    new = _new(session, states)
    if not new and not first:
        needs = open_needs(setup, session)
        unlike = any(states.get(need.condition, need.state) != need.state for need in needs)
        text = setup.book("condition.not_so" if unlike else "inform.all_right")
        agreed = Turn(session, (Say(step=session.step, text=text),))
        asks = session.state is not State.CAUTION and needs
        return agreed.then(stand_again(setup, session)) if asks else agreed
    here = replace(session.with_conditions(tuple(states.items())), corrected_conditions=None)
    if session.state is State.CAUTION:
        return Turn(here, (*new, *(first or session.prompt)))
    if session.state is State.CONDITION:
        return Turn(here, (*new, *first)).then(prepare(setup, here))
    needs, changes = setup.step(session).needs, open_changes(setup, session)
    as_asked = {(n.condition, n.state) for n in needs} | {(c.name, c.state) for c in changes}
    slip = open_needs(setup, here) and not {(c.name, c.state) for c in new} <= as_asked
    said = first or (_then(setup, session) if slip else ())
    return Turn(here, (*new, *said)).then(stand_again(setup, here))


def _new(session: Session, states: Mapping[str, str]) -> tuple[ConditionChange, ...]:
    """Of ``states``, those that were not known."""
    return tuple(
        ConditionChange(step=session.step, name=name, state=state, met=True)
        for name, state in states.items()
        if session.condition(name) != state
    )


def _then(setup: SessionSetup, session: Session) -> tuple[Output, ...]:
    """What to do when a reading was taken meanwhile."""
    counted = [r for r in session.ledger if not r.superseded and r.outcome != "done"]
    return (Say(step=session.step, text=setup.book("forgot.read")),) if counted else ()

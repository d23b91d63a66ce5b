"""What people say instead of a value, a name or a reason of its own; and danger."""

from voiceassist.language.meanings import (
    Answer,
    Command,
    Correction,
    Lamp,
    OverRange,
    Reading,
    Spread,
)
from voiceassist.session.actions.back import skip_because
from voiceassist.session.actions.confirm import drop
from voiceassist.session.actions.enter import enter, not_expected
from voiceassist.session.actions.revise import asked_again, choices, pick
from voiceassist.session.actions.take import judge_and_weigh
from voiceassist.session.copying import replace
from voiceassist.session.events import Event, Heard, about_of, kind_of, meaning_of
from voiceassist.session.judge import fits
from voiceassist.session.naming import step_called
from voiceassist.session.outputs import (
    ConditionChange,
    DangerTold,
    DetailChanged,
    NoteTaken,
    Output,
    Say,
)
from voiceassist.session.session import Detail, Result, Session, SessionSetup, Turn
from voiceassist.session.skipping import why_not_skip
from voiceassist.session.states import State

_LEVELS = (Detail.BRIEF, Detail.NORMAL, Detail.TEACHING)


def _say(setup: SessionSetup, session: Session, key: str) -> Turn:
    return Turn(session, (Say(step=session.step, text=setup.book(key)),))


def take_same(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The same value as the last one of its kind."""
    meaning = next((m for r in reversed(session.ledger) if (m := _alike(setup, session, r))), None)
    if meaning is None:
        return _say(setup, session, "same.none")
    return judge_and_weigh(setup, session, meaning, event)


def _alike(
    setup: SessionSetup, session: Session, result: Result
) -> Reading | Spread | OverRange | Lamp | None:
    """What ``result`` was taken from, where the step now can take the same."""
    here, there = setup.step(session), setup.procedure.step(result.step)
    if result.superseded or here.kind is not there.kind or here.unit != there.unit:
        return None
    said = result.meaning
    return said if isinstance(said, Reading | Spread | OverRange | Lamp) else None


def skip_with_reason(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """To be skipped, and why, in one breath."""
    assert isinstance(event, Heard)
    meaning = meaning_of(event)
    at_step = session.at_step if session.state is State.SKIP else session
    refusal = why_not_skip(setup, at_step)
    if refusal:
        return _say(setup, session, refusal)
    assert isinstance(meaning, Command)
    because = replace(event, meanings=(Answer(meaning.about),))
    waiting = replace(at_step, state=State.SKIP, resume=at_step)
    return skip_because(setup, waiting, because)


def reopen_last(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The last reading was read or told wrongly: ask for its right value."""
    if session.swapped:  # which is what was wrong, and has been told
        return _say(setup, session, "forgotten.once_more")
    found = choices(setup, session) if not session.correcting else ()
    if not found:
        return _say(setup, session, "nothing.correct")
    assert isinstance(event, Heard)
    meaning = meaning_of(event)
    about = meaning.about if isinstance(meaning, Command) else ""
    named = step_called(setup.procedure, session, about) if about else ""
    step = named if named in {result.step for result in found} else found[0].step
    return pick(setup, session, replace(event, meanings=(Answer(step),)))


def mistaken(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The value that is asked about was wrong."""
    return drop(setup, session, event)


def correct_named(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Another value for an earlier reading, by its name, in one breath."""
    assert isinstance(event, Heard)
    first = event.meanings[0]
    assert isinstance(first, Correction)
    step = step_called(setup.procedure, session, first.of)
    result = next((r for r in choices(setup, session) if r.step == step), None)
    fitting = result is not None and fits(setup.procedure.step(result.step), first.meaning)
    if not fitting or session.correcting:
        return not_expected(setup, session, event)
    asked = pick(setup, session, replace(event, meanings=(Answer(step),)))
    turn = judge_and_weigh(setup, asked.session, first.meaning, event)
    refused = len(turn.session.ledger) == len(asked.session.ledger)
    if refused and turn.session.resume is None:  # the old value still counts
        return Turn(session, turn.outputs)
    return turn


def note_difference(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The vehicle is not as the procedure has it: keep his words, and warn."""
    assert isinstance(event, Heard)
    note = NoteTaken(
        step=session.step,
        text=setup.book("differs.noted"),
        words=event.words,
        verified=event.certain,
    )
    return Turn(session, (note,))


def change_detail(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Say less, or more, from now on."""
    less = kind_of(event).value == "less"
    index = _LEVELS.index(setup.detail) + (-1 if less else 1)
    level = _LEVELS[min(max(index, 0), len(_LEVELS) - 1)]
    changed = DetailChanged(
        step=session.step, text=setup.book(f"detail.{level.value}"), detail=level.value
    )
    return Turn(session.with_detail(level), (changed,))


def danger(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Something burns: the safe words at once, then wait; nothing of the vehicle is known now."""
    at_step = session.undisturbed
    act = setup.book(f"danger.{about_of(event) or 'act'}")
    told = DangerTold(step=session.step, text=act)
    outputs: list[Output] = [told]
    outputs += [
        ConditionChange(step=session.step, name=name, state="", met=False)
        for name, _ in at_step.conditions
    ]
    fresh = replace(at_step, conditions=(), acknowledged=frozenset())
    if fresh.state not in {State.OFFER, State.RETRY, State.AFTER, State.PUT_BACK, State.CLOSED}:
        fresh = enter(setup, fresh, fresh.step).session
    if session.correcting:  # the right value is still to be told
        fresh = asked_again(setup, fresh, session.step)
    paused = replace(
        fresh,
        state=State.STAND_BY,
        resume=fresh,
        pending=(),
        since_s=session.now_s,
        prompt=(told,),
    )
    return Turn(paused, tuple(outputs))

"""Correcting a reading: the last one at once, an earlier one by its name."""

from collections.abc import Sequence

from voiceassist.language.meanings import Correction, Meaning
from voiceassist.procedure.model import Kind
from voiceassist.session.actions.enter import STATE_OF, not_expected
from voiceassist.session.actions.slips import in_its_unit
from voiceassist.session.actions.take import ask_among, judge_and_weigh
from voiceassist.session.copying import replace
from voiceassist.session.earlier import restore
from voiceassist.session.events import Event, meaning_of
from voiceassist.session.judge import fits
from voiceassist.session.naming import step_called
from voiceassist.session.outputs import Ask, Say
from voiceassist.session.session import Result, Session, SessionSetup, Turn
from voiceassist.session.shown import spoken_name
from voiceassist.session.states import State

#: A result can be corrected only where it was given as an answer: not where its step was
#: skipped before its caution or condition was settled.
ANSWERED = frozenset({State.MEASURE, State.LAMP, State.ASK, State.IDENTIFY, State.SWEEP})

_NO_ANSWER = frozenset({Kind.DO, Kind.WAIT, Kind.COMPUTE})
_CORRECTABLE = frozenset({Kind.MEASURE, Kind.COUNT, Kind.SWEEP, Kind.LAMP, Kind.ASK, Kind.IDENTIFY})


def can_take(
    setup: SessionSetup, session: Session, earlier: Session | None, meaning: Meaning
) -> bool:
    """True when the result given at ``earlier`` was an answer that ``meaning`` can replace."""
    if earlier is None or earlier.state not in ANSWERED:
        return False
    first = _given_at(session, earlier)
    skipped = first is None or first.meaning is None
    return not skipped and fits(setup.step(earlier), meaning)


def _given_at(session: Session, earlier: Session) -> Result | None:
    """The result that counts and was given at ``earlier``."""
    given = session.ledger[len(earlier.ledger) :]
    return next((result for result in given if not result.superseded), None)


def replaced(
    setup: SessionSetup, session: Session, earlier: Session, meaning: Meaning, event: Event
) -> Turn:
    """``meaning`` in place of the result that was given at ``earlier``."""
    restored = reopened(session, earlier)
    turn = judge_and_weigh(setup, restored, in_its_place(session, earlier, meaning), event)
    refused = len(turn.session.ledger) == len(restored.ledger)
    if refused and turn.session.resume is None:  # the old value still counts
        return Turn(session, turn.outputs)
    return turn


def in_its_place(session: Session, earlier: Session, meaning: Meaning) -> Meaning:
    """``meaning`` in the unit of the value that was given at ``earlier``, where it has none."""
    given = _given_at(session, earlier)
    return in_its_unit(meaning, given.meaning) if given is not None else meaning


def last_answered(setup: SessionSetup, session: Session) -> Session | None:
    """The session as it stood before the last step that took an answer; None without one."""
    earlier = session.previous
    while earlier is not None and setup.step(earlier).kind in _NO_ANSWER:
        earlier = earlier.previous
    over_a_repair = earlier is not None and earlier.put_right != session.put_right
    return None if over_a_repair else earlier


def which_correction(
    setup: SessionSetup, session: Session, told: Sequence[Correction]
) -> Turn | None:
    """Ask which of several values is to replace the last answer; None when none fits it.

    They are for the step at hand, and not for the last answer, when something came between, and
    for an earlier one that they name.
    """
    meanings = [one.meaning for one in told]
    if named := told[0].of:
        return _which_of(setup, session, step_called(setup.procedure, session, named), meanings)
    earlier = last_answered(setup, session)
    here = session.state in ANSWERED and any(fits(setup.step(session), m) for m in meanings)
    if here and not session.lately:
        return None
    if earlier is None or earlier.state not in ANSWERED:
        return None
    fitting = [each for each in meanings if can_take(setup, session, earlier, each)]
    if not fitting:
        return None
    return ask_among(setup, reopened(session, earlier), fitting, "confirm.which")


def _which_of(
    setup: SessionSetup, session: Session, step: str, meanings: Sequence[Meaning]
) -> Turn | None:
    """The same of the reading of ``step``."""
    named = next((r for r in choices(setup, session) if r.step == step), None)
    earlier = _before(session, named) if named is not None else None
    fitting = [m for m in meanings if earlier and fits(setup.step(earlier), m)]
    if earlier is None or not fitting:
        return None
    return ask_among(setup, reopened(session, earlier), fitting, "confirm.which")


def reopened(session: Session, earlier: Session) -> Session:
    """The earlier session, open for another answer; ``abandon`` leads back to this one.

    Only the one result is put out of force; what came after it is judged again later.
    """
    restored = restore(session, earlier)
    given = _given_at(session, earlier)
    under = given.conditions if given is not None else None
    # What it asked for then does not hold now, and is not made by the new value.
    return replace(
        restored.settled,
        correcting=True,
        before_correction=session,
        corrected_conditions=under,
        prompt=(),
    )


# --- by name ---


def choices(setup: SessionSetup, session: Session) -> tuple[Result, ...]:
    """The results that can be corrected by name, the latest first, each step once."""
    found: dict[str, Result] = {}
    for result in reversed(session.ledger):
        kind = setup.procedure.step(result.step).kind
        if not result.superseded and result.meaning is not None and kind in _CORRECTABLE:
            found.setdefault(result.step, result)
    return tuple(found.values())


def ask_which_reading(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Ask which earlier reading is to be corrected."""
    if session.correcting:
        return Turn(session, (Say(step=session.step, text=setup.book("skip.correcting")),))
    found = choices(setup, session)
    if not found:
        return Turn(session, (Say(step=session.step, text=setup.book("nothing.correct")),))
    names = setup.book.join("list.or", (spoken_name(result.step) for result in found))
    ask = Ask(step=session.step, text=setup.book("revise.which", names=names))
    return Turn(replace(session, state=State.PICK, resume=session, prompt=(ask,)), (ask,))


def pick(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """One was named: ask for its right value."""
    asked = asked_again(setup, session.at_step, getattr(meaning_of(event), "name", ""))
    if asked is session.at_step:
        return not_expected(setup, session, event)
    return Turn(asked, asked.prompt)


def asked_again(setup: SessionSetup, session: Session, name: str) -> Session:
    """Asking for the right value of the step ``name``; ``session`` itself where it has none."""
    found = next((result for result in choices(setup, session) if result.step == name), None)
    earlier = _before(session, found) if found is not None else None
    if found is None or earlier is None:
        return session
    state = STATE_OF[setup.procedure.step(name).kind]
    text = setup.book("revise.value", step=spoken_name(name), shown=found.shown)
    ask = Ask(step=name, text=text)
    return replace(reopened(session, earlier), state=state, prompt=(ask,))


def _before(session: Session, result: Result) -> Session | None:
    """The session as it stood just before ``result`` was taken."""
    index = max(i for i, each in enumerate(session.ledger) if each is result)
    earlier: Session | None = session
    while earlier is not None and len(earlier.ledger) > index:
        earlier = earlier.previous
    return earlier

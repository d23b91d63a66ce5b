"""The end of a job: what it came to is told, the vehicle is put back, and the job is closed.

After a finding the job stays open until it is finished by word, so that the finding can be heard
again, a slip corrected and a note added.
"""

from collections.abc import Iterable, Iterator
from itertools import groupby

from voiceassist.procedure.parts.asking import wording_in
from voiceassist.session.actions.enter import to_bring_about
from voiceassist.session.at_rest import not_at_rest
from voiceassist.session.closing import summary
from voiceassist.session.copying import replace
from voiceassist.session.events import Event
from voiceassist.session.outcomes import came_to
from voiceassist.session.outputs import Ask, ConditionChange, Ended, Output, Say
from voiceassist.session.session import Session, SessionSetup, Stage, Turn
from voiceassist.session.shown import spoken_name
from voiceassist.session.states import AT_A_STEP, State

#: Outcomes that are told before the job is closed; a finding was told itself.
_TOLD = frozenset({"repaired", "repair-done", "not-proved", "unproved"})


def conclude(setup: SessionSetup, session: Session, outcome: str, *before: Output) -> Turn:
    """Nothing more is to be done; the job is open until it is finished.

    Args:
        setup: as ever.
        session: where the job stands.
        outcome: what it will be closed with.
        before: what is said again, beside the outcome, when it is asked for.
    """
    outcome = came_to(setup, session, outcome)
    key = f"after.{outcome.replace('-', '_')}"
    sentences = [Say(step=session.step, text=setup.book(key))] if outcome in _TOLD else []
    asked = _asked(setup, session)
    prompt = (*before, *sentences, *asked)
    after = replace(session.settled, state=State.AFTER, ending=outcome, prompt=prompt)
    return Turn(after, (*sentences, *asked))


def _asked(setup: SessionSetup, session: Session) -> tuple[Output, ...]:
    """What is to be put back and the word that then closes the job; else that word alone."""
    asked = putting_back(setup, session, "after.put_back", "after.done")
    return asked or (Ask(step=session.step, text=setup.book("after.close")),)


def putting_back(
    setup: SessionSetup, session: Session, first: str, last: str
) -> tuple[Output, ...]:
    """What is to be put back, between two sentences; nothing where all is as it was at first."""
    to_make = tuple(_to_check(setup, session, changes_to_rest(setup, session)))
    before = Say(step=session.step, text=setup.book(first))
    return (before, *to_make, Ask(step=session.step, text=setup.book(last))) if to_make else ()


def _to_check(
    setup: SessionSetup, session: Session, to_make: Iterable[ConditionChange]
) -> Iterator[ConditionChange]:
    """``to_make`` where what was asked for on the way, and not told as made, is only to be checked.

    What follows one another is checked in one sentence, which the first of them carries.
    """

    def is_so(change: ConditionChange) -> bool:
        return change.name in session.unsaid and session.condition(change.name) == change.state

    for so, group in groupby(to_make, is_so):
        changes = list(group)
        if so:
            holds = (wording_in(setup.procedure, c.name, c.state).holds for c in changes)
            text = setup.book("after.check", states=setup.book.join("list.and", holds))
            changes = [replace(c, text="" if at else text) for at, c in enumerate(changes)]
        yield from changes


def changes_to_rest(setup: SessionSetup, session: Session) -> tuple[ConditionChange, ...]:
    """What is to be put back before the job is left."""
    return to_bring_about(setup, session, not_at_rest(setup, session))


def leave(setup: SessionSetup, session: Session, outcome: str) -> Turn:
    """Close the job; what is not as it was at first is to be put back before."""
    prompt = putting_back(setup, session, "after.put_back", "after.or_leave")
    if not prompt:
        return close(setup, session, outcome)
    waiting = replace(session, state=State.PUT_BACK, ending=outcome, prompt=prompt, resume=session)
    return Turn(waiting, prompt)


def close(setup: SessionSetup, session: Session, outcome: str) -> Turn:
    """End the session with what it came to."""
    outcome = came_to(setup, session, outcome)
    key = outcome.replace("-", "_")
    if session.state is State.AFTER and session.ending == outcome:
        key = "closed"
    closed = replace(session.settled, state=State.CLOSED, prompt=())
    ended = Ended(step=session.step, text=setup.book(f"end.{key}"), outcome=outcome)
    return Turn(closed, (summary(setup, session, outcome), ended))


# --- actions ---


def ask_finish(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Ask before the job is closed early; in the proof it is told what is not proved yet."""
    text = setup.book("end.ask")
    if session.stage is Stage.PROVE and session.state in AT_A_STEP:
        names = [spoken_name(name) for name in (session.step, *session.queue)]
        steps = setup.book.join("list.and", names)
        text = f"{setup.book('inform.unproved', steps=steps)} {text}"
    ask = Ask(step=session.step, text=text)
    before = session.undisturbed
    waiting = replace(before, state=State.FINISH, resume=before, prompt=(ask,))
    return Turn(waiting, (ask,))


def finish(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Stop the job where it stands."""
    stood = session.undisturbed.keeping(session)
    if session.stage in {Stage.REPAIR, Stage.PROVE}:
        return leave(setup, stood, "not-proved")
    return leave(setup, stood, "found" if session.finding else "stopped")


def end_job(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """All is told: close the job."""
    return leave(setup, session, session.ending)


def ask_for_the_end(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Yes to what was found is heard, and ends nothing: say what does."""
    return Turn(session, _asked(setup, session))


def all_put_back(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The vehicle is as it was at first: close the job."""
    made = tuple(replace(c, text="", met=True) for c in changes_to_rest(setup, session))
    stood = session if session.state is State.AFTER else session.undisturbed.keeping(session)
    rested = stood.with_conditions(tuple((c.name, c.state) for c in made))
    return Turn(rested, made).then(close(setup, rested, session.ending))


def leave_as_it_is(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The job is closed with the vehicle as it is; the record tells what was left."""
    left = (wording_in(setup.procedure, n, s).holds for n, s in left_so(setup, session))
    text = setup.book("after.left", states=setup.book.join("list.and", left))
    sentences = (Say(step=session.step, text=text),) if left_so(setup, session) else ()
    stood = session.undisturbed.keeping(session)
    return Turn(session, sentences).then(close(setup, stood, session.ending))


def left_so(setup: SessionSetup, session: Session) -> list[tuple[str, str]]:
    """Known states that are not those at rest."""
    rest = setup.procedure.at_rest
    return [(n, s) for n, s in session.conditions if s and rest.get(n, s) != s]

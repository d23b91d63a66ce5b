"""Readings that hang on a state of the vehicle which was not brought about."""

from collections.abc import Iterator

from voiceassist.procedure.model import Need
from voiceassist.session.session import Session, SessionSetup

#: Results of these are no readings.
_UNREAD = frozenset({"done", "skipped"})


def last_needing(setup: SessionSetup, session: Session, name: str) -> Need | None:
    """What the last reading that hangs on the condition ``name`` needs; None where none does."""
    return next((need for _, need in _needing(setup, session, name)), None)


def last_needs(setup: SessionSetup, session: Session) -> tuple[Need, ...]:
    """What the last reading was to be taken in."""
    return next((setup.procedure.step(at.step).needs for at in _read(session)), ())


def taken_without(setup: SessionSetup, session: Session, name: str) -> Session | None:
    """Where the first of the last readings in a row was given that hang on ``name`` alike.

    One that passed shows that it held, where its step knows what it reads without.
    """
    found, state = None, ""
    for at, need in _needing(setup, session, name):
        result = session.latest(at.step)
        looks = setup.procedure.step(at.step).lookalikes
        knows = any(look.need.condition == name for look in looks)
        if need.state != (state or need.state) or (result and result.passed and knows):
            break
        found, state = at, need.state
    return found


def _needing(setup: SessionSetup, session: Session, name: str) -> Iterator[tuple[Session, Need]]:
    """The last readings in a row that hang on ``name``, latest first, with what each needs."""
    begun = False
    for at in _read(session):
        need = next((n for n in setup.procedure.step(at.step).needs if n.condition == name), None)
        if need is not None:
            begun = True
            yield at, need
        elif begun:
            return


def _read(session: Session) -> Iterator[Session]:
    """Where each reading of this stage was given, latest first."""
    at = session.previous
    while at is not None:
        result = session.latest(at.step)
        if result is None or result.stage is not session.stage:
            return
        if result.outcome not in _UNREAD and not result.by_itself:
            yield at
        at = at.previous

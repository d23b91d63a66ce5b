"""A row of readings, given one by one or several in a breath, and ended by *done*."""

from voiceassist.language.meanings import Meaning, Reading, Series
from voiceassist.session.actions.enter import not_expected
from voiceassist.session.actions.take import judge_and_weigh
from voiceassist.session.copying import replace
from voiceassist.session.events import Event, meaning_of
from voiceassist.session.outputs import Say
from voiceassist.session.session import Session, SessionSetup, Turn
from voiceassist.session.shown import show


def take_point(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """One more reading, or several."""
    points = _readings(setup, session, meaning_of(event))
    if not points:
        return not_expected(setup, session, event)
    return _heard(setup, replace(session, points=(*session.points, *points)), points)


def correct_point(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Another value for the last reading of the row."""
    points = _readings(setup, session, meaning_of(event))
    if not points or not session.points:
        return not_expected(setup, session, event)
    return _heard(setup, replace(session, points=(*session.points[:-1], *points)), points)


def drop_point(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Forget the last reading of the row."""
    if not session.points:
        return not_expected(setup, session, event)
    said = Say(step=session.step, text=setup.book("confirm.dropped"))
    return Turn(replace(session, points=session.points[:-1]), (said,))


def sweep_done(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The row is complete: judge it as a whole."""
    if not session.points:
        return not_expected(setup, session, event)
    return judge_and_weigh(setup, session, Series(session.points), event)


def _readings(setup: SessionSetup, session: Session, meaning: Meaning) -> tuple[Reading, ...]:
    said = meaning.readings if isinstance(meaning, Series) else (meaning,)
    unit = setup.step(session).unit
    readings = tuple(r for r in said if isinstance(r, Reading))
    kinds = {r.unit.quantity for r in readings if r.unit is not None}
    fitting = unit is not None and kinds <= {unit.quantity}
    return readings if fitting and len(readings) == len(said) else ()


def _heard(setup: SessionSetup, session: Session, points: tuple[Reading, ...]) -> Turn:
    shown = ", ".join(show(point, setup.step(session), setup.book) for point in points)
    return Turn(session, (Say(step=session.step, text=setup.book("echo.reading", shown=shown)),))

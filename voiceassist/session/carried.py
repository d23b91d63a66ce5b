"""Readings of an earlier part of the same job, which need not be taken again.

Only what passed is offered, and only where it passes here too: no finding rests on a reading that
was not taken for it. Whoever opens the session tells which tests are the same in both parts.
"""

from dataclasses import dataclass

from voiceassist.session.copying import replace
from voiceassist.session.events import Carried
from voiceassist.session.judge import fits, judge
from voiceassist.session.judged import Judged
from voiceassist.session.session import Session, SessionSetup, Stage


@dataclass(frozen=True, slots=True)
class Offer:
    """A carried reading, judged at the step at hand, and the session that takes it there."""

    carried: Carried
    judged: Judged
    at_step: Session

    @property
    def shown(self) -> str:
        """Its figures, with the unit."""
        assert self.judged.result is not None
        return self.judged.result.shown


def offer(setup: SessionSetup, session: Session) -> Offer | None:
    """What can be carried to the step at hand; None where it is to be measured."""
    one = next((each for each in session.carried if each.step == session.step), None)
    if one is None or session.stage is not Stage.DIAGNOSE or session.latest(one.step):
        return None
    step = setup.step(session)
    under = tuple((need.condition, need.state) for need in step.needs)
    at_step = replace(session, corrected_conditions=under)
    if not fits(step, one.reading):
        return None
    judged = judge(setup, at_step, one.reading)
    passes = judged.result is not None and judged.result.passed
    return Offer(one, judged, at_step) if passes else None


def not_carried(session: Session, step: str) -> Session:
    """The session in which ``step`` is measured, whatever was read there before."""
    return replace(session, carried=tuple(each for each in session.carried if each.step != step))

"""A technician who goes on after the finding: repairs or only says so, proves, and puts back."""

from collections.abc import Callable
from enum import StrEnum

from voiceassist.circuit.probe import Shown
from voiceassist.language.meanings import Answer, Meaning
from voiceassist.procedure.model import Step
from voiceassist.prove.hazard import Hazard
from voiceassist.prove.meter_in_use import MeterInUse
from voiceassist.prove.technician import Change, Technician
from voiceassist.prove.vehicle import States, Vehicle
from voiceassist.prove.watch import Watch
from voiceassist.session.session import Session, SessionSetup, Stage
from voiceassist.session.states import State


class Repair(StrEnum):
    """What becomes of the offer of a repair.

    MENDED: it is done, and the fault is gone.
    UNDONE: it is told as done, and nothing was done.
    DECLINED: it is not wanted.
    """

    MENDED = "mended"
    UNDONE = "undone"
    DECLINED = "declined"


class Repairer(Technician):
    """Answers one session to its very end.

    Args:
        setup: of the session.
        vehicle: the one under test.
        hand: the meter.
        repair: what is made of the offer.
        mended: finding to the vehicle once that is put right.
    """

    def __init__(
        self,
        setup: SessionSetup,
        vehicle: Vehicle,
        hand: MeterInUse,
        repair: Repair,
        mended: Callable[[str], Vehicle],
    ) -> None:
        super().__init__(setup, vehicle, hand)
        self._repair = repair
        self._mended = mended
        self._is_mended = False
        self._watch = Watch(setup.procedure)
        self._is_proving = False
        self.failed = ""
        self.failed_in: States = ()
        self.later = ""

    @property
    def hazards(self) -> tuple[Hazard, ...]:
        """What was not safe, in order."""
        return tuple(self._watch.hazards)

    def _meaning(self, session: Session, step: Step) -> Meaning:
        self._mend(session)
        if session.state is State.DO and session.stage is Stage.REPAIR:
            self._bring_about(session)
            following = [self._setup.procedure.step(name) for name in session.queue]
            self._watch.works(step, following, self.vehicle, session.finding)
        if session.state is State.OFFER:
            return Answer("affirm" if self._wants_it(session) else "negative")
        if session.state is State.RETRY:
            if not self.failed:
                self.failed, self.failed_in = session.step, self.vehicle.moved
            return Answer("negative")  # looks further
        if session.state in {State.AFTER, State.PUT_BACK}:
            self._bring_about(session)
            self.vehicle.settle()
            return Answer("done")
        return super()._meaning(session, step)

    def _shows(self, session: Session, step: Step) -> tuple[Shown, ...]:
        shows = super()._shows(session, step)
        held = dict(self.vehicle.conditions)
        self.vehicle.conditions.update(self._held)
        self._watch.reads(step, self.vehicle)
        self.vehicle.conditions.clear()
        self.vehicle.conditions.update(held)
        return shows

    def _hold(self, wanted: Change) -> None:
        step = self._setup.procedure.step(wanted.step)
        self._watch.changes(step, wanted.condition, wanted.state, self.vehicle)
        super()._hold(wanted)

    def _mend(self, session: Session) -> None:
        """When proof or diagnosis go on, a repair that was done has made the fault go for good."""
        if session.stage is not Stage.PROVE and not session.put_right:
            return
        if not self._is_proving:
            self._is_proving = True
            self.vehicle.forget_showing()
        if self._repair is not Repair.MENDED:
            return
        if not self._is_mended:
            self._is_mended = True
            finding = session.put_right[-1][0] if session.put_right else session.finding
            mended = self._mended(finding)
            mended.conditions.update(self.vehicle.conditions)
            self.vehicle = mended

    def _wants_it(self, session: Session) -> bool:
        """Once; what is found after a proof that failed, or when the job went on, is only noted."""
        if self.failed or session.put_right:
            self.later = session.finding
            return False
        return self._repair is not Repair.DECLINED

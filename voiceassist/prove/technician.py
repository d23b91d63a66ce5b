"""A technician who answers the session: does what is asked, reads what the instrument shows."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from voiceassist.circuit.probe import Shown
from voiceassist.language.meanings import Answer, Command, Lamp, Meaning, OverRange, Reading, Spread
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.model import Kind, Step
from voiceassist.procedure.parts.clamp import CLAMP, place_of
from voiceassist.prove.file_answer import Stuck, told
from voiceassist.prove.meter_in_use import MeterInUse
from voiceassist.prove.vehicle import Vehicle
from voiceassist.session.actions.enter import unmade
from voiceassist.session.actions.forgotten import asked_about
from voiceassist.session.events import Event, Heard, TimeUp
from voiceassist.session.outputs import ConditionChange, Output
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.skipping import why_not_skip
from voiceassist.session.states import State

#: Times that a reading is taken before it is given up as too close to tell.
_TRIES = 2
#: Less than this current, in A, makes no drop that a meter could tell.
NO_FLOW = 1e-3
#: How long a change to the vehicle takes, a look at an instrument, and a watch over what must
#: hold steady, over a lamp, or for an answer; in s. Common practice, no source.
CHANGE_S, READ_S, WATCH_S = 10, 5, 10
#: Left out of a reason, so that all walks that stop for it are told as one.
_NUMBER = re.compile(r"\d\S*")


@dataclass(frozen=True, slots=True)
class Change:
    """A change to the vehicle: the step that asks for it, the condition and its state."""

    step: str
    condition: str
    state: str


def is_watched(step: Step) -> bool:
    """Whether one looks for a while at what the step sees; else once."""
    return step.kind is not Kind.MEASURE or step.steady is not None


class Technician:
    """Answers one session.

    Args:
        setup: of the session.
        vehicle: the one under test.
        hand: the meter.
        forget: a change that is told as done once, and is not done; None for none.
        doubt: a step, and the doubtful answer that is given there; None for none.
    """

    def __init__(
        self,
        setup: SessionSetup,
        vehicle: Vehicle,
        hand: MeterInUse,
        forget: Change | None = None,
        doubt: tuple[str, str] | None = None,
    ) -> None:
        self._setup = setup
        self.vehicle = vehicle
        self._hand = hand
        self._forget = forget
        self._doubt = doubt
        self._said: Meaning | None = None
        self._made_for: tuple[Output, ...] = ()
        self._held: dict[str, str] = {}
        self._answer = ""
        self.changes: list[Change] = []
        self.forgot = False
        self.noticed = False
        self.idle: set[str] = set()
        self.lit: list[tuple[str, float]] = []

    def answer(self, session: Session) -> Event:
        """What comes next of the technician, or of the clock.

        Raises:
            Stuck: there is nothing that could be answered.
            CircuitError: the circuit cannot be solved in these conditions.
        """
        step = self._setup.step(session)
        if session.state is State.WAIT:
            self.vehicle.passes(step.wait_s)
            return TimeUp()
        return Heard("", (self._meaning(session, step),), certain=True)

    def _meaning(self, session: Session, step: Step) -> Meaning:
        state = session.state
        if state in {State.CONDITION, State.DO}:
            self._change_vehicle(session, step)
            return Answer("done")
        if state is State.CONFIRM:
            self.noticed = True
            return Answer("affirm-reading")
        if state is State.FORGOTTEN:
            return self._looks(session)
        if state is State.WHICH and self._said is not None:
            return self._said
        if state is State.SKIP:
            return Answer(self._setup.book.reasons[0].name)
        return Answer("affirm") if state is State.CAUTION else self._of_step(session, step)

    def _make_at_once(self, session: Session, step: Step) -> None:
        """Make the changes that are asked for together with the answer, once."""
        if unmade(self._setup, session) and session.prompt is not self._made_for:
            self._made_for = session.prompt
            self._bring_about(session)
            if step.name not in self.vehicle.circuit.probes:
                self.vehicle.settle()

    def _change_vehicle(self, session: Session, step: Step) -> None:
        self._bring_about(session)
        if session.state is State.DO:
            for condition, state in step.sets:
                self.vehicle.change(condition, state)
        if step.name not in self.vehicle.circuit.probes:
            self.vehicle.settle()  # else the measurement tells

    def _bring_about(self, session: Session) -> None:
        for change in session.prompt:
            if isinstance(change, ConditionChange):
                self._hold(Change(session.step, change.name, change.state))

    def _hold(self, wanted: Change) -> None:
        """Make the change, unless it is the one to be forgotten."""
        if self.vehicle.conditions.get(wanted.condition) != wanted.state:
            self.vehicle.passes(CHANGE_S)
            self.changes.append(wanted)
            if wanted == self._forget and not self.forgot:
                self.forgot = True
                return
        self.vehicle.change(wanted.condition, wanted.state)

    def _looks(self, session: Session) -> Answer:
        """Whether what is asked about is as it should be."""
        held = self.vehicle.conditions | self._held
        if all(held.get(n.condition) == n.state for n in asked_about(self._setup, session)):
            return Answer("affirm")
        self.noticed = True
        return Answer("negative")

    def _of_step(self, session: Session, step: Step) -> Meaning:
        if session.tries >= _TRIES or session.state is State.COMPUTE:
            if why_not_skip(self._setup, session):
                raise Stuck("it cannot be judged, and cannot be skipped")
            return Command("skip")
        self._make_at_once(session, step)
        if session.state is State.SWEEP and session.points:
            return Answer("done")
        if self._doubt is not None and self._doubt[0] == step.name:
            return Command(self._doubt[1])
        shows = self._shows(session, step)
        self._said = self._read(step, shows) if shows else told(step, self._answer)
        return self._said

    def _shows(self, session: Session, step: Step) -> tuple[Shown, ...]:
        """What the instrument shows while what is held only for the moment is held."""
        before = dict(self.vehicle.conditions)
        for need in step.held:
            self._hold(Change(session.step, need.condition, need.state))
        self._held = dict(self.vehicle.conditions)
        shows = self._looked(step)
        if place := place_of(step):
            self.vehicle.change(CLAMP, place)
        if shows:
            self._see_flow(step, shows[-1])
            self.lit += [(step.name, one.light) for one in shows if one.light is not None]
        for condition in [need.condition for need in step.held]:
            if condition in before:
                self.vehicle.change(condition, before[condition])
            else:
                del self.vehicle.conditions[condition]
        return shows

    def _looked(self, step: Step) -> tuple[Shown, ...]:
        """Each thing that the instrument shows while it is looked at; none without one.

        What is answered without an instrument is kept in ``_answer``: of two answers the one that
        a fault gives, since it catches the eye.
        """
        usual = self.vehicle.answers.get(step.name, "")
        self._answer = ""
        found: dict[Shown, None] = {}
        for seconds in self._moments(step):
            self.vehicle.passes(seconds)
            shows = self.vehicle.shows(step.name)
            if shows is not None:
                found[shows] = None
            elif self._answer in {"", usual}:
                self._answer = self.vehicle.told(step.name)
        return tuple(found)

    def _moments(self, step: Step) -> Sequence[int]:
        """The seconds between one look and the next."""
        return (1,) * WATCH_S if is_watched(step) and self.vehicle.moves else (READ_S,)

    def _read(self, step: Step, shows: Sequence[Shown]) -> Meaning:
        for one in shows:
            if one.invalid:
                raise Stuck(_NUMBER.sub("some", one.invalid), noticed=True)
        if any(one.over for one in shows):
            return OverRange()
        lamps = {one.lamp for one in shows if one.lamp}
        if lamps:
            return Lamp(lamps.pop() if len(lamps) == 1 else "flickering")
        values = [one.value for one in shows if one.value is not None]
        read = [self._hand.read(value, step.meter) for value in values]
        return next((one for one in read if isinstance(one, OverRange)), None) or _spread(
            [one for one in read if isinstance(one, Reading)]
        )

    def _see_flow(self, step: Step, shows: Shown) -> None:
        """Keep in mind a drop that was read while nothing flowed."""
        nothing_flows = shows.flow is not None and shows.flow < NO_FLOW
        is_low = step.limit is not None and step.limit.low is None
        if nothing_flows and is_low and self.vehicle.reads_a_drop(step.name):
            self.idle.add(step.name)
        else:
            self.idle.discard(step.name)


def _spread(readings: Sequence[Reading]) -> Reading | Spread:
    """The one reading, or the lowest and the highest of several."""
    if len(readings) == 1:
        return readings[0]
    by_size = sorted(readings, key=_size)
    return Spread(by_size[0], by_size[-1])


def _size(reading: Reading) -> Decimal:
    assert reading.unit is not None
    return Quantity(reading.value, reading.unit).in_base

"""A technician who does what the session says, on a vehicle that is a model of its circuit."""

import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from bench import BOOK

from voiceassist.circuit.model import Circuit
from voiceassist.circuit.probe import shown
from voiceassist.language.meanings import Answer, Lamp, Meaning, OverRange, Reading
from voiceassist.measure.meter import Meter
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.model import ANSWERS, Kind, Procedure
from voiceassist.session.engine import Engine
from voiceassist.session.events import Begin, Event, Heard, TimeUp
from voiceassist.session.outputs import Ended
from voiceassist.session.session import Desk, Session
from voiceassist.session.states import State

_MOST_EVENTS = 300
#: How often a reading that is too close to call is taken again before it is left so.
_MOST_TRIES = 3
_ACKNOWLEDGES: Mapping[State, str] = {
    State.CAUTION: "affirm",
    State.CONDITION: "done",
    State.DO: "done",
    State.CONFIRM: "affirm-reading",
    State.FORGOTTEN: "affirm",
    State.STILL: "affirm",
    State.OFFER: "affirm",
    State.RETRY: "negative",
}


@dataclass
class Technician:
    """One job on one vehicle.

    Parts:
        procedure: that is followed.
        circuit, answers: the vehicle, and what is answered where no circuit can tell.
        meter: read with, and its errors drawn from ``chance``.
        session, path: where the job stands, and the steps that were answered.
        outcome: how it ended; empty before.
    """

    procedure: Procedure
    circuit: Circuit
    answers: Mapping[str, str]
    meter: Meter
    chance: random.Random
    session: Session = field(default_factory=Session)
    path: list[str] = field(default_factory=list)
    outcome: str = ""
    _gains: dict[Quantity, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._engine = Engine(Desk(self.procedure, BOOK, meter=self.meter))
        self._give(Begin((("repair order", "1042"),)))

    def find(self) -> str:
        """Follow the steps to a finding; empty when a reading stays too close to call."""
        return self._until(lambda: bool(self.session.finding) and not self.session.suspected)

    def repair(self, circuit: Circuit, answers: Mapping[str, str]) -> str:
        """Follow repair and proof on the vehicle put right; how the job ends."""
        self.circuit, self.answers = circuit, answers
        self._until(lambda: self.session.state is State.CLOSED)
        return self.outcome

    def _until(self, over: Callable[[], bool]) -> str:
        for _ in range(_MOST_EVENTS):
            if over():
                return self.session.finding
            if self.session.state is State.CLOSED or self.session.tries > _MOST_TRIES:
                return ""
            self._give(self._next())
        raise AssertionError(f"no end at {self.session.step!r} ({self.session.state})")

    def _next(self) -> Event:
        state = self.session.state
        if state is State.WAIT:
            return TimeUp()
        said = _ACKNOWLEDGES.get(state)
        meaning = Answer(said) if said is not None else self._at_step()
        return Heard("", (meaning,), True, at_s=0.0)

    def _at_step(self) -> Meaning:
        step = self.procedure.step(self.session.step)
        if not self.path or self.path[-1] != step.name:
            self.path.append(step.name)
        given = self.answers.get(step.name)
        if step.kind is Kind.ASK:
            assert given is not None, f"nothing tells what {step.name!r} is answered"
            return Answer(ANSWERS.get(given, given))
        if given is not None:
            read = Quantity.parse(given)
            return Reading(read.value, read.unit)
        seen = shown(self.circuit, dict(self.session.conditions), self.circuit.probes[step.name])
        assert not seen.invalid, seen.invalid
        if step.kind is Kind.LAMP:
            return Lamp(seen.lamp)
        return OverRange() if seen.value is None else self._metered(seen.value)

    def _metered(self, true: Quantity) -> Reading:
        """As the meter shows it: its gain is off the same way throughout, its counts by chance."""
        used = self.meter.range_for(true)
        assert used is not None, f"{true} is beyond the meter"
        count = float(used.resolution.in_base)
        gain = self._gains.setdefault(used.top, self.chance.uniform(-1, 1))
        off = gain * float(true.in_base) * float(used.accuracy.percent) / 100
        off += self.chance.uniform(-1, 1) * used.accuracy.counts * count
        counts = round((float(true.in_base) + off) / count)
        return Reading(used.resolution.value * Decimal(counts), used.resolution.unit)

    def _give(self, event: Event) -> None:
        turn = self._engine.handle(self.session, event)
        self.session = turn.session
        self.outcome = next((o.outcome for o in turn.outputs if isinstance(o, Ended)), "")

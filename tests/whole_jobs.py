"""Whole jobs on a simulated vehicle, from the opening to the close, answered as a person would.

The diagnosis is answered from the procedure's circuit with a fault in it; once the repair is
done the fault is gone, and the proof reads the good vehicle.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Protocol
from zlib import crc32

import numpy as np

from voiceassist.circuit.tolerance import drawn
from voiceassist.language.language import Language
from voiceassist.language.meanings import Answer, Command, Meaning
from voiceassist.procedure.model import Step
from voiceassist.prove.cases import vehicle_with
from voiceassist.prove.comings import Drawn
from voiceassist.prove.file_answer import Stuck
from voiceassist.prove.meter_in_use import MeterInUse
from voiceassist.prove.technician import Technician
from voiceassist.prove.vehicle import Vehicle
from voiceassist.session.engine import Engine
from voiceassist.session.events import Begin, Event, Heard, TimeUp
from voiceassist.session.expect import expectation
from voiceassist.session.offered import tells_repair
from voiceassist.session.outputs import CautionSpoken, ConditionChange, Ended, Output
from voiceassist.session.session import Session, SessionSetup, Stage
from voiceassist.session.states import State

#: Answers that a job may take before it is taken to go in circles.
MOST_ANSWERS = 200
#: Parts the seconds in which a fault is there from all other draws.
_CHANCE = 1


@dataclass(frozen=True, slots=True)
class Turned:
    """One exchange: what the technician said, and what was given out."""

    said: str
    outputs: tuple[Output, ...]


@dataclass(slots=True)
class Job:
    """What one job came to.

    Parts:
        turns: all exchanges; the first is the opening.
        session: as it ended.
        conditions: the vehicle as it was left.
        stuck: why the technician could not go on; empty when he could.
    """

    turns: list[Turned] = field(default_factory=list)
    session: Session = field(default_factory=Session)
    conditions: dict[str, str] = field(default_factory=dict)
    stuck: str = ""

    @property
    def outputs(self) -> list[Output]:
        return [output for turn in self.turns for output in turn.outputs]

    @property
    def outcome(self) -> str:
        return next((o.outcome for o in self.outputs if isinstance(o, Ended)), "")

    @property
    def texts(self) -> list[str]:
        return [output.text for output in self.outputs if output.text]

    @property
    def exchanges(self) -> int:
        """Answers of the technician."""
        return sum(bool(turn.said) for turn in self.turns)

    @property
    def bare(self) -> int:
        """Answers that are one word of confirmation."""
        return sum(turn.said in {"done", "affirm"} for turn in self.turns)

    def words(self, to_words: Callable[[str], str]) -> int:
        """Words spoken by the assistant, figures in words."""
        return sum(len(to_words(text).split()) for text in self.texts)

    def caution_words(self, to_words: Callable[[str], str]) -> int:
        spoken = (o.text for o in self.outputs if isinstance(o, CautionSpoken))
        return sum(len(to_words(text).split()) for text in spoken)


class Mender(Technician):
    """A technician who also repairs: after the repair the vehicle is a good one."""

    def __init__(
        self, setup: SessionSetup, vehicle: Vehicle, mended: Vehicle, hand: MeterInUse
    ) -> None:
        super().__init__(setup, vehicle, hand)
        self._mended = mended
        self._retried = False

    @property
    def setup(self) -> SessionSetup:
        return self._setup

    @property
    def said(self) -> Meaning | None:
        """What the instrument showed last."""
        return self._said

    def step_of(self, session: Session) -> Step:
        return self._setup.step(session)

    def choices(self, session: Session) -> dict[str, str]:
        """The first words of each answer that the state has of its own."""
        expected = expectation(self._setup, session)
        return {choice.name: choice.phrases[0] for choice in expected.choices}

    def answer(self, session: Session) -> Event:
        if session.stage is Stage.PROVE and self.vehicle is not self._mended:
            self._mended.conditions.update(self.vehicle.conditions)
            self.vehicle = self._mended
        own = self._own(session)
        return Heard("", (own,), certain=True) if own is not None else super().answer(session)

    def _own(self, session: Session) -> Meaning | None:
        if session.state is State.OFFER and tells_repair(self.setup, session):
            return self._mends_at_once(session)
        if session.state in {State.OFFER, State.FINISH}:
            return Answer("affirm")
        if session.state is State.RETRY:  # once more, then he looks further
            self._retried = not self._retried
            return Answer("affirm" if self._retried else "negative")
        if session.state is State.WHOSE:
            return Answer(session.at_step.step)
        if session.state not in KNOWN and any(
            isinstance(output, ConditionChange) for output in session.prompt
        ):
            self._bring_about(session)
            return Answer("done")
        return Command("finish") if session.state is State.AFTER else None

    def _mends_at_once(self, session: Session) -> Answer:
        """All of the repair was told with its offer."""
        self._bring_about(session)
        finding = self._setup.procedure.findings[session.finding]
        for condition, state in self._setup.procedure.step(finding.repair[0]).sets:
            self.vehicle.change(condition, state)
        return Answer("done")


#: States that the technician of a proof answers itself.
KNOWN = frozenset(
    {State.CAUTION, State.CONDITION, State.MEASURE, State.SWEEP, State.LAMP, State.ASK}
    | {State.IDENTIFY, State.COMPUTE, State.WAIT, State.DO, State.FORGOTTEN, State.CONFIRM}
    | {State.WHICH, State.SKIP}
)


@dataclass(frozen=True, slots=True)
class Vehicles:
    """The same vehicle with the fault and without it, and the errors of the meter."""

    bad: Vehicle
    good: Vehicle
    hand: MeterInUse


def vehicles(setup: SessionSetup, fault: str, seed: int = 1, size: float = 0.5) -> Vehicles:
    """A vehicle with ``fault``, "" for none; ``size`` is where in the fault's range it lies."""
    circuit = setup.procedure.circuit
    assert circuit is not None
    rng = np.random.default_rng([seed, crc32(fault.encode())])
    good = drawn(circuit, rng)
    faults = [Drawn(setup.procedure.faults[fault], size)] if fault else []
    bad = vehicle_with(circuit.answers, good, faults, np.random.default_rng([seed, _CHANCE]))
    whole = vehicle_with(circuit.answers, good, (), rng)
    return Vehicles(bad, whole, MeterInUse(setup.meter, rng))


def whole_job(setup: SessionSetup, fault: str, seed: int = 1, size: float = 0.5) -> Job:
    """Do the whole job of ``setup`` on a vehicle with ``fault``, "" for a good one."""
    made = vehicles(setup, fault, seed, size)
    technician = Mender(setup, made.bad, made.good, made.hand)
    job = _done(setup, technician.answer)
    job.conditions = dict(technician.vehicle.conditions)
    return job


def spoken_job(
    setup: SessionSetup,
    language: Language,
    person: "Speaks",
    conditions: Callable[[], dict[str, str]],
) -> Job:
    """The same in words, understood by the grammar of each step as a session does."""
    engine = Engine(setup)

    def answer(session: Session) -> Event:
        said = person.says(session)
        if isinstance(said, TimeUp):
            return said
        expected = engine.listen(session).expectation
        understood = language.compose(expected).parse(said)
        return Heard(said, understood.meanings, certain=True, reason=understood.reason)

    job = _done(setup, answer)
    job.conditions = conditions()
    return job


class Speaks(Protocol):
    """Somebody who says something whenever it is his turn."""

    def says(self, session: Session) -> str | TimeUp: ...


def _done(setup: SessionSetup, answer: Callable[[Session], Event]) -> Job:
    engine, job = Engine(setup), Job()
    turn = engine.handle(job.session, Begin())
    job.turns.append(Turned("", turn.outputs))
    for _ in range(MOST_ANSWERS):
        job.session = turn.session
        if job.session.state is State.CLOSED:
            break
        try:
            event = answer(job.session)
        except Stuck as stuck:
            job.stuck = str(stuck)
            break
        turn = engine.handle(job.session, event)
        job.turns.append(Turned(_said(event), turn.outputs))
    return job


def _said(event: Event) -> str:
    if isinstance(event, TimeUp):
        return ""
    assert isinstance(event, Heard)
    if event.words:
        return event.words
    meaning = event.meanings[0]
    return str(getattr(meaning, "name", meaning.kind))

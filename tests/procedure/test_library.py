"""Every procedure that is shipped: complete, invented, without a loose end, and right."""

import re
from collections.abc import Mapping
from functools import cache
from pathlib import Path

import numpy as np
import pytest
import yaml
from bench import BOOK

from voiceassist.app.build import Components
from voiceassist.app.settings.settings import Settings
from voiceassist.circuit.faults import CircuitFault, with_fault
from voiceassist.circuit.model import Circuit
from voiceassist.circuit.tolerance import drawn
from voiceassist.language.meanings import Answer, Command
from voiceassist.procedure.checks.flow import targets
from voiceassist.procedure.meter_file import read_meter
from voiceassist.procedure.model import Need, Procedure, Step
from voiceassist.procedure.read import inspect
from voiceassist.prove.file_answer import Stuck
from voiceassist.prove.meter_in_use import MeterInUse
from voiceassist.prove.technician import Technician
from voiceassist.prove.vehicle import Vehicle
from voiceassist.session.engine import Engine
from voiceassist.session.events import Begin, Event, Heard
from voiceassist.session.outputs import Ended
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.states import State

FOLDER = Path(__file__).parents[2] / "procedures"
NAMES = sorted(path.stem for path in FOLDER.glob("*.yaml"))
each = pytest.mark.parametrize("name", NAMES)

#: The workshop's fleet, all of it invented. A vehicle that is not here must not be in a file.
FLEET = (
    "Quillback 26 shuttle",
    "Tarn 12 delivery van",
    "Fenlark 7 pickup",
    "Dunlin 18 lorry",
    "any vehicle",
)
LEAST_FAULTS = 6
OUT_OF_GEAR = r"\bselect (neutral|reverse|drive)\b"
#: What brings a danger about -> what its caution speaks of. Common practice, no source.
DANGEROUS_TO_BRING_ABOUT = {
    OUT_OF_GEAR: r"\broll",
    r"\b(start|run) the engine\b": r"\bengine\b|\bbelts?\b|\bturning\b",
    r"\bkey held at start\b": r"\bstarter\b|\bengine turns\b",
    r"\bshop battery\b.*\bplus\b": r"\bposts\b",
    r"\b(jack|lift|raise)\b.*\b(vehicle|wheel|axle)\b": r"\bfalls?\b|\bstands\b",
    r"\b(open|loosen|undo)\b.*\b(pipe|line|hose|cap)\b": r"\bpressure\b|\bfuel\b|\bscald",
}
#: Sizes of a fault that are tried, from the least to the most, each on another good vehicle.
DRAWS = (0.0, 0.5, 1.0)
MOST_EVENTS = 300
METER = read_meter((FOLDER / "meters" / "ordinary.yaml").read_text(encoding="utf-8"), "ordinary")


def library(name: str) -> str | None:
    """The shipped procedures, for one that puts in another."""
    path = FOLDER / f"{name}.yaml"
    return path.read_text(encoding="utf-8") if path.exists() else None


@cache
def shipped(name: str) -> Procedure:
    procedure, faults = inspect(library(name) or "", library)
    assert procedure is not None, [str(fault) for fault in faults]
    return procedure


def led_to(procedure: Procedure) -> set[str]:
    """Findings that some step leads to."""
    steps = [*procedure.steps.values(), *procedure.repairs.values()]
    return {target for step in steps for target in targets(step)} & set(procedure.findings)


@each
def test_nothing_is_to_be_said_against_the_file(name: str) -> None:
    _, faults = inspect(library(name) or "", library, Components(Settings()).is_reserved)
    assert [str(fault) for fault in faults] == []


@each
def test_it_is_called_as_its_file_and_is_for_an_invented_vehicle(name: str) -> None:
    procedure = shipped(name)
    assert procedure.name == name
    assert procedure.subject.startswith(FLEET)
    assert "(invented)" in procedure.subject


@each
def test_it_brings_a_circuit_and_what_can_be_wrong_with_it(name: str) -> None:
    procedure = shipped(name)
    assert procedure.circuit is not None
    assert len(procedure.faults) >= LEAST_FAULTS


@each
def test_every_finding_is_reached_and_every_part_it_condemns_fails_by_some_fault(
    name: str,
) -> None:
    procedure = shipped(name)
    assert led_to(procedure) == set(procedure.findings)
    named = {finding for fault in procedure.faults.values() for finding in fault.found_as}
    for finding in procedure.findings.values():
        assert not finding.condemns or finding.name in named


@each
def test_every_caution_of_its_own_guards_a_step(name: str) -> None:
    procedure = shipped(name)
    steps = [*procedure.steps.values(), *procedure.repairs.values()]
    spoken = {caution.name for step in steps for caution in step.cautions}
    assert spoken >= set(yaml.safe_load(library(name) or "").get("cautions", {}))
    assert spoken


@each
def test_a_state_that_is_dangerous_to_bring_about_has_its_caution_before_it_is_told(
    name: str,
) -> None:
    """At every step that may tell it, also on the way to a plug: the one before may be skipped."""
    procedure = shipped(name)
    for step in (*procedure.steps.values(), *procedure.repairs.values()):
        told = " ".join(f"{caution.hazard} {caution.avoid}" for caution in step.cautions)
        for words, hazard in DANGEROUS_TO_BRING_ABOUT.items():
            if any(re.search(words, need.instruction) for need in _may_be_told(procedure, step)):
                assert re.search(hazard, told), (step.name, words)


def _may_be_told(procedure: Procedure, step: Step) -> list[Need]:
    """The step's states, and those that must hold while these are brought about."""
    found = list(step.needs)
    for need in found:
        found += (n for n in procedure.before_changing.get(need.condition, ()) if n not in found)
    return found


@each
def test_no_vehicle_is_left_out_of_gear(name: str) -> None:
    procedure = shipped(name)
    for condition, states in procedure.conditions.items():
        if any(re.search(OUT_OF_GEAR, words) for words in states.values()):
            assert not re.search(OUT_OF_GEAR, states[procedure.at_rest[condition]])


@each
def test_a_part_is_condemned_only_with_its_proof_and_its_repair_is_proved(name: str) -> None:
    for finding in shipped(name).findings.values():
        if finding.condemns:
            assert finding.proved_by
            assert finding.prove_with


class Job:
    """One job, done with the real session on a vehicle that is a model of its circuit."""

    def __init__(self, procedure: Procedure, circuit: Circuit, answers: Mapping[str, str]) -> None:
        self.setup = SessionSetup(procedure, BOOK, meter=METER)
        self.engine = Engine(self.setup)
        self.hand = MeterInUse(METER, np.random.default_rng(7))
        self.vehicle = Vehicle(circuit, answers)
        turn = self.engine.handle(Session(), Begin((("repair order", "1042"),)))
        self.session, self.outputs = turn.session, turn.outputs

    def found(self) -> str:
        """The finding it comes to; empty when a reading is too close to call."""
        try:
            self._until(State.OFFER, State.AFTER)
        except Stuck:
            return ""
        return self.session.finding

    def repaired(self, circuit: Circuit) -> str:
        """How the job ends when the repair is done and ``circuit`` is the good one."""
        was = self.vehicle.conditions
        self.vehicle = Vehicle(circuit, circuit.answers)
        self.vehicle.conditions |= was
        if self.session.state is State.OFFER:
            self._give(Heard("", (Answer("affirm"),), certain=True))
        self._until(State.RETRY, State.AFTER)
        self._finish()
        ended = [o.outcome for o in self.outputs if isinstance(o, Ended)]
        return ended[0] if ended else "not-proved"

    def _finish(self) -> None:
        """Close the job of which all is told, with the vehicle put back."""
        if self.session.state is State.AFTER:
            self._give(Heard("", (Command("finish"),), certain=True))
        if self.session.state is State.PUT_BACK:
            self._give(Heard("", (Answer("done"),), certain=True))

    def _until(self, *states: State) -> None:
        technician = Technician(self.setup, self.vehicle, self.hand)
        for _ in range(MOST_EVENTS):
            if self.session.state in states:
                return
            self._give(technician.answer(self.session))
        raise AssertionError(f"no end at {self.session.step!r}")

    def _give(self, event: Event) -> None:
        turn = self.engine.handle(self.session, event)
        self.session, self.outputs = turn.session, turn.outputs


def good_one(procedure: Procedure, seed: int) -> Circuit:
    """A vehicle without a fault, its parts as far off as they may be."""
    assert procedure.circuit is not None
    return drawn(procedure.circuit, np.random.default_rng(seed))


@each
def test_a_good_vehicle_comes_to_no_cause(name: str) -> None:
    procedure = shipped(name)
    named = {finding for fault in procedure.faults.values() for finding in fault.found_as}
    for seed in range(len(DRAWS)):
        good = good_one(procedure, seed)
        found = Job(procedure, good, good.answers).found()
        assert found
        assert found not in named
        assert not procedure.findings[found].condemns


@pytest.mark.slow
@each
def test_each_fault_is_found_and_its_repair_is_proved(name: str) -> None:
    """One size of each, in turn: the census tries them all."""
    for number, fault in enumerate(lasting(name)):
        assert found_and_repaired(shipped(name), fault, number % len(DRAWS)) in {
            *fault.found_as,
            "",
        }


@pytest.mark.census
@each
def test_each_fault_is_found_at_every_size_and_its_repair_is_proved(name: str) -> None:
    for fault in lasting(name):
        found = [found_and_repaired(shipped(name), fault, number) for number in range(len(DRAWS))]
        assert set(found) <= {*fault.found_as, ""}, (fault.name, found)
        assert found.count("") <= 1, (fault.name, found)


def lasting(name: str) -> list[CircuitFault]:
    """Its faults, without what comes and goes: that is walked in time by the proof."""
    return [fault for fault in shipped(name).faults.values() if fault.comes is None]


def found_and_repaired(procedure: Procedure, fault: CircuitFault, number: int) -> str:
    """What a fault of that size is found as; it is repaired then, and the repair is proved."""
    good = good_one(procedure, number)
    faulty = with_fault(good, fault, DRAWS[number])
    job = Job(procedure, faulty, {**good.answers, **fault.answers})
    found = job.found()
    if job.session.finding:
        finding = procedure.findings[job.session.finding]
        proved = "repaired" if finding.prove_with or finding.go_on else "found"
        assert job.repaired(good) == proved, (fault.name, job.session.step)
    return found


@each
def test_what_work_brings_about_is_asked_for_in_its_words(name: str) -> None:
    """A plug that counts as in, and that nobody was told to put in, stays out."""
    procedure = shipped(name)
    for step in (*procedure.steps.values(), *procedure.repairs.values()):
        for condition, state in step.sets:
            words = {*condition.split(), *procedure.conditions[condition][state].split()}
            told = words & {word.rstrip("s") for word in re.findall(r"[a-z]+", step.text)}
            assert told - {"the", "a", "and", "in", "out", "off"}, (step.name, condition)

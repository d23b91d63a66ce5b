"""Every procedure that is shipped: complete, invented, without a loose end, and right."""

import random
from pathlib import Path

import numpy as np
import pytest
import yaml
from technician import Technician

from voiceassist.circuit.faults import with_fault
from voiceassist.circuit.model import Circuit
from voiceassist.circuit.tolerance import drawn
from voiceassist.procedure.flow import targets
from voiceassist.procedure.meter_file import read_meter
from voiceassist.procedure.model import Procedure
from voiceassist.procedure.read import inspect

FOLDER = Path(__file__).parents[2] / "procedures"
NAMES = sorted(path.stem for path in FOLDER.glob("*.yaml"))
each = pytest.mark.parametrize("name", NAMES)

#: The workshop's fleet, all of it invented. A vehicle that is not here must not be in a file.
FLEET = (
    "Quillback 26 shuttle",
    "Tarn 12 delivery van",
    "Fenlark 7 pickup",
    "any vehicle",
)
LEAST_FAULTS = 6
#: Sizes of a fault that are tried, from the least to the most, each on another good vehicle.
DRAWS = (0.0, 0.25, 0.5, 0.75, 1.0)
METER = read_meter((FOLDER / "meters" / "ordinary.yaml").read_text(encoding="utf-8"), "ordinary")


def library(name: str) -> str | None:
    """The shipped procedures, for one that puts in another."""
    path = FOLDER / f"{name}.yaml"
    return path.read_text(encoding="utf-8") if path.exists() else None


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
    _, faults = inspect(library(name) or "", library)
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
def test_a_part_is_condemned_only_with_its_proof_and_its_repair_is_proved(name: str) -> None:
    for finding in shipped(name).findings.values():
        if finding.condemns:
            assert finding.proved_by
            assert finding.prove_with


def vehicle(procedure: Procedure, seed: int) -> Circuit:
    """A good one, its parts as far off as they may be."""
    assert procedure.circuit is not None
    return drawn(procedure.circuit, np.random.default_rng(seed))


def sent_to(
    procedure: Procedure, circuit: Circuit, answers: dict[str, str], seed: int
) -> Technician:
    return Technician(procedure, circuit, answers, METER, random.Random(seed))


@each
def test_a_good_vehicle_comes_to_no_cause(name: str) -> None:
    procedure = shipped(name)
    named = {finding for fault in procedure.faults.values() for finding in fault.found_as}
    for seed in range(len(DRAWS)):
        good = vehicle(procedure, seed)
        found = sent_to(procedure, good, dict(good.answers), seed).find()
        assert found
        assert found not in named
        assert not procedure.findings[found].condemns


@pytest.mark.slow
@each
def test_each_fault_is_found_and_its_repair_is_proved(name: str) -> None:
    """The whole session is driven: cautions, conditions, readings of a meter with its errors."""
    procedure = shipped(name)
    for fault in procedure.faults.values():
        too_close = 0
        for seed, draw in enumerate(DRAWS):
            good = vehicle(procedure, seed)
            answers = {**good.answers, **fault.answers}
            technician = sent_to(procedure, with_fault(good, fault, draw), answers, seed)
            found = technician.find()
            too_close += not found
            assert found in {*fault.found_as, ""}, (fault.name, draw, technician.path)
        assert too_close <= 1, fault.name
        if found:
            outcome = technician.repair(good, good.answers)
            proved = "repaired" if procedure.findings[found].prove_with else "found"
            assert outcome == proved, (fault.name, technician.path)

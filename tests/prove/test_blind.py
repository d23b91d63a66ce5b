"""Sizes of a fault at which it is felt and not found, worked out by hand; faults two by two."""

from dataclasses import replace
from pathlib import Path

import pytest
from prove.shop import LAMP, changed, proved, setup

from voiceassist.app.build import Components
from voiceassist.app.desk.check import Checker
from voiceassist.app.desk.prove import Prover
from voiceassist.app.settings.settings import Settings
from voiceassist.circuit.faults import CircuitFault, FaultKind, with_fault
from voiceassist.circuit.model import Circuit
from voiceassist.circuit.parts import Battery, Fuse, Resistor
from voiceassist.procedure.faults import Severity
from voiceassist.prove import pairs
from voiceassist.prove.blind import cases_of
from voiceassist.prove.cases import Case, made
from voiceassist.prove.effect import WORSE, Effect
from voiceassist.prove.outcome import good_part
from voiceassist.prove.pairs import PairEnd
from voiceassist.prove.proof_text import failures, lines, to_json
from voiceassist.prove.sizes import range_of


def _between(a: str, b: str) -> dict[str, str]:
    return {"from": a, "to": b}


#: 12 V on a load of 6 Ω, 2 A.
HEATER = Circuit(
    parts={
        part.name: part
        for part in (
            Battery(name="battery", terminals=_between("plus", "minus"), volt=12.0),
            Fuse(name="fuse", terminals=_between("plus", "fed"), ampere=10.0, ohm=0.0001),
            Resistor(name="heater", terminals=_between("fed", "minus"), ohm=6.0),
        )
    },
    earth="minus",
    supply="plus",
)


@pytest.mark.parametrize(("ohm", "share"), [(0.1, 0.1 / 6.1), (0.3158, 0.05), (6.0, 0.5)])
def test_a_joint_takes_its_share_of_the_voltage_from_the_load(ohm: float, share: float) -> None:
    """A divider: of R and a load L, the joint takes R / (R + L)."""
    joint = CircuitFault("joint", FaultKind.HIGH, "fuse", size=(ohm, ohm))
    assert Effect(HEATER, [{}]).of(with_fault(HEATER, joint)) == pytest.approx(share, rel=1e-3)


def test_a_joint_is_felt_from_a_twentieth_of_the_supply_on() -> None:
    """R / (R + 6 Ω) is 5 % at 6 Ω / 19 = 0.316 Ω."""
    found = range_of(
        HEATER,
        CircuitFault("joint", FaultKind.HIGH, "fuse", size=(5.0, 50.0)),
        Effect(HEATER, [{}]),
    )
    assert found is not None
    assert WORSE == 0.05
    assert found.mild[0] == pytest.approx(6 / 19, rel=0.05)
    assert found.mild[0] >= 6 / 19 * 0.999
    assert sorted(found.mild) == list(found.mild)
    assert max(found.mild) < 5.0
    assert found.beyond == (200.0, 1000.0, 20000.0)


def test_a_wrong_value_is_tried_from_where_it_is_felt_to_what_is_told() -> None:
    """At a source of 12 V, a battery of 11.4 V gives 5 % less."""
    low = CircuitFault("low", FaultKind.WRONG, "battery", size=(9.0, 10.0))
    found = range_of(HEATER, low, Effect(HEATER, [{}]))
    assert found is not None
    assert max(found.mild) == pytest.approx(11.4, rel=0.005)
    assert min(found.mild) > 10.0
    assert found.told == (10.0, 9.0)


@pytest.mark.parametrize(
    "fault",
    [
        CircuitFault("gone", FaultKind.OPEN, "fuse"),
        CircuitFault("as good", FaultKind.WRONG, "heater", size=(5.5, 6.5)),
    ],
)
def test_a_fault_without_a_size_of_its_own_has_no_range(fault: CircuitFault) -> None:
    assert range_of(HEATER, fault, Effect(HEATER, [{}])) is None


def test_a_part_that_is_not_at_work_feels_nothing() -> None:
    dead = HEATER.with_parts(replace(HEATER.parts["fuse"], blown=True))  # type: ignore[call-arg]
    joint = CircuitFault("joint", FaultKind.HIGH, "fuse", size=(5.0, 5.0))
    assert not Effect(dead, [{}]).is_felt(with_fault(dead, joint))


#: The lamp is looked at only for its volts with a meter, and blamed for what a joint loses.
KIND = changed(
    LAMP,
    ("accept: battery - 0.5 V to battery + 0.1 V", "accept: battery - 6.0 V to battery + 0.1 V"),
    ("  lamp: {cause: the lamp has failed, correction: change it}",
     "  lamp: {cause: the lamp has failed, correction: change it, condemns: side lamp,"
     " proved-by: {feed: feed, earth: earth}}"),
    ("accept: at most 12 Ω", "accept: at least 12 Ω"),
    ("lamp-gone: {open: side lamp, found-as: lamp}",
     "lamp-gone: {shorted: side lamp, value: 1 Ω to 2 Ω, found-as: [lamp, feed-side]}"),
    ("value: 10 Ω to 100 Ω", "value: 60 Ω to 100 Ω"),
)  # fmt: skip


def test_a_good_part_condemned_by_a_milder_fault_is_an_error_with_its_sizes() -> None:
    """A cold lamp of 5 W reads 2.9 Ω: any vehicle that comes so far loses its good lamp."""
    procedure, proof = proved(KIND)
    assert proof.examined is not None
    (blind,) = [b for b in proof.examined.blind if b.fault == "burnt-holder"]
    mild = blind.stretches[0]
    hot = 12.0**2 / 5
    assert mild.least == pytest.approx(hot / 19, rel=0.4)  # its filament gives less way than 28.8 Ω
    assert mild.condemned[0][0] == "side lamp"
    told = [f.message for f in failures(procedure, proof)]
    assert any(
        "'burnt-holder' of" in one and "condemns the good 'side lamp'" in one for one in told
    )
    assert any(one.strip().startswith("burnt-holder ") for one in lines(proof))
    rows = to_json(proof)["blind"]
    assert isinstance(rows, list)
    assert {"fault", "unit", "least", "most", "walks", "findings", "condemned"} <= rows[0].keys()


def test_a_size_that_is_told_by_a_case_is_in_the_circuit() -> None:
    walk = made(setup(), 1, Case("burnt-holder", 0, 1, size=2.0))
    (feed,) = [taken for taken in walk.taken if taken.step == "feed"]
    volts = float(feed.shown.split()[0])
    assert 11.3 < volts < 12.2  # 12.6 V less 2 Ω times some 0.4 A


def test_each_size_is_walked_so_often() -> None:
    found = range_of(
        HEATER,
        CircuitFault("joint", FaultKind.HIGH, "fuse", size=(5.0, 50.0)),
        Effect(HEATER, [{}]),
    )
    assert found is not None
    assert len(list(cases_of({"joint": found}, 2))) == 2 * (6 + 3)


# --- two at once ---


def test_pairs_leave_out_two_faults_of_one_part_and_can_be_thinned_evenly() -> None:
    procedure = setup().procedure
    every = [case.faults for case in pairs.cases_of(procedure, 1.0)]
    assert len(every) == 10  # five faults two by two, each of another part
    assert len(list(pairs.cases_of(procedure, 0.3))) == 3
    assert len(list(pairs.cases_of(procedure, 5.0))) == 10


def test_with_two_faults_in_it_the_circuit_has_both() -> None:
    walk = made(setup(), 1, Case("broken-earth", 0, 1, also="lamp-gone"))
    assert walk.finding in {"earth-side", "lamp"}
    alone = made(setup(), 1, Case("lamp-gone", 0, 1))
    assert alone.finding == "lamp"


def test_a_part_with_a_fault_in_it_is_no_good_part() -> None:
    procedure = setup(KIND).procedure
    assert good_part(procedure, ("broken-wire",), "lamp") == "side lamp"
    assert good_part(procedure, ("lamp-gone",), "lamp") == ""
    assert good_part(procedure, ("broken-wire", "lamp-gone"), "lamp") == ""
    assert good_part(procedure, ("broken-wire",), "feed-side") == ""
    assert good_part(procedure, ("broken-wire",), "") == ""


def test_how_each_pair_ended_is_counted() -> None:
    _, proof = proved(KIND, 100)
    assert proof.examined is not None
    ends = proof.examined.pairs.ends
    assert sum(ends.values()) == proof.examined.pairs.walks == 10
    assert ends[PairEnd.NAMED] > 0
    assert any(line.strip().startswith("two faults at once, 10 pairs") for line in lines(proof))


#: One fault takes current away and the other adds some; together they are within the limit.
EVEN = """
procedure: side-lamp
title: Side lamp is dim or too bright
for: an invented trailer
steps:
  current:
    measure: current in the brown wire, by clamp
    accept: 0.38 A to 0.6 A
    low: feed-side
    high: lamp
    then: no-fault
findings:
  feed-side: {cause: the feed is weak, correction: follow the brown wire}
  lamp: {cause: the lamp is of the wrong power, correction: change it}
  no-fault: {cause: all is well, correction: look for a fault that comes and goes}
circuit:
  parts:
    battery: {battery: 12.6 V, from: battery plus post, to: frame}
    brown wire: {wire: 6 m, size: 1.5 mm², from: battery plus post, to: lamp feed}
    side lamp: {lamp: 5 W, voltage: 12 V, from: lamp feed, to: frame}
faults:
  joint: {high-resistance: brown wire, value: 14 Ω to 16 Ω, found-as: feed-side}
  bulb: {wrong: side lamp, value: 9 W to 10 W, found-as: lamp}
"""


def test_two_faults_that_hide_each_other_are_a_warning_with_their_names() -> None:
    procedure, proof = proved(EVEN, 100)
    assert {each.fault: each.outcome.value for each in proof.faults} == {
        "joint": "found",
        "bulb": "found",
    }
    told = [f for f in failures(procedure, proof) if "together are called" in f.message]
    assert [(f.fault, f.step, f.only_warns) for f in told] == [("joint", "current", True)]
    assert "the faults 'joint' and 'bulb' together are called 'no-fault'" in told[0].message
    assert to_json(proof)["pairs"]["no_fault_by"] == [["joint", "bulb"]]  # type: ignore[index]


def test_two_faults_that_hide_each_other_are_told_by_the_check_as_a_warning(tmp_path: Path) -> None:
    file = tmp_path / "side-lamp.yaml"
    file.write_text(EVEN, encoding="utf-8")
    with Prover(100, workers=1) as prover:
        report = Checker(Components(Settings()), prover).check(file)
    (told,) = [fault for fault in report.faults if "together are called" in fault.message]
    assert told.level is Severity.WARNING
    assert told.path == "steps.current"
    assert not any(fault.level is Severity.ERROR for fault in report.faults)


# --- a drop without current ---

IDLE = changed(
    LAMP,
    ("voltage from the lamp feed to the frame", "voltage from the switched to the lamp feed"),
    ("accept: battery - 0.5 V to battery + 0.1 V", "accept: at most 0.5 V"),
    ("  lamp: {cause: the lamp has failed, correction: change it}",
     "  lamp: {cause: the lamp has failed, correction: change it, condemns: side lamp,"
     " proved-by: {feed: feed, earth: earth}}"),
)  # fmt: skip


def test_a_drop_that_reads_zero_since_nothing_flows_proves_nothing() -> None:
    """With the lamp open no current flows, so the drops of feed and earth are zero anyhow."""
    procedure, proof = proved(IDLE)
    told = [f.message for f in failures(procedure, proof) if "no current flowing" in f.message]
    assert any("proved by the drop 'feed'" in one for one in told)
    assert any("proved by the drop 'earth'" in one for one in told)


def test_a_voltage_over_an_absent_load_is_no_drop() -> None:
    _, proof = proved(LAMP)
    assert proof.examined is not None
    assert proof.examined.idle == ()

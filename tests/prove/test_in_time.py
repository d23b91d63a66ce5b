"""Faults that come and go, a latch and a timer, walked in time.

The chances are worked out by hand: each second is a draw of its own.
"""

import numpy as np
import pytest
from bench import BOOK, HOUSE, METER
from prove.shop import changed, proved, setup

from voiceassist.circuit.comes import Comes
from voiceassist.circuit.faults import CircuitFault, FaultKind
from voiceassist.circuit.lasting import timers
from voiceassist.circuit.probe import Shown
from voiceassist.language.meanings import Lamp, Spread
from voiceassist.procedure.read import read_procedure
from voiceassist.prove.cases import Case, made
from voiceassist.prove.comings import Comings, Drawn
from voiceassist.prove.meter_in_use import MeterInUse
from voiceassist.prove.outcome import Outcome
from voiceassist.prove.pairs import PairEnd, end_of
from voiceassist.prove.proof_text import failures, lines
from voiceassist.prove.prove import prove
from voiceassist.prove.repairing import Repair
from voiceassist.prove.technician import CHANGE_S, READ_S, WATCH_S, Technician
from voiceassist.prove.vehicle import Vehicle
from voiceassist.session.session import SessionSetup

#: A lamp that drops out when its harness is moved.
HARNESS = """
procedure: drops-out
title: Lamp drops out
for: an invented trailer
conditions:
  harness:
    still: let the wires hang still
    plug: {do: move the plug, ask: was the plug moved, not: the plug was not moved}
    bend: {do: move the wires at the bend, ask: were they moved, not: they were not moved}
at-rest: {harness: still}
steps:
  at-rest:
    needs: {harness: still}
    measure: voltage from the lamp feed to the frame
    accept: at least 11.5 V
    steady: 0.3 V
    low: steady-fault
  plug:
    needs: {harness: plug}
    measure: voltage from the lamp feed to the frame, while the plug is moved
    accept: at least 11.5 V
    steady: 0.3 V
    low: plug-bad
  bend:
    needs: {harness: bend}
    measure: voltage from the lamp feed to the frame, while the bend is moved
    accept: at least 11.5 V
    steady: 0.3 V
    low: bend-bad
    then: no-fault
findings:
  steady-fault: {cause: it is there all the time, correction: test it as a steady one}
  plug-bad: {cause: the plug is bad, correction: mend it, prove-with: [plug]}
  bend-bad: {cause: the wire is broken inside, correction: mend it, prove-with: [bend]}
  no-fault: {cause: it did not show, correction: come back when it does}
circuit:
  parts:
    battery: {battery: 12.6 V, from: battery plus post, to: frame}
    plug: {joint: 5 mΩ, from: battery plus post, to: plug out}
    brown wire: {wire: 6 m, size: 1.5 mm², from: plug out, to: lamp feed}
    side lamp: {lamp: 21 W, voltage: 12 V, from: lamp feed, to: frame}
faults:
  plug-loose: {high-resistance: plug, value: 2 Ω to 50 Ω, comes: {when: {harness: plug}}, found-as: plug-bad}
  wire-broken: {open: brown wire, comes: {when: {harness: [bend]}, chance: 40 %}, found-as: bend-bad}
  now-and-then: {open: brown wire, comes: {chance: 5 %}, found-as: [steady-fault, plug-bad, bend-bad]}
"""  # noqa: E501

DRAWS = 200


def by_fault(draws: int = DRAWS) -> dict[str, tuple[int, int, int, int]]:
    _, proof = proved(HARNESS, draws)
    return {e.fault: (e.found, e.wrong, e.unresolved, e.hidden) for e in proof.faults}


def test_a_fault_that_comes_with_a_state_is_found_in_every_draw() -> None:
    assert by_fault()["plug-loose"] == (DRAWS, 0, 0, 0)


def test_a_fault_with_a_chance_a_second_is_found_as_often_as_the_chance_says() -> None:
    """In 10 s of watching it does not show with 0.6^10 = 0.6 %, and is there throughout never."""
    found, wrong, unresolved, hidden = by_fault()["wire-broken"]
    assert wrong == 0
    assert unresolved == hidden
    assert found == pytest.approx(DRAWS * (1 - 0.6**WATCH_S), abs=5)


def test_no_fault_is_honest_when_a_fault_never_showed() -> None:
    """Three steps of 10 s: 0.95^30 = 21 % of the walks end with no fault, none with a wrong one."""
    found, wrong, unresolved, hidden = by_fault()["now-and-then"]
    assert wrong == 0
    assert unresolved == hidden
    share = 0.95 ** (3 * WATCH_S)
    spread = (DRAWS * share * (1 - share)) ** 0.5
    assert hidden == pytest.approx(DRAWS * share, abs=4 * spread)
    assert found == DRAWS - hidden


def test_the_table_tells_in_how_many_walks_it_did_not_show() -> None:
    hidden = by_fault()["now-and-then"][3]
    _, proof = proved(HARNESS, DRAWS)
    assert any(line.endswith(f"; did not show in {hidden}") for line in lines(proof))


def test_no_fault_is_wrong_when_the_fault_showed_and_was_not_seen() -> None:
    """The reading drops to 9 V and the limit is at 5 V: it wanders, and nobody minds."""
    blind = changed(
        HARNESS,
        ("value: 2 Ω to 50 Ω", "value: 2 Ω to 3 Ω"),
        ("accept: at least 11.5 V\n    steady: 0.3 V", "accept: at least 5 V\n    steady: 9 V"),
    )
    _, proof = proved(blind, 8)
    each = {e.fault: e for e in proof.faults}["plug-loose"]
    assert (each.outcome, each.wrong, each.hidden) == (Outcome.WRONG, 8, 0)


def test_a_good_part_condemned_for_a_fault_that_comes_and_goes_is_an_error() -> None:
    condemns = changed(
        HARNESS,
        ("  plug-bad: {cause: the plug is bad, correction: mend it, prove-with: [plug]}",
         "  lamp: {cause: the lamp is bad, correction: change it, condemns: side lamp,"
         " proved-by: {feed: at-rest}}\n"
         "  plug-bad: {cause: the plug is bad, correction: mend it, prove-with: [plug]}"),
        ("low: plug-bad", "low: lamp"),
    )  # fmt: skip
    procedure, proof = proved(condemns, 8)
    told = [f for f in failures(procedure, proof) if f.fault == "plug-loose"]
    assert told
    assert not told[0].only_warns
    assert "is called 'lamp' in 8 of 8 draws" in told[0].message


def test_a_fault_that_is_never_brought_about_is_a_warning_that_says_so() -> None:
    still = changed(
        HARNESS,
        ("wire-broken: {open: brown wire, comes: {when: {harness: [bend]}, chance: 40 %}",
         "wire-broken: {open: brown wire, comes: {when: {heat: hot}}"),
        ("at-rest: {harness: still}",
         "  heat:\n    cold: let it cool\n"
         "    hot: {do: warm it, ask: is it warm, not: it was not warm}\n"
         "at-rest: {harness: still}"),
    )  # fmt: skip
    procedure, proof = proved(still, 8)
    (told,) = [f for f in failures(procedure, proof) if f.fault == "wire-broken"]
    assert told.only_warns
    assert "comes and goes, and did not show in 8 draws" in told.message


def test_a_repair_that_was_not_done_is_not_proved_by_a_step_in_which_the_fault_shows() -> None:
    undone = made(setup(HARNESS), 1, Case("plug-loose", 0, 1, repair=Repair.UNDONE))
    assert undone.after is not None
    assert undone.after.failed == "plug"
    mended = made(setup(HARNESS), 1, Case("plug-loose", 0, 1, repair=Repair.MENDED))
    assert mended.after is not None
    assert mended.after.ending == "repaired"


def test_two_faults_that_both_hide_are_left_open_and_one_that_is_always_there_is_not() -> None:
    hiding = changed(
        HARNESS,
        ("plug-loose: {high-resistance: plug, value: 2 Ω to 50 Ω, comes: {when: {harness: plug}}",
         "plug-loose: {open: plug, comes: {chance: 0.001 %}"),
        ("comes: {when: {harness: [bend]}, chance: 40 %}", "comes: {chance: 0.001 %}"),
        ("faults:\n", "faults:\n  bulb: {wrong: side lamp, value: 10 W, found-as: bend-bad}\n"),
    )  # fmt: skip
    procedure = setup(hiding).procedure
    ends = {
        also: end_of(procedure, case, made(setup(hiding), 1, case))
        for also in ("wire-broken", "bulb")
        for case in [Case("plug-loose", 0, 1, also=also)]
    }
    assert ends == {"wire-broken": PairEnd.OPEN, "bulb": PairEnd.NO_FAULT}


def test_the_same_seed_walks_the_same_in_time() -> None:
    case = Case("now-and-then", 3, 8)
    assert made(setup(HARNESS), 5, case) == made(setup(HARNESS), 5, case)
    found = {made(setup(HARNESS), seed, case).finding for seed in range(12)}
    assert len(found) > 1


# --- the vehicle by the second ---


def vehicle(comes: Comes, seed: int = 3) -> Vehicle:
    circuit = setup(HARNESS).procedure.circuit
    assert circuit is not None
    fault = CircuitFault("wire", FaultKind.OPEN, "brown wire", comes=comes)
    comings = Comings(circuit, [Drawn(fault, 0.5)], np.random.default_rng(seed))
    return Vehicle(circuit, {}, circuit, comings)


def test_the_share_of_seconds_in_which_a_fault_is_there_is_its_chance() -> None:
    under = vehicle(Comes(chance=0.3))
    there = 0
    for _ in range(2000):
        under.passes(1)
        shows = under.shows("at-rest")
        assert shows is not None
        assert shows.value is not None
        there += shows.value.value < 1
    assert there / 2000 == pytest.approx(0.3, abs=4 * (0.3 * 0.7 / 2000) ** 0.5)


def test_a_vehicle_whose_fault_does_not_come_and_go_keeps_no_time() -> None:
    circuit = setup(HARNESS).procedure.circuit
    assert circuit is not None
    under = Vehicle(circuit, {})
    assert not under.moves
    under.passes(10_000)
    assert under.circuit is circuit
    assert under.has_shown


def test_a_watched_reading_is_told_by_its_lowest_and_highest() -> None:
    under = vehicle(Comes(chance=0.5))
    hand = MeterInUse(None, np.random.default_rng(1))
    technician = Technician(setup(HARNESS), under, hand)
    step = setup(HARNESS).procedure.step("at-rest")
    said = technician._read(step, technician._looked(step))
    assert isinstance(said, Spread)
    assert said.low.value < 1
    assert said.high.value > 12


#: A heater whose timer lapses, and whose guard opens above 8 A.
TIMED = """
procedure: timed
title: Rear window heater
for: an invented trailer
conditions:
  button: {free: let the button go, pressed: press the button}
steps:
  at-once:
    needs: {button: pressed}
    measure: voltage from the heater feed to the frame
    accept: at least 11 V
    low: dead
  settle:
    needs: {button: pressed}
    wait: the timer
    for: 12 min
  later:
    needs: {button: pressed}
    measure: voltage from the heater feed to the frame
    accept: at most 1 V
    high: stuck-on
    then: no-fault
findings:
  dead: {cause: no supply, correction: mend it}
  stuck-on: {cause: the timer does not lapse, correction: renew it}
  no-fault: {cause: it lapses, correction: none}
circuit:
  at-first: {button: free}
  parts:
    battery: {battery: 12.6 V, from: battery plus post, to: frame}
    timer: {switch: {button: pressed}, lapses-after: 10 min, from: battery plus post, to: guard in}
    guard: {latch: 8 A, from: guard in, to: heater feed}
    heater: {resistor: 2 Ω, from: heater feed, to: frame}
faults:
  timer-stuck: {stuck: timer, state: closed, found-as: stuck-on}
  heater-shorted: {shorted: heater, value: 0.1 Ω to 0.2 Ω, found-as: dead}
"""


def test_a_timer_lapses_while_a_step_waits_and_a_stuck_one_does_not() -> None:
    procedure, proof = proved(TIMED, 8)
    assert proof.good.found == 8
    assert [e.found for e in proof.faults] == [8, 8]
    assert not [f for f in failures(procedure, proof) if not f.only_warns]
    assert procedure.circuit is not None
    assert [timer.lapses_s for timer in timers(procedure.circuit)] == [600.0]


def test_a_timer_that_has_not_lapsed_yet_is_still_closed() -> None:
    """Changing takes 10 s and reading 5 s: of 10 min, 9 min of waiting leave some."""
    early = changed(TIMED, ("for: 12 min", "for: 9 min"))
    _, proof = proved(early, 8)
    assert proof.good.found == 0
    assert CHANGE_S + 2 * READ_S < 60


def test_a_lamp_that_was_seen_bright_and_off_flickers() -> None:
    under = vehicle(Comes(chance=0.5))
    technician = Technician(setup(HARNESS), under, MeterInUse(None, np.random.default_rng(1)))
    step = setup(HARNESS).procedure.step("at-rest")
    assert technician._read(step, [Shown(lamp="bright"), Shown(lamp="off")]) == Lamp("flickering")
    assert technician._read(step, [Shown(lamp="bright")]) == Lamp("bright")


# --- the shipped one, put in by another ---

USER = """
procedure: cuts-out
title: A pump cuts out
for: an invented trailer
steps:
  now:
    ask: does it stand still now
    answers: {yes: dead, no: moved}
    comes-and-goes: moved
  moved:
    use: comes-and-goes
    go: {there-now: dead, no-fault: no-fault}
findings:
  dead: {cause: it is there all the time, correction: test it as a steady fault}
  no-fault: {cause: it did not show, correction: come back when it does}
"""


def test_another_procedure_goes_on_with_the_shipped_one_and_finds_what_it_finds() -> None:
    text = (HOUSE / "procedures" / "comes-and-goes.yaml").read_text(encoding="utf-8")
    model = text[text.index("\ncircuit:") :]
    model = model.replace("found-as: ", "found-as: moved-").replace("moved-there-now", "dead")
    model = model.replace("  answers: {", "  answers: {now: no, moved-", 1)
    procedure = read_procedure(USER + model, "cuts-out.yaml", shipped)
    proof = prove(SessionSetup(procedure, BOOK, meter=METER), 4)
    assert {each.fault for each in proof.faults if each.outcome is not Outcome.FOUND} == set()
    assert len(proof.faults) == 13
    assert proof.good.findings == {"no-fault": 4}


def shipped(name: str) -> str:
    return (HOUSE / "procedures" / f"{name}.yaml").read_text(encoding="utf-8")

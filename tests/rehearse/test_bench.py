"""The simulated vehicle does what is wished, shows what a meter would, and tells what it costs."""

from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest
from bench import BOOK, FAN, METER

from voiceassist.circuit.model import Circuit
from voiceassist.circuit.parts import Battery, Bulb
from voiceassist.language.meanings import Reading
from voiceassist.measure.accuracy import Accuracy
from voiceassist.measure.meter import MeterRange
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.model import Procedure
from voiceassist.procedure.read import read_procedure
from voiceassist.prove.meter_in_use import MeterInUse
from voiceassist.prove.vehicle import Vehicle
from voiceassist.reason.sampling import vehicle_of
from voiceassist.rehearse.acts import Act
from voiceassist.rehearse.bench import Bench
from voiceassist.rehearse.eyes import Looks, views
from voiceassist.rehearse.instrument import BenchMeter
from voiceassist.rehearse.marks import right_findings
from voiceassist.rehearse.wishes import Verb, Wish
from voiceassist.session.session import SessionSetup

PROCEDURE = read_procedure(FAN, "fan.yaml")
ACCURACY = Accuracy(Decimal(2), 5)
DESK = SessionSetup(PROCEDURE, BOOK, meter=METER)


def bench(fault: str = "", size: float = 0.5, procedure: Procedure = PROCEDURE) -> Bench:
    wrong = procedure.faults[fault] if fault else None
    car = vehicle_of(procedure, wrong, size, 7)
    hand = MeterInUse(METER, np.random.default_rng(3))
    assert procedure.circuit is not None
    mended = Vehicle(car.good, procedure.circuit.answers)
    return Bench(DESK, car, BenchMeter(DESK, hand), mended, right_findings(procedure, fault))


def do(on: Bench, verb: Verb, one: str = "", other: str = "") -> Act:
    return on.do(Wish(verb, one, other))


def bring(on: Bench, **states: str) -> None:
    for condition, state in states.items():
        do(on, Verb.BRING, condition.replace("_", " "), state)


def volts(act: Act) -> Decimal:
    assert act.test is not None
    assert act.test.sight.number is not None
    return Decimal(f"{act.test.sight.number:.4f}")


def test_a_change_is_told_once_it_is_made_and_costs_nothing_when_it_is_so_already() -> None:
    on = bench()
    first = do(on, Verb.BRING, "key", "run")
    assert first.told == "The key is in run."
    assert first.minutes > 0
    again = do(on, Verb.BRING, "key", "run")
    assert again.told == "It is so already: the key is in run."
    assert again.minutes == 0


def test_a_clamp_that_reads_nothing_shows_so_on_the_range_that_was_chosen_for_the_limit() -> None:
    """A clamp has no range of microamperes; common practice, no source."""
    sixty = MeterRange("current", Quantity.parse("60 A"), Quantity.parse("0.01 A"), ACCURACY)
    on = bench()
    on.meter.hand = MeterInUse(
        replace(METER, ranges=(*METER.ranges, sixty)), np.random.default_rng(3)
    )
    act = do(on, Verb.AMPS, "motor wire")
    assert act.test is not None
    assert act.test.step == "motor-current"  # 3 A to 12 A
    shown, unit = act.told.removeprefix("The meter shows ").removesuffix(".").split()
    assert unit == "A"
    assert abs(Decimal(shown)) <= Decimal("0.05")  # five counts of the range to 60 A


def test_the_meter_shows_what_the_circuit_gives_within_its_own_error() -> None:
    on = bench()
    bring(on, module_plug="out", key="run")
    act = do(on, Verb.VOLTS, "feed pin", "body earth")
    assert act.told.startswith("The meter shows 12.")
    assert Decimal("12.2") < volts(act) < Decimal("12.7")
    assert act.test is not None
    assert act.test.step == "feed"  # the step that is read with the same leads
    shown = act.told.removeprefix("The meter shows ").removesuffix(" V.")
    assert abs(Decimal(shown) - volts(act)) < Decimal("0.1")


def test_leads_the_other_way_round_show_minus() -> None:
    on = bench()
    bring(on, module_plug="out", key="run")
    act = do(on, Verb.VOLTS, "body earth", "feed pin")
    assert act.told.startswith("The meter shows -12.")
    assert act.test is not None
    assert act.test.step == ""


def test_a_fault_shows_itself() -> None:
    on = bench("module-stuck-fast")
    assert "stands still" in do(on, Verb.LOOK).told
    bring(on, key="run")
    assert "The fan motor runs fast." in do(on, Verb.LOOK).told
    good = bench()
    bring(good, key="run")
    assert "The fan motor runs fast." not in do(good, Verb.LOOK).told


def test_ohms_on_a_live_circuit_tell_nothing_and_are_a_slip() -> None:
    on = bench()
    bring(on, module_plug="out", key="run")
    act = do(on, Verb.OHMS, "feed pin", "body earth")
    assert "tells nothing" in act.told
    assert act.slips
    assert act.test is None


def test_a_plug_that_is_pulled_live_is_a_slip_told_with_what_would_do() -> None:
    on = bench()
    bring(on, key="run")
    act = do(on, Verb.BRING, "module plug", "out")
    assert act.slips == (
        "In a workshop that does damage: key off before you change the module plug.",
    )
    safe = bench()
    assert do(safe, Verb.BRING, "module plug", "out").slips == ()


def test_a_question_of_the_procedure_is_looked_into() -> None:
    assert do(bench("motor-seized"), Verb.ASK, "turns-freely").told == "You find: no."
    assert do(bench(), Verb.ASK, "turns-freely").told == "You find: yes."


def test_where_the_procedure_asks_something_a_look_answers_it() -> None:
    step = PROCEDURE.step("turns-freely")
    seized = bench("motor-seized")
    assert seized.do(Wish(Verb.LOOK), step).told == "You find: no."
    assert seized.do(Wish(Verb.LOOK), step).test is not None
    assert seized.do(Wish(Verb.LOOK)).test is None


def test_changing_the_bad_part_makes_the_vehicle_good_and_a_good_part_does_not() -> None:
    on = bench("module-stuck-fast")
    bring(on, key="run")
    assert do(on, Verb.CHANGE, "fan motor").condemned == "fan motor"
    assert "runs fast" in do(on, Verb.LOOK).told
    do(on, Verb.CHANGE, "fan module")
    assert "runs fast" not in do(on, Verb.LOOK).told


def test_a_fault_without_a_part_is_mended_once_it_is_named_and_rightly() -> None:
    on = bench("fuse-blown")
    assert do(on, Verb.MEND).told == "Name the cause first."
    bring(on, key="run", fan_control="highest")
    on.named = "earth-side"
    do(on, Verb.MEND)
    assert "stands still" in do(on, Verb.LOOK).told
    on.named = "feed-side"
    do(on, Verb.MEND)
    assert "runs fast" in do(on, Verb.LOOK).told


def test_the_step_that_leads_is_read_with_its_own_leads() -> None:
    on = bench()
    bring(on, module_plug="out", key="run")
    act = on.do(Wish(Verb.READ), PROCEDURE.step("feed"))
    assert act.test is not None
    assert act.test.step == "feed"
    assert on.do(Wish(Verb.READ), PROCEDURE.step("feed-lamp")).told == "The lamp is bright."
    assert "Hold the meter somewhere first" in do(on, Verb.READ).told


def test_the_same_vehicle_and_meter_show_the_same_again() -> None:
    told = []
    for _ in range(2):
        on = bench("control-worn", 0.3)
        bring(on, key="run")
        told.append(do(on, Verb.VOLTS, "command wire", "earth pin").told)
    assert told[0] == told[1]


@pytest.mark.parametrize(
    ("share", "look"),
    [
        (1.0, Looks.BRIGHT),
        (0.8, Looks.BRIGHT),
        (0.5, Looks.DIM),
        (0.1, Looks.OFF),
        (0.0, Looks.OFF),
    ],
)
def test_a_lamp_is_seen_by_the_share_of_its_voltage(share: float, look: Looks) -> None:
    ends = {"from": "plus", "to": "earth"}
    battery = Battery(name="battery", terminals=ends, volt=12 * share, ohm=1e-6)
    lamp = Bulb(name="lamp", terminals=ends, watt=21.0, volt=12.0)
    circuit = Circuit({"battery": battery, "lamp": lamp}, "earth")
    assert [view.look for view in views(circuit, {})] == [look]


def test_what_reads_a_wish_reads_its_name_back() -> None:
    for wish in (Wish(Verb.LOOK), Wish(Verb.VOLTS, "feed pin", "body earth")):
        assert Wish.named(wish.name) == wish
    assert Wish.named("affirm") is None


def test_what_the_meter_showed_is_known_until_it_is_held_elsewhere() -> None:
    on = bench()
    bring(on, module_plug="out", key="run")
    assert on.shown_at("feed") == ()
    act = on.do(Wish(Verb.READ), PROCEDURE.step("feed"))
    assert act.test is not None
    (shown,) = on.shown_at("feed")
    assert isinstance(shown, Reading)
    assert act.test.shown == f"{shown.value} {shown.unit}"
    assert act.told == f"The meter shows {act.test.shown}."
    bring(on, key="off")
    assert on.shown_at("feed") == (shown,)
    do(on, Verb.VOLTS, "earth pin", "body earth")
    assert on.shown_at("feed") == ()


def test_the_same_leads_in_his_own_words_show_the_step_its_reading() -> None:
    on = bench()
    bring(on, module_plug="out", key="run")
    do(on, Verb.VOLTS, "feed pin", "body earth")
    assert len(on.shown_at("feed")) == 1

"""A fault that comes and goes does so under a trainee's hands, the same for the same seed."""

from pathlib import Path

import numpy as np
import pytest
from bench import BOOK, METER

from voiceassist.procedure.read import read_procedure
from voiceassist.prove.cases import vehicle_with
from voiceassist.prove.comings import Drawn
from voiceassist.prove.meter_in_use import MeterInUse
from voiceassist.prove.vehicle import Vehicle
from voiceassist.reason.sampling import vehicle_of
from voiceassist.rehearse.acts import Act
from voiceassist.rehearse.bench import Bench
from voiceassist.rehearse.instrument import BenchMeter
from voiceassist.rehearse.marks import right_findings
from voiceassist.rehearse.moving import moved, warmed
from voiceassist.rehearse.wishes import Verb, Wish
from voiceassist.session.session import SessionSetup

HOUSE = Path(__file__).parents[2]
PROCEDURE = read_procedure(
    (HOUSE / "procedures" / "comes-and-goes.yaml").read_text("utf-8"), "comes.yaml"
)
PINS = Wish(Verb.VOLTS, "load feed", "load earth")


def bench(fault: str, seed: int = 1) -> Bench:
    wrong = PROCEDURE.faults[fault]
    assert PROCEDURE.circuit is not None
    steady = vehicle_of(PROCEDURE, None, 0.5, 7)
    answers = PROCEDURE.circuit.answers
    car = vehicle_with(answers, steady.good, [Drawn(wrong, 0.5)], np.random.default_rng(seed))
    hand = MeterInUse(METER, np.random.default_rng(3))
    setup = SessionSetup(PROCEDURE, BOOK, meter=METER)
    on = Bench(
        setup,
        car,
        BenchMeter(setup, hand),
        Vehicle(car.good, answers),
        right_findings(PROCEDURE, fault),
    )
    on.do(Wish(Verb.BRING, "key", "run"))
    on.do(Wish(Verb.BRING, "load", "on"))
    return on


def number(act: Act) -> float:
    assert act.test is not None
    assert act.test.sight.number is not None
    return act.test.sight.number


def test_what_the_file_says_brings_a_fault_is_what_is_moved_or_warmed() -> None:
    assert set(moved(PROCEDURE)) == {
        ("harness", place) for place in ("fuse box", "bend", "plug", "earth", "load")
    }
    assert warmed(PROCEDURE) == (("heat", "hot"),)


def test_a_fault_that_comes_by_moving_is_not_there_while_nothing_is_moved() -> None:
    on = bench("wire-broken-inside")
    assert all(number(on.do(PINS)) > 11 for _ in range(10))
    assert on.do(Wish(Verb.WAIT)).told == "Nothing changes that one could see."


@pytest.mark.parametrize(
    ("fault", "place"),
    [("wire-broken-inside", "bend the wires"), ("earth-pin-spread", "each wire of the plug")],
)
def test_wiggling_with_the_meter_held_shows_which_place_brings_it(fault: str, place: str) -> None:
    on = bench(fault)
    on.do(PINS)
    act = on.do(Wish(Verb.WIGGLE))
    assert act.told.startswith("When you ")
    assert place in act.told
    assert act.told.count("When you ") == 1
    assert number(act) < 1
    assert number(on.do(PINS)) > 11  # let go, it is gone again


def test_a_fault_that_comes_by_warmth_stays_while_it_is_warm() -> None:
    on = bench("load-opens-hot")
    place = next(p.through for p in on.vehicle.circuit.probes.values() if p.through)
    on.do(Wish(Verb.AMPS, place))
    before = number(on.acts[-1])
    on.do(Wish(Verb.WARM))
    after = number(on.do(Wish(Verb.AMPS, place)))
    assert before > 1 > after


def test_while_the_place_is_moved_it_is_there_in_some_seconds_and_not_in_others() -> None:
    on = bench("wire-broken-inside")
    on.do(Wish(Verb.BRING, "harness", "bend"))
    seen = [number(on.do(PINS)) < 1 for _ in range(40)]
    # 60 % of the seconds by the file; of 40, four standard deviations of the binomial either side.
    assert 40 * 0.6 - 4 * (40 * 0.24) ** 0.5 < sum(seen) < 40 * 0.6 + 4 * (40 * 0.24) ** 0.5


def test_the_same_seed_gives_the_same_seconds() -> None:
    def run(seed: int) -> list[bool]:
        on = bench("wire-broken-inside", seed)
        on.do(Wish(Verb.BRING, "harness", "bend"))
        return [number(on.do(PINS)) < 1 for _ in range(20)]

    assert run(1) == run(1)
    assert run(1) != run(2)

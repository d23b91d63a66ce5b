"""A fault is drawn no more once its first draws found it far from every limit, and only then."""

from dataclasses import replace
from itertools import pairwise

import pytest
from prove.shop import LAMP, changed, setup

from voiceassist.prove.cases import GOOD, Case, made
from voiceassist.prove.proof_text import lines, to_json
from voiceassist.prove.prove import prove
from voiceassist.prove.settled import FIRST, first_numbers, is_settled
from voiceassist.prove.walk import Compared, Walk

PROCEDURE = setup().procedure
FAULT = "lamp-gone"


def found(*volts: float, low: str = "10 V", guard: str = "", verdict: str = "pass") -> list[Walk]:
    """Walks that found the fault, and read ``volts`` on the way."""
    return [
        Walk(
            finding="lamp",
            compared=(Compared("feed", verdict, f"{volt} V", low, "", guard, ""),),
        )
        for volt in volts
    ]


def test_a_fault_is_settled_when_its_readings_differ_by_less_than_their_way_to_the_limit() -> None:
    assert is_settled(PROCEDURE, FAULT, found(12.4, 12.5, 12.3, 12.6))


def test_a_reading_near_the_limit_leaves_it_open() -> None:
    # 10.1 V is 0.1 V from the limit; two neighbours that differ by 0.3 V could pass it
    assert not is_settled(PROCEDURE, FAULT, found(10.4, 10.1, 10.3))
    assert is_settled(PROCEDURE, FAULT, found(10.15, 10.1, 10.12))


def test_the_doubt_of_the_meter_counts_as_part_of_the_limit() -> None:
    assert is_settled(PROCEDURE, FAULT, found(10.5, 10.4))
    assert not is_settled(PROCEDURE, FAULT, found(10.5, 10.4, guard="10.38 V"))


def test_readings_either_side_of_a_limit_leave_it_open_though_each_is_found() -> None:
    beyond = found(2.0, 2.1, verdict="low")
    assert is_settled(PROCEDURE, FAULT, beyond)
    assert not is_settled(PROCEDURE, FAULT, [*found(18.0, 18.1), *beyond])


def test_sizes_that_lie_far_apart_may_read_far_apart() -> None:
    # a rising resistance: each next to the one before, none near 10 V
    assert is_settled(PROCEDURE, FAULT, found(0.5, 1.5, 3.0, 4.5, 6.0, 7.0, verdict="low"))
    assert not is_settled(PROCEDURE, FAULT, found(0.5, 7.0, 1.5, 6.0, verdict="low"))


def test_a_lamp_that_is_nearly_dim_leaves_it_open() -> None:
    bright = [Walk(finding="lamp", lit=(("feed", share),)) for share in (0.98, 0.97, 0.99)]
    assert is_settled(PROCEDURE, FAULT, bright)
    nearly = [Walk(finding="lamp", lit=(("feed", share),)) for share in (0.78, 0.9, 0.77)]
    assert not is_settled(PROCEDURE, FAULT, nearly)


@pytest.mark.parametrize(
    "amiss",
    [{"finding": "good"}, {"finding": ""}, {"skipped": True}, {"close": ("feed",)}],
    ids=str,
)
def test_one_draw_that_did_not_plainly_find_it_leaves_it_open(amiss: dict[str, object]) -> None:
    plain = found(12.4, 12.5)
    assert not is_settled(PROCEDURE, FAULT, [*plain, replace(plain[0], **amiss)])  # type: ignore[arg-type]


def test_a_good_vehicle_and_what_comes_and_goes_are_never_settled() -> None:
    assert not is_settled(PROCEDURE, GOOD, [Walk(finding="good")] * FIRST)
    comes = changed(LAMP, ("found-as: lamp}", "comes: {chance: 50 %}, found-as: lamp}"))
    assert not is_settled(setup(comes).procedure, FAULT, found(12.4, 12.5))


@pytest.mark.parametrize("draws", [41, 60, 200, 1000])
def test_the_first_draws_take_both_ends_of_the_range_and_are_spread_between(draws: int) -> None:
    numbers = first_numbers(draws)
    assert numbers[0] == 0
    assert numbers[-1] == draws - 1
    gaps = {b - a for a, b in pairwise(numbers)}
    assert len(numbers) == FIRST
    assert max(gaps) - min(gaps) <= 1


def test_few_draws_are_all_made_at_once() -> None:
    assert first_numbers(8) == list(range(8))


def test_the_ends_of_a_size_are_drawn_themselves() -> None:
    # 10 Ω and 100 Ω before a lamp of 5 W that has 29 Ω: by hand, at 12.6 V less what a wire takes
    ends = [made(setup(), 1, Case("burnt-holder", n, 8)).taken[-1].shown for n in (0, 7)]
    again = [made(setup(), 1, Case("burnt-holder", n, 80)).taken[-1].shown for n in (0, 79)]
    volts = [float(shown.split()[0]) for shown in (*ends, *again)]
    assert volts[0] == pytest.approx(volts[2], rel=0.1)  # tolerances apart
    assert volts[1] == pytest.approx(volts[3], rel=0.1)
    assert volts[0] > 2 * volts[1]


def test_the_table_tells_how_often_each_fault_was_drawn_and_which_were_settled() -> None:
    milder = changed(LAMP, ("value: 10 Ω to 100 Ω", "value: 1.2 Ω to 100 Ω"))
    proof = prove(setup(milder), FIRST + 5)
    drawn = {each.fault: each.draws for each in (proof.good, *proof.faults)}
    assert drawn.pop(GOOD) == FIRST + 5
    assert drawn["burnt-holder"] == FIRST + 5
    assert drawn["lamp-gone"] == FIRST
    told = list(lines(proof))
    many = sum(draws == FIRST for draws in drawn.values())
    assert any(f"{many} of them settled by {FIRST} draws" in line for line in told)
    rows = to_json(proof)["each"]
    assert {row["fault"]: row["draws"] for row in rows} == drawn  # type: ignore[attr-defined]

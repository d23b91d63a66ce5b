"""What is said to be so likely is right so often, and the advice saves time and skips no proof."""

from functools import cache
from statistics import mean

import pytest
from drawn_jobs import Said, beliefs, first_of_each, jobs, listed
from prove.shop import LAMP, changed, setup
from scipy.stats import binomtest

from voiceassist.procedure.checks.flow import asked_first
from voiceassist.reason.adviser import Adviser
from voiceassist.reason.infer import UNLISTED, anything
from voiceassist.reason.likely import likely
from voiceassist.reason.order import advised, with_proof
from voiceassist.reason.places import places_of
from voiceassist.reason.sampling import sampled

PROVED = changed(LAMP, ("lamp: {cause: the lamp has failed, correction: change it}",
                        "lamp: {cause: the lamp has failed, correction: change it, "
                        "condemns: side lamp, proved-by: {feed: feed, earth: earth}}"))  # fmt: skip


@cache
def adviser() -> Adviser:
    made = setup(PROVED)
    table = sampled(made.procedure, places_of(made), likely(made.procedure), vehicles=48)
    return Adviser(made, table)


@cache
def said() -> tuple[Said, ...]:
    return tuple(beliefs(adviser(), 250, seed=3))


@pytest.mark.parametrize(("low", "high"), [(0.0, 0.5), (0.5, 0.9), (0.9, 1.01)])
def test_a_cause_is_right_as_often_as_it_is_said_to_be(low: float, high: float) -> None:
    # Of each job the first belief in the row; by scipy's Wilson interval, of 99.9 %.
    told = first_of_each(one for one in said() if low <= one.share < high)
    assert len(told) >= 30
    span = binomtest(sum(one.right for one in told), len(told)).proportion_ci(0.999, "wilson")
    assert span.low <= mean(one.share for one in told) <= span.high


def test_the_drawn_world_has_causes_that_no_file_lists_and_readings_that_no_vehicle_shows() -> None:
    table = adviser().samples
    ways = [anything(table, place) for place in range(len(table.places))]
    assert all(one.low < one.high for one in ways if not one.words)
    assert {one.job for one in said() if not one.right and one.share > 0.9}  # it does err


def test_the_advised_way_to_a_condemned_part_holds_its_proofs() -> None:
    procedure = adviser().setup.procedure
    found = []
    for reader in listed(adviser(), 30, seed=5):
        course = with_proof(adviser(), advised(adviser(), tuple(procedure.steps), reader))
        if course.finding in procedure.findings:
            found.append(course.finding)
            assert set(asked_first(procedure.findings[course.finding])) <= set(course.steps)
    assert "lamp" in found
    assert UNLISTED not in found


def test_the_advice_takes_no_longer_than_the_file_on_average() -> None:
    took = list(jobs(adviser(), 60, seed=4))
    assert mean(one.by_advice for one in took) <= mean(one.by_file for one in took)
    assert mean(one.advice_right for one in took) > 0.8


def test_a_test_that_a_rest_comes_ahead_of_costs_the_rest_until_it_was_taken() -> None:
    # By hand: the rest 20 minutes and 10 seconds to begin it, each reading 1 minute.
    text = changed(
        LAMP, ("  earth:\n", "  rest:\n    wait: the lamp to cool\n    for: 20 min\n  earth:\n")
    )
    made = setup(text)
    table = sampled(made.procedure, places_of(made), likely(made.procedure), vehicles=4)
    knows = Adviser(made, table)
    assert knows.takes("feed", []) == 1
    assert knows.takes("earth", ["feed"]) == pytest.approx(21 + 10 / 60)
    assert knows.takes("whole", ["feed", "earth"]) == 1
